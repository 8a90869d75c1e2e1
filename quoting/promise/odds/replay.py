"""Plans of a sampled line by one who knew everything beforehand: what the odds must not be taken from.

A plan drawn for each sample with its true hours and arrivals makes none of the mistakes a shop makes; the better it is
planned, the less its days are kept. Laid in the order of the line alone it errs the other way with a long line: it
never takes up what happens to be ready. It serves tests and comparison.
"""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.timelines import Draw, Played, blank_places, draw_line, grounds
from quoting.promise.plan import PlannedShop


def foresee(
    planned: PlannedShop, dice: Dice, ground: Ground, draw: Draw, tries: int = 0, loops: Engine | None = None
) -> Played:
    """Plan every sample with full knowledge of its hours and arrivals: for comparison, not for promises.

    Parameters: `tries` orders of the builds tried for each, of which the one with the least total of the finishes
    counts; 0 for the order of the line.
    """
    loops = loops or engine()
    places = blank_places(dice.samples, draw.lengths.shape[1])
    finish = np.full((dice.samples, len(draw.chains)), NEVER, np.int64)
    loops.in_parts(
        dice.samples,
        lambda low, high: loops.foresee_samples(
            ground, draw.work, draw.lengths, draw.gates, draw.finish_gate, planned.bearings.now * 15, tries, low, high,
            places, finish,
        ),
    )  # fmt: skip
    return Played(draw, places, finish)


def replay_line(planned: PlannedShop, dice: Dice, loops: Engine | None = None) -> Played:
    """Sample a planned shop's line and plan each sample with full knowledge."""
    ground, names = grounds(planned)
    return foresee(planned, dice, ground, draw_line(planned, dice, ground, names), loops=loops)
