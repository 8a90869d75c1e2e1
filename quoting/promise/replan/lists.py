"""A search over the order in which builds are laid: the same placing as the plan's, a fixed number of tries."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from quoting.promise.calendar import SLOT_MINUTES
from quoting.promise.odds.arrays import Ints, Places
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.ground import work_of
from quoting.promise.odds.timelines import grounds
from quoting.promise.plan import PlannedShop
from quoting.promise.replan.bounds import alone_finishes
from quoting.promise.replan.floor import FloorProblem
from quoting.promise.replan.pieces import Pieces
from quoting.promise.replan.problem import Plan

SEED = 1
JUMPS = (1.0, 0.6)  # places a late build moves up at a time, at most, in turns (our own choice: best of 0.3 to 20)
TURN = 1000  # tries, then the wheel begins again with the other jump and other numbers
BLAMED = 0.7  # chance that a late build is moved up (our own choice)
HOME = 0.01  # share of its way back to its place in line each build goes at each try (our own choice)
DAY_MINUTES = 8 * 60
Score = tuple[int, int, int, int]


@dataclass(frozen=True)
class Listed:
    """The best plan found, the order it was laid in (numbers of jobs), and how many were tried."""

    plan: Plan
    order: tuple[int, ...]
    tries: int


class Laying:
    """Lays the builds of a shop in any order; frozen steps stay, and turns are kept."""

    def __init__(self, planned: PlannedShop, floor: FloorProblem, loops: Engine | None = None) -> None:
        self.loops = loops or engine()
        self.ground, names = grounds(planned)
        lengths = [task.slots * SLOT_MINUTES for chain in floor.chains for task in chain.tasks]
        self.work = work_of(floor.chains, names, lengths)
        self.now = planned.bearings.now * SLOT_MINUTES
        self.lanes = self.loops.new_lanes(self.ground, len(lengths))
        self.places = Places(*(np.full(len(lengths), -1, np.int64) for _ in range(4)))
        self.kept = Places(*(np.full(len(lengths), -1, np.int64) for _ in range(4)))
        for at in floor.frozen:
            self.kept.start[at] = floor.standing.start[at] * SLOT_MINUTES
            self.kept.end[at] = floor.standing.end[at] * SLOT_MINUTES
            self.kept.person[at], self.kept.bench[at] = floor.standing.person[at], floor.standing.bench[at]
        self.finish = np.zeros(len(floor.chains), np.int64)
        self.pieces = Pieces(floor, planned.shop.turns)

    def lay(self, order: Sequence[int] | Ints) -> Ints:
        """The finish of each job [min] when they are laid in this order."""
        self.loops.lay_line(
            self.ground,
            self.work,
            self.lanes,
            *self.pieces.of(order),
            self.pieces.rows,
            self.work.expected,
            self.work.gate,
            self.work.finish_gate,
            self.now,
            self.kept,
            self.places,
            self.finish,
        )
        return self.finish

    def broken(self) -> int:
        """How many turns the plan laid last does not keep."""
        return self.pieces.broken(self.places) if len(self.pieces.rows) else 0

    def plan(self, order: Sequence[int]) -> Plan:
        """The whole plan."""
        self.lay(order)
        start, end, person, bench = (tuple(int(each) for each in column) for column in self.places)
        slots = (tuple(minute // SLOT_MINUTES for minute in column) for column in (start, end))
        return Plan(start=next(slots), end=next(slots), person=person, bench=bench)


class Dues:
    """When jobs are due, how late each may be, and how late it is whatever is done [min]."""

    def __init__(self, floor: FloorProblem, caps: Sequence[int]) -> None:
        jobs = floor.problem.jobs
        self.has = np.array([job.due is not None for job in jobs], bool)
        self.due = np.array([job.due or 0 for job in jobs], np.int64) * SLOT_MINUTES
        self.cap = np.array(caps, np.int64) * SLOT_MINUTES
        self.least = self.late(np.array(alone_finishes(floor.problem), np.int64) * SLOT_MINUTES)

    def late(self, finish: Ints) -> Ints:
        """How late each job is."""
        return np.where(self.has, np.maximum(finish - self.due, 0), 0)

    def score(self, finish: Ints, broken: int) -> Score:
        """Turns broken, lateness beyond the caps, lateness, flow: less is better, in that order."""
        late = self.late(finish)
        return broken, int(np.maximum(late - self.cap, 0).sum()), int(late.sum()), int(finish.sum())


def search_orders(
    planned: PlannedShop, floor: FloorProblem, caps: Sequence[int], tries: int, loops: Engine | None = None
) -> Listed:
    """The best order found: by the squeaky wheel for lateness, then one build moved at a time for flow, each `tries`.

    Better is: fewer turns broken, less lateness beyond the caps, less lateness, less flow, in that order. The same
    input and number of tries give the same order.
    """
    laying, dues = Laying(planned, floor, loops), Dues(floor, caps)
    jobs = range(len(floor.chains))
    starts = [list(jobs), *_rules(floor), squeaky_wheel(laying, dues, tries)]
    scored = [(dues.score(laying.lay(order), laying.broken()), at) for at, order in enumerate(starts[: max(tries, 1)])]
    best_score, at = min(scored)
    best, used = starts[at], len(scored)
    dice = random.Random(SEED)  # noqa: S311  a search, no secret
    while used < tries and len(best) > 1:
        order = list(best)
        build = order.pop(dice.randrange(len(order)))
        order.insert(dice.randrange(len(order) + 1), build)
        found, used = dues.score(laying.lay(order), laying.broken()), used + 1
        if found <= best_score:
            best, best_score = order, found
    return Listed(laying.plan(best), tuple(best), used)


def squeaky_wheel(laying: Laying, dues: Dues, tries: int) -> list[int]:
    """The order of least lateness: whoever is later than alone in the shop is laid a little sooner next time.

    Builds drift back to their place in line meanwhile. It stops when nobody is later than alone in the shop. Source:
    Joslin, Clements, "Squeaky wheel optimization", Journal of Artificial Intelligence Research 10 (1999), from memory.
    """
    line = np.arange(len(dues.has), dtype=np.float64)
    best = [int(job) for job in line]
    if not dues.has.any():
        return best
    best_score = dues.score(laying.lay(best), laying.broken())
    for turn in range(-(-tries // TURN)):
        dice = np.random.default_rng(SEED + turn)
        wish = line.copy()
        for _ in range(min(TURN, tries - turn * TURN)):
            order = np.argsort(wish, kind="stable")
            finish = laying.lay(order)
            score = dues.score(finish, laying.broken())
            if score < best_score:
                best, best_score = [int(job) for job in order], score
            blame = np.maximum(dues.late(finish) - dues.least, 0)
            if not blame.any():
                return best
            chosen = (blame > 0) & (dice.random(len(wish)) < BLAMED)
            jump = dice.random(len(wish)) * JUMPS[turn % len(JUMPS)] * (1 + blame / DAY_MINUTES)
            wish = wish - np.where(chosen, jump, 0) + (line - wish) * HOME
    return best


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
