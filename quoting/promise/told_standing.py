"""The window of a build that stands in line, changed or not: its own odds, from runs of the line as it would be."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace

from quoting.promise.odds import Timelines, engine, simulate_line
from quoting.promise.plan import PlannedShop
from quoting.promise.told import MOST_KNOWN, Simulated, from_runs
from quoting.request import ShopState
from quoting.result import Odds, Promise

# Steps to do in line up to which a request plays it: some 0.7 s with plain loops and 40 runs, 1.6 s of processor with
# compiled ones and 300, both at the limit (measured on two cores; the limits are our own choice).
MOST_STEPS_PLAIN, MOST_STEPS_COMPILED = 100, 800


def told_standing(planned: PlannedShop, number: str, promise: Promise, simulated: Simulated | None) -> Promise:
    """A promise of `standing` with the window of simulated runs of this very line; as it is where there are none.

    The runs take the random numbers of the kept ones, so that what differs between a build with and without a change
    is the change. They are of the plan at hand and never stale. None are drawn before the worker kept any, nor for a
    line too long for a request.
    """
    if simulated is None or promise.finish_from is None or promise.finish_to is None:
        return promise
    odds = _odds(planned, number, simulated)
    if odds is None:
        return promise
    window = odds.day_at(simulated.from_level), odds.day_at(simulated.to_level)
    return from_runs(promise, simulated, odds, window)


def _odds(planned: PlannedShop, number: str, simulated: Simulated) -> Odds | None:
    """What was found for the same line is found again: a change of price does not touch it."""
    asked: Hashable = ("standing", number, _needed(planned.shop), planned.bearings.now)
    if asked not in simulated.known:
        if len(simulated.known) >= MOST_KNOWN:
            simulated.known.clear()
        simulated.known[asked] = _drawn(planned, number, simulated.timelines)
    return simulated.known[asked]


def _needed(shop: ShopState) -> ShopState:
    """The shop without parts that no build in line needs: they decide nothing here."""
    codes = {need.code for build in shop.builds for need in build.needs}
    return replace(
        shop,
        stock=tuple(each for each in shop.stock if each.code in codes),
        receipts=tuple(each for each in shop.receipts if each.code in codes),
        supplies=tuple(each for each in shop.supplies if each.code in codes),
    )


def _drawn(planned: PlannedShop, number: str, timelines: Timelines) -> Odds | None:
    steps = sum(len(build.steps) for build in planned.shop.builds if not build.on_hold)
    if steps > (MOST_STEPS_COMPILED if engine().compiled else MOST_STEPS_PLAIN):
        return None
    return simulate_line(planned, timelines.dice).get(number)
