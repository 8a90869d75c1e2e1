"""One more build behind the simulated line: into the gaps of every sample, nothing planned moves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quoting.promise.answer import outlook_of
from quoting.promise.odds.arrays import Ints, Places
from quoting.promise.odds.arrivals import peg_days
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.finishes import USUAL_SAMPLES, deciders_of, finish_days, odds_of
from quoting.promise.odds.ground import Chain, chain_of, work_of
from quoting.promise.odds.timelines import Timelines, blank_places, gates_of_chains
from quoting.promise.plan import Outlook, PlannedShop
from quoting.promise.supply import Peg
from quoting.promise.work import Pace
from quoting.request import Option
from quoting.result import Odds

# A step may begin in a gap that is a fifth too short [%]: the real shop lets it run over, and what comes next waits.
# Without it the odds of a long line are too careful; found with tests/quoting/promise/odds/test_calibration.py.
SQUEEZE = 20


@dataclass(frozen=True)
class Inserted:
    """A build behind the line, a row per sample: its places, gates and finish [min], its parts' gates."""

    chain: Chain
    places: Places
    gates: Ints
    finish_gate: Ints
    finish: Ints
    peg_gates: tuple[Ints, ...]
    at_bench: Ints


def odds_behind(timelines: Timelines, planned: PlannedShop, option: Option, loops: Engine | None = None) -> Odds | None:
    """The odds of an option accepted now, behind everything in line.

    Returns: None when there is no day (blocked, nothing to plan, or the timelines do not know a skill or bench type
    it needs). `stale` in the result when the plan has changed since the timelines were drawn.
    """
    return odds_of_outlook(timelines, planned, outlook_of(planned, option, holds=False), loops)


def odds_of_outlook(
    timelines: Timelines, planned: PlannedShop, outlook: Outlook, loops: Engine | None = None
) -> Odds | None:
    """The same for an option that is planned already."""
    if outlook.stops or not (outlook.build.steps or outlook.pegs):
        return None
    chain = chain_of(planned, outlook, planned.floors[Pace.LIKELY])
    known = timelines.names
    if any(task.step.skill not in known.skills or task.step.bench_type not in known.kinds for task in chain.tasks):
        return None
    got = insert_chain(timelines, planned, chain, loops)
    days = finish_days(timelines.ground, timelines.first, chain, got.finish, got.finish_gate)
    deciders = deciders_of(chain, timelines.now, got.places, got.gates, got.finish, got.peg_gates, got.at_bench)
    return odds_of(
        days,
        got.finish,
        deciders,
        timelines.revision,
        timelines.revision != planned.shop.revision,
        timelines.samples < USUAL_SAMPLES,
        timelines.samples,
    )


def insert_chain(timelines: Timelines, planned: PlannedShop, chain: Chain, loops: Engine | None = None) -> Inserted:
    """Lay a build into every sample's gaps."""
    loops = loops or engine()
    dice, ground = timelines.dice, timelines.ground
    work = work_of((chain,), timelines.names)
    days = [_days_of(timelines, planned, chain, peg) for peg, _ in chain.pegs]
    first = planned.bearings.calendar.first
    gates, finish_gate, peg_gates = gates_of_chains(planned, dice, ground, (chain,), [days], timelines.first)
    now = max(timelines.now, int(ground.day[max((first - timelines.first).days, 0)]))
    columns = dice.minutes(chain)
    shape = (dice.samples, len(chain.tasks))
    lengths = np.ascontiguousarray(np.stack(columns, axis=1)) if columns else np.zeros(shape, np.int64)
    places = blank_places(*shape)
    finish = np.zeros((dice.samples, 1), np.int64)
    at_bench = np.zeros(shape, np.int64)
    loops.in_parts(
        dice.samples,
        lambda low, high: loops.insert_samples(
            ground,
            work,
            timelines.lanes,
            lengths,
            gates,
            finish_gate,
            now,
            low,
            high,
            SQUEEZE,
            places,
            finish,
            at_bench,
        ),
    )
    return Inserted(chain, places, gates, finish_gate[:, 0], finish[:, 0], peg_gates[0], at_bench)


def _days_of(timelines: Timelines, planned: PlannedShop, chain: Chain, peg: Peg) -> Ints:
    """When units for the last in line come: never before the last unit pegged to the builds in line."""
    dice, kept = timelines.dice, timelines.deliveries
    if peg.incoming is not None and peg.incoming.row in kept.rows:
        own = kept.rows[peg.incoming.row]
    elif peg.incoming is not None:
        day = peg.arrives or planned.bearings.today
        own = np.full(dice.samples, day.toordinal(), np.int64)
    else:
        own = peg_days(planned, dice, chain.number, peg, kept.rows)
    before = kept.last.get(peg.need.code)
    return own if before is None else np.maximum(own, before)
