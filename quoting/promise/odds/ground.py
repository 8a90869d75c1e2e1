"""A planned shop as arrays: who can do what on which bench, and the open builds with their expected hours and parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal

import numpy as np

from quoting.price import pert_mean_h
from quoting.promise.calendar import FAR, HORIZON_DAYS, SLOT_MINUTES, Calendar
from quoting.promise.lanes import Floor
from quoting.promise.odds.arrays import NEVER, Ground, Ints, Work
from quoting.promise.place import Placed
from quoting.promise.plan import Outlook, PlannedShop, gates_of
from quoting.promise.spans import Spans
from quoting.promise.supply import STOCK, Peg
from quoting.promise.turns import laying_order
from quoting.promise.work import Pace, Task
from quoting.request import OpenBuild, OpenStep, Turn

HOUR_MINUTES = 60
REACH_DAYS = 14  # the simulated shop plans two weeks ahead each morning (our own choice)
AHEAD_DAYS = 3  # and starts steps up to three working days before their planned start (common practice, no source)


@dataclass(frozen=True, slots=True)
class Names:
    """The names behind the numbers: people, benches, and the groups of the ground by skill and bench type."""

    people: tuple[str, ...]
    benches: tuple[str, ...]
    skills: Mapping[str, int]
    kinds: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Chain:
    """A build as it is simulated: its steps up to the first that can never start, those under way first.

    `finished` False when a step is left out, so that there is no finish. `gates` when parts are expected for each step
    [slot]; `pegs` parts not on the shelf, with the position of the step they hold up, the number of steps for the
    finish.
    """

    number: str
    tasks: tuple[Task, ...]
    places: tuple[Placed | None, ...]
    gates: tuple[int, ...]
    finish_gate: int
    pegs: tuple[tuple[Peg, int], ...]
    finished: bool


def ground_of(planned: PlannedShop, skills: Iterable[str] = (), kinds: Iterable[str] = ()) -> tuple[Ground, Names]:
    """The shop's people and benches. `skills` and `kinds` are what steps may ask for besides what people and benches
    have; a group nobody is in stays empty."""
    floor, calendar = planned.floors[Pace.LIKELY], planned.bearings.calendar
    people, benches = list(floor.people.values()), list(floor.benches.values())
    every_skill = sorted({"", *skills, *(skill for person in people for skill in person.skills)})
    every_kind = ["", *sorted({*kinds, *(bench.group for bench in benches)} - {""})]
    able = [[people.index(lane) for lane in floor.people_for(skill)] for skill in every_skill]
    kind = [[-1], *([benches.index(lane) for lane in floor.benches_of(name)] for name in every_kind[1:])]
    day = [
        calendar.slot_of_day(calendar.first + timedelta(days=number)) * SLOT_MINUTES for number in range(HORIZON_DAYS)
    ]
    ground = Ground(
        np.array(day, np.int64),
        *_spans([person.away for person in people]),
        *_spans([bench.down for bench in benches]),
        *_groups(able),
        *_groups(kind),
    )
    names = Names(
        tuple(lane.name for lane in people),
        tuple(lane.name for lane in benches),
        {name: number for number, name in enumerate(every_skill)},
        {name: number for number, name in enumerate(every_kind)},
    )
    return ground, names


def _spans(lanes: Sequence[Spans]) -> tuple[Ints, Ints, Ints]:
    at = np.cumsum([0, *(len(spans.starts) for spans in lanes)], dtype=np.int64)
    starts = [start * SLOT_MINUTES for spans in lanes for start in spans.starts]
    ends = [NEVER if end >= FAR else end * SLOT_MINUTES for spans in lanes for end in spans.ends]
    return at, np.array(starts, np.int64), np.array(ends, np.int64)


def _groups(groups: Sequence[Sequence[int]]) -> tuple[Ints, Ints]:
    at = np.cumsum([0, *(len(group) for group in groups)], dtype=np.int64)
    return at, np.array([each for group in groups for each in group], np.int64)


def chain_of(planned: PlannedShop, outlook: Outlook, floor: Floor) -> Chain:
    """A build of the line, or an option behind it, as it is simulated."""
    tasks = outlook.tasks[Pace.LIKELY]
    laid = {step.task.index: step for step in outlook.laid[Pace.LIKELY].placed}
    gates = gates_of(floor, planned.bearings, outlook.build, tasks, outlook.pegs, Pace.LIKELY)
    within = [task for task in tasks if task.index in laid]
    order = sorted(within, key=lambda task: task.step.started is None)
    position = {task.index: at for at, task in enumerate(order)}
    return Chain(
        number=outlook.build.number,
        tasks=tuple(order),
        places=tuple(laid[task.index] if task.step.started is not None else None for task in order),
        gates=tuple(gates.steps[task.index] for task in order),
        finish_gate=gates.finish,
        pegs=tuple(
            (peg, position.get(peg.step, len(order)))
            for peg in outlook.pegs
            if peg.origin != STOCK and not peg.unknown and peg.ready is not None
        ),
        finished=not outlook.stops,
    )


def expected_minutes(step: OpenStep) -> int:
    """The mean of a step's estimate [min]; likely hours when that is all there is."""
    if step.lead_days > 0:
        return 0
    low_h, likely_h, high_h = three_points(step)
    return round(float(pert_mean_h(low_h, likely_h, high_h)) * HOUR_MINUTES)


def three_points(step: OpenStep) -> tuple[Decimal, Decimal, Decimal]:
    """Low, likely and high [h], in order; all the likely hours when nothing else is known."""
    likely_h = max(step.likely_h, Decimal(0))
    if not (step.low_h or step.high_h):
        return likely_h, likely_h, likely_h
    return max(min(step.low_h, likely_h), Decimal(0)), likely_h, max(step.high_h, likely_h)


def work_of(
    chains: Sequence[Chain], names: Names, lengths: Iterable[int] | None = None, turns: Iterable[Turn] = ()
) -> Work:
    """The chains' steps as arrays, with expected hours, or `lengths` [min] in their place. A plan lays them chain by
    chain, but for the turns."""
    steps = [(task, place) for chain in chains for task, place in zip(chain.tasks, chain.places, strict=True)]
    rows = [task.step for task, _ in steps]
    people = {name: at for at, name in enumerate(names.people)}
    benches = {name: at for at, name in enumerate(names.benches)}
    begun = [at for at, step in enumerate(rows) if step.started is not None]
    begun.sort(key=lambda at: (rows[at].started, at))
    at = np.cumsum([0, *(len(chain.tasks) for chain in chains)], dtype=np.int64)
    pieces = _pieces(chains, turns)
    return Work(
        at=at,
        skill=_ints(names.skills[step.skill] for step in rows),
        kind=_ints(names.kinds[step.bench_type] for step in rows),
        lead_days=_ints(max(step.lead_days, 0) for step in rows),
        under_way=_ints(step.started is not None for step in rows),
        person=_ints(people.get(place.person, -1) if place else -1 for _, place in steps),
        bench=_ints(benches.get(place.bench, -1) if place else -1 for _, place in steps),
        back=_ints(place.end * SLOT_MINUTES if place and task.outside else 0 for task, place in steps),
        begun=_ints(begun),
        expected=_ints(map(expected_minutes, rows) if lengths is None else lengths),
        gate=_ints(gate * SLOT_MINUTES for chain in chains for gate in chain.gates),
        finish_gate=_ints(chain.finish_gate * SLOT_MINUTES for chain in chains),
        piece=_ints(chain for chain, _ in pieces),
        piece_end=_ints(at[chain] + count for chain, count in pieces),
    )


def _pieces(chains: Sequence[Chain], turns: Iterable[Turn]) -> list[tuple[int, int]]:
    """Which chain is laid next and up to which of its tasks [count]; those under way stand first in a chain."""
    builds = [
        OpenBuild(number=chain.number, place=0, steps=tuple(task.step for task in chain.tasks)) for chain in chains
    ]
    number = {chain.number: at for at, chain in enumerate(chains)}
    return [(number[build.number], upto) for build, upto in laying_order(builds, turns)]


def _ints(values: Iterable[int]) -> Ints:
    return np.array(list(values), np.int64)


def ahead_minutes(calendar: Calendar) -> int:
    """Three working days of this shop [min]: of the average open day of its first four weeks."""
    days = [
        calendar.slot_of_day(calendar.first + timedelta(days=day + 1))
        - calendar.slot_of_day(calendar.first + timedelta(days=day))
        for day in range(28)
    ]
    open_days = [slots for slots in days if slots]
    return AHEAD_DAYS * SLOT_MINUTES * sum(open_days) // max(len(open_days), 1)
