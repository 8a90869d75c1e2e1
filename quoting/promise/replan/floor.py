"""A planned shop as a problem to plan anew, and the plan it has now.

Benches of a type without downtime and frozen steps are one pool, benches of other types stand alone. Steps under way
stay where they are, and so do those that start within the frozen days; parts and hours are the likely ones. Turns that
people have taken are kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from quoting.promise.calendar import HORIZON_DAYS, Calendar
from quoting.promise.lanes import Lane
from quoting.promise.odds.ground import Chain, chain_of
from quoting.promise.place import Placed
from quoting.promise.plan import Outlook, PlannedShop
from quoting.promise.replan.problem import Before, Job, Plan, Problem, Span, Task
from quoting.promise.work import Pace
from quoting.request import Turn

ONE_DAY = timedelta(days=1)
Spot = tuple[str, int]  # a build's number and the index of its step


@dataclass(frozen=True)
class FloorProblem:
    """The problem, whose jobs are `chains` in the order of the line; `people` and `benches` by their number in it;
    `bench_numbers` of the benches in each pool; `standing` the plan as it is; `frozen` numbers of the tasks that stay
    as planned though nobody has started them."""

    problem: Problem
    chains: tuple[Chain, ...]
    people: tuple[str, ...]
    benches: tuple[str, ...]
    bench_numbers: tuple[tuple[int, ...], ...]
    standing: Plan
    frozen: frozenset[int] = frozenset()


def problem_of(planned: PlannedShop, frozen_days: int = 0) -> FloorProblem:
    """Every open build that has a finish, with its steps still to do; not one with nothing to do and no part to come,
    which is done.

    Parameters: `frozen_days` open days, today the first, whose planned steps keep their time, person and bench.
    """
    floor = planned.floors[Pace.LIKELY]
    working = [each for each in planned.outlooks if not each.stops and (each.build.steps or each.pegs)]
    chains = tuple(chain_of(planned, outlook, floor) for outlook in working)
    people, benches = list(floor.people.values()), list(floor.benches.values())
    laid = {
        (outlook.build.number, step.task.index): step
        for outlook in working
        for step in outlook.laid[Pace.LIKELY].placed
    }
    under_way = {
        (chain.number, task.index)
        for chain in chains
        for task, place in zip(chain.tasks, chain.places, strict=True)
        if place is not None
    }
    fence = _fence(planned, frozen_days)
    frozen = {spot for spot, step in laid.items() if spot not in under_way and step.start < fence}
    stay = under_way | frozen
    # A pool says how many are free, not which: enough where work only ends on its benches, not where it begins later.
    alone = {
        lane.group
        for lane in benches
        if lane.down.starts or {(each.build, each.step) for each in lane.bookings} & frozen
    }
    kinds = tuple(sorted({lane.group for lane in benches} - alone))
    tasks, spots = _tasks(planned, chains, people, benches, kinds)
    steps = [laid[spot] for spot in spots]
    tasks = tuple(
        replace(task, fixed=(step.start, step.end)) if spot in frozen else task
        for task, step, spot in zip(tasks, steps, spots, strict=True)
    )
    problem = _problem(planned, tasks, _jobs(planned, chains, working), (people, benches, kinds), stay)
    numbers = tuple(tuple(at for at, lane in enumerate(benches) if lane.group == kind) for kind in kinds)
    kept = frozenset(at for at, spot in enumerate(spots) if spot in frozen)
    names = tuple(lane.name for lane in people), tuple(lane.name for lane in benches)
    standing = _standing(steps, *names)
    problem = replace(problem, turns=_turns(planned.shop.turns, chains, standing))
    return FloorProblem(problem, chains, *names, numbers, standing, kept)


def day_done(floor: FloorProblem, calendar: Calendar, job: int, end: int) -> date:
    """The day of a build's finish: of its last worked slot, or the day its last part or outside work is back."""
    tasks = floor.chains[job].tasks
    worked = bool(tasks) and tasks[-1].slots > 0 and floor.problem.jobs[job].gate < end
    return calendar.day_of(end - 1 if worked else end)


def _turns(turns: Sequence[Turn], chains: Sequence[Chain], standing: Plan) -> tuple[Before, ...]:
    """The turns between steps nobody has started."""
    steps = [(chain.number, task.step) for chain in chains for task in chain.tasks]
    number = {(build, step.code): at for at, (build, step) in enumerate(steps) if step.started is None}
    found = []
    for turn in turns:
        first, then = number.get((turn.build, turn.step)), number.get((turn.then_build, turn.then_step))
        if first is not None and then is not None and turn.build != turn.then_build:
            passed = standing.start[first] > standing.start[then]
            found.append(Before(first, then, standing.start[first] if passed else -1))
    return tuple(dict.fromkeys(found))


def _jobs(planned: PlannedShop, chains: Sequence[Chain], working: Sequence[Outlook]) -> tuple[Job, ...]:
    return tuple(
        Job(
            name=chain.number,
            due=_due(planned.bearings.calendar, outlook.build.promised_to),
            gate=chain.finish_gate,
        )
        for chain, outlook in zip(chains, working, strict=True)
    )


def _problem(
    planned: PlannedShop,
    tasks: tuple[Task, ...],
    jobs: tuple[Job, ...],
    lanes: tuple[Sequence[Lane], Sequence[Lane], Sequence[str]],
    stay: set[Spot],
) -> Problem:
    people, benches, kinds = lanes
    held = [_held(lane, stay) for lane in benches]
    return Problem(
        tasks=tasks,
        jobs=jobs,
        pools=tuple(sum(lane.group == kind for lane in benches) for kind in kinds),
        away=tuple(tuple(lane.away) for lane in people),
        down=tuple(tuple(lane.down) for lane in benches),
        held_people=tuple(_held(lane, stay) for lane in people),
        held_benches=tuple(held),
        held_pools=tuple(
            (kinds.index(lane.group), low, high, 1)
            for lane, spans in zip(benches, held, strict=True)
            if lane.group in kinds
            for low, high in spans
        ),
        day=_days(planned.bearings.calendar, tasks),
        now=planned.bearings.now,
    )


def _standing(steps: Sequence[Placed], people: Sequence[str], benches: Sequence[str]) -> Plan:
    person, bench = ({name: at for at, name in enumerate(names)} for names in (people, benches))
    return Plan(
        start=tuple(step.start for step in steps),
        end=tuple(step.end for step in steps),
        person=tuple(person.get(step.person, -1) for step in steps),
        bench=tuple(bench.get(step.bench, -1) for step in steps),
    )


def _fence(planned: PlannedShop, frozen_days: int) -> int:
    """The first slot that is not frozen; 0 when nothing is."""
    calendar, day = planned.bearings.calendar, planned.bearings.today
    for _ in range(frozen_days):
        day = calendar.next_working_day(day)
    return calendar.slot_of_day(day) if frozen_days > 0 else 0


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


def _held(lane: Lane, under_way: set[Spot]) -> tuple[Span, ...]:
    return tuple((each.start, each.end) for each in lane.bookings if (each.build, each.step) in under_way)


def _due(calendar: Calendar, promised: date | None) -> int | None:
    return None if promised is None else calendar.slot_of_day(promised + ONE_DAY)


def _days(calendar: Calendar, tasks: Sequence[Task]) -> tuple[int, ...]:
    """First slot of each calendar day of the axis: only outside work asks for them."""
    if not any(task.lead_days for task in tasks):
        return ()
    return tuple(calendar.slot_of_day(calendar.first + timedelta(days=day)) for day in range(HORIZON_DAYS))
