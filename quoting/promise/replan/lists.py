"""A search over the order in which builds are laid: the same placing as the plan's, a fixed number of tries."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from quoting.promise.calendar import SLOT_MINUTES
from quoting.promise.odds.arrays import Ints, Places
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.ground import work_of
from quoting.promise.odds.timelines import grounds
from quoting.promise.plan import PlannedShop
from quoting.promise.replan.floor import FloorProblem
from quoting.promise.replan.problem import Plan

SEED = 1
Score = tuple[int, int, int]


@dataclass(frozen=True)
class Listed:
    """The best plan found, the order it was laid in (numbers of jobs), and how many were tried."""

    plan: Plan
    order: tuple[int, ...]
    tries: int


class Laying:
    """Lays the builds of a shop in any order."""

    def __init__(self, planned: PlannedShop, floor: FloorProblem, loops: Engine | None = None) -> None:
        self.loops = loops or engine()
        self.ground, names = grounds(planned)
        lengths = [task.slots * SLOT_MINUTES for chain in floor.chains for task in chain.tasks]
        self.work = work_of(floor.chains, names, lengths)
        self.now = planned.bearings.now * SLOT_MINUTES
        self.lanes = self.loops.new_lanes(self.ground, len(lengths))
        self.places = Places(*(np.full(len(lengths), -1, np.int64) for _ in range(4)))
        self.finish = np.zeros(len(floor.chains), np.int64)

    def lay(self, order: Sequence[int]) -> Ints:
        """The finish of each job [min] when they are laid in this order."""
        self.loops.lay_line(
            self.ground,
            self.work,
            self.lanes,
            np.array(order, np.int64),
            self.work.expected,
            self.work.gate,
            self.work.finish_gate,
            self.now,
            self.places,
            self.finish,
        )
        return self.finish

    def plan(self, order: Sequence[int]) -> Plan:
        """The whole plan."""
        self.lay(order)
        start, end, person, bench = (tuple(int(each) for each in column) for column in self.places)
        slots = (tuple(minute // SLOT_MINUTES for minute in column) for column in (start, end))
        return Plan(start=next(slots), end=next(slots), person=person, bench=bench)


def search_orders(
    planned: PlannedShop, floor: FloorProblem, caps: Sequence[int], tries: int, loops: Engine | None = None
) -> Listed:
    """The best order of `tries` laid: the line's own, by promise, by work left, then one build moved at a time.

    Better is: less lateness beyond the caps, less lateness, less flow, in that order. The same input and number of
    tries give the same order.
    """
    laying = Laying(planned, floor, loops)
    score = _score_of(floor, caps, laying)
    jobs = range(len(floor.chains))
    best = list(jobs)
    best_score, used = score(best), 1
    for order in _rules(floor):
        if used < tries:
            found, used = score(order), used + 1
            if found < best_score:
                best, best_score = list(order), found
    dice = random.Random(SEED)  # noqa: S311  a search, no secret
    while used < tries and len(best) > 1:
        order = list(best)
        build = order.pop(dice.randrange(len(order)))
        order.insert(dice.randrange(len(order) + 1), build)
        found, used = score(order), used + 1
        if found <= best_score:
            best, best_score = order, found
    return Listed(laying.plan(best), tuple(best), used)


def _score_of(floor: FloorProblem, caps: Sequence[int], laying: Laying) -> Callable[[Sequence[int]], Score]:
    jobs = floor.problem.jobs
    has = np.array([job.due is not None for job in jobs], bool)
    due = np.array([job.due or 0 for job in jobs], np.int64) * SLOT_MINUTES
    limit = np.array(caps, np.int64) * SLOT_MINUTES

    def score(order: Sequence[int]) -> Score:
        finish = laying.lay(order)
        late = np.where(has, np.maximum(finish - due, 0), 0)
        return int(np.maximum(late - limit, 0)[has].sum()), int(late.sum()), int(finish.sum())

    return score


def _rules(floor: FloorProblem) -> list[list[int]]:
    """Orders by promise, by work left, and by when the parts are here and the work is done."""
    jobs = floor.problem.jobs
    work = [sum(task.slots for task in chain.tasks) for chain in floor.chains]
    ready = [max(chain.gates, default=0) for chain in floor.chains]
    far = max((job.due or 0 for job in jobs), default=0) + 1
    return [
        sorted(range(len(jobs)), key=lambda at: (jobs[at].due or far, at)),
        sorted(range(len(jobs)), key=lambda at: (work[at], at)),
        sorted(range(len(jobs)), key=lambda at: (ready[at] + work[at], at)),
    ]
