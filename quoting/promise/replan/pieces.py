"""In which pieces the builds of an order are laid, so that a step with its turn is laid before the other step."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from quoting.promise.calendar import SLOT_MINUTES
from quoting.promise.odds.arrays import Ints, Places
from quoting.promise.replan.floor import FloorProblem
from quoting.promise.turns import laying_order
from quoting.request import OpenBuild, Turn


class Pieces:
    """The turns of a shop for the loops: `rows` (a step, its build, the other step, a minute) as `lay_line` has them.

    Each step that lets another go first begins a piece of its own.
    """

    def __init__(self, floor: FloorProblem, turns: Sequence[Turn]) -> None:
        tasks, kept = floor.problem.tasks, floor.problem.turns
        counts = [len(chain.tasks) for chain in floor.chains]
        self.at = np.cumsum([0, *counts], dtype=np.int64)
        self.rows = np.array(
            [(first, tasks[first].job, then, by * SLOT_MINUTES) for first, then, by in kept], np.int64
        ).reshape(-1, 4)
        self.turns = turns if kept else ()
        self.builds = [
            OpenBuild(number=chain.number, place=0, steps=tuple(task.step for task in chain.tasks))
            for chain in floor.chains
        ]
        self.number = {build.number: job for job, build in enumerate(self.builds)}
        self.cuts: list[list[int]] = [[] for _ in counts]
        for then in sorted({then for _, then, _ in kept}):
            job = tasks[then].job
            self.cuts[job].append(then - int(self.at[job]))

    def of(self, order: Sequence[int] | Ints) -> tuple[Ints, Ints]:
        """Which build is laid next, and up to which step, when builds come in this order."""
        whole = np.asarray(order, np.int64)
        if not self.turns:
            return whole, self.at[whole + 1]
        upto = [0] * len(self.builds)
        pieces: list[tuple[int, int]] = []
        for build, last in laying_order([self.builds[job] for job in order], self.turns):
            job = self.number[build.number]
            pieces += [(job, cut) for cut in self.cuts[job] if upto[job] < cut < last]
            pieces.append((job, last))
            upto[job] = last
        laid = np.array(pieces, np.int64).reshape(-1, 2)
        return np.ascontiguousarray(laid[:, 0]), self.at[laid[:, 0]] + laid[:, 1]

    def broken(self, places: Places) -> int:
        """How many turns a plan does not keep: of a ring of turns, or where the other step is frozen."""
        first, then, by = self.rows[:, 0], self.rows[:, 2], self.rows[:, 3]
        late = (places.start[first] > places.start[then]) & (places.start[first] > by)
        return int(late.sum())
