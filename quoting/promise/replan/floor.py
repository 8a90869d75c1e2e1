"""A planned shop as a problem to plan anew, and the plan it has now.

Benches of a type without downtime are one pool, benches of other types stand alone. Steps under way stay where they
are; parts and hours are the likely ones, as in the plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from quoting.promise.calendar import HORIZON_DAYS, Calendar
from quoting.promise.lanes import Lane
from quoting.promise.odds.ground import Chain, chain_of
from quoting.promise.plan import PlannedShop
from quoting.promise.replan.problem import Job, Plan, Problem, Span, Task
from quoting.promise.work import Pace

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class FloorProblem:
    """The problem, whose jobs are `chains` in the order of the line; `people` and `benches` by their number in it;
    `bench_numbers` of the benches in each pool; `standing` the plan as it is."""

    problem: Problem
    chains: tuple[Chain, ...]
    people: tuple[str, ...]
    benches: tuple[str, ...]
    bench_numbers: tuple[tuple[int, ...], ...]
    standing: Plan


def problem_of(planned: PlannedShop) -> FloorProblem:
    """Every open build that has a finish, with its steps still to do."""
    floor, bearings = planned.floors[Pace.LIKELY], planned.bearings
    calendar = bearings.calendar
    working = [outlook for outlook in planned.outlooks if not outlook.stops]
    chains = tuple(chain_of(planned, outlook, floor) for outlook in working)
    people, benches = list(floor.people.values()), list(floor.benches.values())
    kinds = tuple(sorted({lane.group for lane in benches if not _stands_alone(benches, lane.group)}))
    under_way = {
        (chain.number, task.index)
        for chain in chains
        for task, place in zip(chain.tasks, chain.places, strict=True)
        if place is not None
    }
    tasks, spots = _tasks(planned, chains, people, benches, kinds)
    held = [_held(lane, under_way) for lane in benches]
    problem = Problem(
        tasks=tasks,
        jobs=tuple(
            Job(
                name=chain.number,
                due=_due(calendar, outlook.build.promised_to),
                gate=chain.finish_gate,
            )
            for chain, outlook in zip(chains, working, strict=True)
        ),
        pools=tuple(sum(lane.group == kind for lane in benches) for kind in kinds),
        away=tuple(tuple(lane.away) for lane in people),
        down=tuple(tuple(lane.down) for lane in benches),
        held_people=tuple(_held(lane, under_way) for lane in people),
        held_benches=tuple(held),
        held_pools=tuple(
            (kinds.index(lane.group), low, high, 1)
            for lane, spans in zip(benches, held, strict=True)
            if lane.group in kinds
            for low, high in spans
        ),
        day=_days(calendar, tasks),
        now=bearings.now,
    )
    laid = {
        (outlook.build.number, step.task.index): step
        for outlook in working
        for step in outlook.laid[Pace.LIKELY].placed
    }
    steps = [laid[spot] for spot in spots]
    person, bench = (
        {lane.name: at for at, lane in enumerate(people)},
        {lane.name: at for at, lane in enumerate(benches)},
    )
    standing = Plan(
        start=tuple(step.start for step in steps),
        end=tuple(step.end for step in steps),
        person=tuple(person.get(step.person, -1) for step in steps),
        bench=tuple(bench.get(step.bench, -1) for step in steps),
    )
    numbers = tuple(tuple(at for at, lane in enumerate(benches) if lane.group == kind) for kind in kinds)
    return FloorProblem(problem, chains, tuple(person), tuple(bench), numbers, standing)


def _tasks(
    planned: PlannedShop, chains: Sequence[Chain], people: list[Lane], benches: list[Lane], kinds: Sequence[str]
) -> tuple[tuple[Task, ...], list[tuple[str, int]]]:
    floor = planned.floors[Pace.LIKELY]
    tasks: list[Task] = []
    spots = []
    for job, chain in enumerate(chains):
        for at, (task, place, gate) in enumerate(zip(chain.tasks, chain.places, chain.gates, strict=True)):
            works = task.slots > 0 and not task.outside
            kind = task.step.bench_type if works else ""
            tasks.append(
                Task(
                    job=job,
                    length=task.slots if works else 0,
                    after=(len(tasks) - 1,) if at else (),
                    release=gate,
                    uses=((kinds.index(kind), 1),) if kind in kinds else (),
                    able=tuple(people.index(lane) for lane in floor.people_for(task.step.skill)) if works else (),
                    benches=()
                    if not kind or kind in kinds
                    else tuple(benches.index(lane) for lane in floor.benches_of(kind)),
                    lead_days=task.step.lead_days if task.outside else 0,
                    fixed=(place.start, place.end) if place else None,
                )
            )
            spots.append((chain.number, task.index))
    return tuple(tasks), spots


def _stands_alone(benches: Sequence[Lane], kind: str) -> bool:
    return any(lane.group == kind and lane.down.starts for lane in benches)


def _held(lane: Lane, under_way: set[tuple[str, int]]) -> tuple[Span, ...]:
    return tuple((each.start, each.end) for each in lane.bookings if (each.build, each.step) in under_way)


def _due(calendar: Calendar, promised: date | None) -> int | None:
    return None if promised is None else calendar.slot_of_day(promised + ONE_DAY)


def _days(calendar: Calendar, tasks: Sequence[Task]) -> tuple[int, ...]:
    """First slot of each calendar day of the axis: only outside work asks for them."""
    if not any(task.lead_days for task in tasks):
        return ()
    return tuple(calendar.slot_of_day(calendar.first + timedelta(days=day)) for day in range(HORIZON_DAYS))
