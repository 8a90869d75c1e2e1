"""Plans of a sampled line by one who knew everything beforehand: what the odds must not be taken from.

A plan drawn for each sample with its true hours and arrivals neither makes the mistakes a shop makes nor takes up what
happens to be ready, so its percentiles are not kept as often as they say. It serves tests and comparison.
"""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.timelines import Draw, Played, blank_places, draw_line, grounds
from quoting.promise.plan import PlannedShop


def foresee(planned: PlannedShop, dice: Dice, ground: Ground, draw: Draw, loops: Engine | None = None) -> Played:
    """Plan every sample once with full knowledge of its hours and arrivals: for comparison, not for promises."""
    loops = loops or engine()
    places = blank_places(dice.samples, draw.lengths.shape[1])
    finish = np.full((dice.samples, len(draw.chains)), NEVER, np.int64)
    order = np.arange(len(draw.chains))
    loops.in_parts(
        dice.samples,
        lambda low, high: loops.foresee_samples(
            ground, draw.work, order, draw.lengths, draw.gates, draw.finish_gate, planned.bearings.now * 15, low, high,
            places, finish,
        ),
    )  # fmt: skip
    return Played(draw, places, finish)


def replay_line(planned: PlannedShop, dice: Dice, loops: Engine | None = None) -> Played:
    """Sample a planned shop's line and plan each sample with full knowledge."""
    ground, names = grounds(planned)
    return foresee(planned, dice, ground, draw_line(planned, dice, ground, names), loops)
