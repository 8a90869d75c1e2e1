"""The odds of every open build in a simulated line."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from quoting.promise.odds.arrays import Ints, Work
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.finishes import USUAL_SAMPLES, deciders_of, finish_days, odds_of
from quoting.promise.odds.timelines import (
    Played,
    Timelines,
    draw_both,
    draw_line,
    grounds,
    play,
    play_both,
    timelines_of,
)
from quoting.promise.plan import PlannedShop
from quoting.result import Odds


def simulate_line(planned: PlannedShop, dice: Dice, loops: Engine | None = None) -> dict[str, Odds]:
    """Play a planned shop's line through: the odds of every open build by number."""
    ground, names = grounds(planned)
    played = play(planned, dice, ground, draw_line(planned, dice, ground, names), loops)
    return odds_of_line(timelines_of(planned, dice, ground, names, played, loops), played, loops)


def simulate_shop(
    planned: PlannedShop,
    dice: Dice,
    skills: Iterable[str] = (),
    kinds: Iterable[str] = (),
    loops: Engine | None = None,
) -> tuple[Timelines, dict[str, Odds]]:
    """What `simulate_behind` and `simulate_line` give, drawn and played once up to where they differ.

    They differ in the parts of one more build: when they are on order too, no part of the line comes later.
    """
    ground, names = grounds(planned, skills, kinds)
    behind, line = play_both(planned, dice, ground, *draw_both(planned, dice, ground, names), loops)
    odds = odds_of_line(timelines_of(planned, dice, ground, names, line, loops), line, loops)
    return timelines_of(planned, dice, ground, names, behind, loops), odds


def odds_of_line(timelines: Timelines, played: Played, loops: Engine | None = None) -> dict[str, Odds]:
    """Odds by build number; builds without a day are left out."""
    loops = loops or engine()
    draw = played.draw
    at_bench = np.zeros(played.places.start.shape, np.int64)
    loops.bench_waits(
        timelines.ground,
        draw.work,
        timelines.lanes,
        played.places,
        np.maximum(_ready(draw.work, played.places.end, timelines.now), draw.gates),
        0,
        timelines.samples,
        at_bench,
    )
    found = {}
    for at, chain in enumerate(draw.chains):
        if not chain.finished or not (chain.tasks or chain.pegs):
            continue
        cut = slice(int(draw.work.at[at]), int(draw.work.at[at + 1]))
        places = type(played.places)(*(column[:, cut] for column in played.places))
        finish, gate = played.finish[:, at], draw.finish_gate[:, at]
        days = finish_days(timelines.ground, timelines.first, chain, finish, gate)
        deciders = deciders_of(
            chain, timelines.now, places, draw.gates[:, cut], finish, draw.peg_gates[at], at_bench[:, cut]
        )
        few = timelines.samples < USUAL_SAMPLES
        odds = odds_of(days, finish, deciders, timelines.revision, False, few, timelines.samples)
        if odds is not None:
            found[chain.number] = odds
    return found


def _ready(work: Work, ends: Ints, now: int) -> Ints:
    """When the step before each step ended; `now` for the first of a build."""
    ready = np.full_like(ends, now)
    ready[:, 1:] = ends[:, :-1]
    firsts = work.at[:-1][work.at[:-1] < ends.shape[1]]
    ready[:, firsts] = now
    return ready
