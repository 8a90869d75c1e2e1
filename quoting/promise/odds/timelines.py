"""Simulated futures of the shop: the policy it really runs, played through once per sample.

Each morning the shop plans with expected hours and what is here that day, works a day, and starts steps up to three
days before their planned start. A plan drawn with knowledge of every hour to come would promise days no shop keeps.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from quoting.promise.calendar import SLOT_MINUTES
from quoting.promise.odds.arrays import NEVER, SHORT_NEVER, Ground, Ints, Lanes, Packed, Places, Shorts, Work
from quoting.promise.odds.arrivals import Deliveries, deal, gates_from
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.engine import Engine, engine
from quoting.promise.odds.ground import REACH_DAYS, Chain, Names, ahead_minutes, chain_of, ground_of, work_of
from quoting.promise.plan import PlannedShop
from quoting.promise.work import Pace

SHORTEST_GAP = 15  # a gap in a timeline shorter than a slot is closed [min]


@dataclass(frozen=True)
class Draw:
    """The line with its sampled hours and arrivals, a row per sample: `lengths` and `gates` per step [min],
    `finish_gate` per build [min], `peg_gates` per chain and peg [min]."""

    chains: tuple[Chain, ...]
    work: Work
    lengths: Ints
    gates: Ints
    finish_gate: Ints
    peg_gates: tuple[tuple[Ints, ...], ...]
    deliveries: Deliveries


@dataclass(frozen=True)
class Played:
    """A draw as it was worked: where each step lay, and the finish of each build [min], a row per sample."""

    draw: Draw
    places: Places
    finish: Ints


@dataclass(frozen=True)
class Timelines:
    """What is kept of a simulation: what is taken on every lane of every sample, and the sampled deliveries.

    `first` day the axis begins; `now` first minute that can be worked; `revision` of the plan it was drawn for.
    """

    revision: int
    dice: Dice
    loops: str
    first: date
    now: int
    ground: Ground
    names: Names
    lanes: Packed
    deliveries: Deliveries = field(default_factory=Deliveries)

    @property
    def samples(self) -> int:
        """How many futures."""
        return self.dice.samples


def draw_line(planned: PlannedShop, dice: Dice, ground: Ground, names: Names, one_more: bool = False) -> Draw:
    """Sample the hours and arrivals of every open build; `one_more` as in `arrivals.deal`."""
    floor = planned.floors[Pace.LIKELY]
    chains = tuple(chain_of(planned, outlook, floor) for outlook in planned.outlooks)
    work = work_of(chains, names, turns=planned.shop.turns)
    lengths = [row for chain in chains for row in dice.minutes(chain)]
    return _dealt(planned, dice, ground, (chains, work, _rows(lengths, dice.samples)), one_more)


def draw_both(planned: PlannedShop, dice: Dice, ground: Ground, names: Names) -> tuple[Draw, Draw]:
    """The line with the parts of one more build on order, and without: the same hours, other arrivals."""
    behind = draw_line(planned, dice, ground, names, one_more=True)
    return behind, _dealt(planned, dice, ground, (behind.chains, behind.work, behind.lengths), False)


def _dealt(
    planned: PlannedShop, dice: Dice, ground: Ground, line: tuple[tuple[Chain, ...], Work, Ints], one_more: bool
) -> Draw:
    chains = line[0]
    dealt, deliveries = deal(planned, dice, chains, one_more)
    gates, finish_gate, peg_gates = gates_of_chains(
        planned, dice, ground, chains, dealt, planned.bearings.calendar.first
    )
    return Draw(*line, gates, finish_gate, peg_gates, deliveries)


def gates_of_chains(
    planned: PlannedShop,
    dice: Dice,
    ground: Ground,
    chains: tuple[Chain, ...],
    dealt: list[list[Ints]],
    first_day: date,
) -> tuple[Ints, Ints, tuple[tuple[Ints, ...], ...]]:
    """When parts allow each step and each finish, a row per sample, and of each peg alone [min]."""
    first, handling = first_day.toordinal(), planned.bearings.handling.days
    gates = np.zeros((dice.samples, sum(len(chain.tasks) for chain in chains)), np.int64)
    finish = np.zeros((dice.samples, len(chains)), np.int64)
    peg_gates = []
    base = 0
    for at, (chain, days) in enumerate(zip(chains, dealt, strict=True)):
        own = tuple(gates_from(ground, first, handling, each) for each in days)
        for (_, step), gate in zip(chain.pegs, own, strict=True):
            column = gates[:, base + step] if step < len(chain.tasks) else finish[:, at]
            np.maximum(column, gate, out=column)
        if not chain.tasks:
            finish[:, at] = np.maximum(finish[:, at], chain.finish_gate if not chain.pegs else 0)
        peg_gates.append(own)
        base += len(chain.tasks)
    return gates, finish, tuple(peg_gates)


def _rows(columns: list[Ints], samples: int) -> Ints:
    return np.ascontiguousarray(np.stack(columns, axis=1)) if columns else np.zeros((samples, 0), np.int64)


def blank_places(samples: int, steps: int) -> Places:
    """Room for where every step of every sample lies."""
    return Places(*(np.full((samples, steps), fill, np.int64) for fill in (0, 0, -1, -1)))


def play(planned: PlannedShop, dice: Dice, ground: Ground, draw: Draw, loops: Engine | None = None) -> Played:
    """Run the shop's policy over every sample."""
    loops = loops or engine()
    places, finish = _blank(dice.samples, draw)
    days = planned.bearings.now * SLOT_MINUTES, ahead_minutes(planned.bearings.calendar), REACH_DAYS
    loops.in_parts(
        dice.samples,
        lambda low, high: loops.run_samples(
            ground, draw.work, draw.lengths, draw.gates, draw.finish_gate, *days, low, high, places, finish
        ),
    )
    return Played(draw, places, finish)


def play_both(
    planned: PlannedShop, dice: Dice, ground: Ground, draw: Draw, later: Draw, loops: Engine | None = None
) -> tuple[Played, Played]:
    """The same for two draws of one line, of which `later` has no part sooner: one run up to where they part."""
    loops = loops or engine()
    (places, finish), (late_places, late_finish) = _blank(dice.samples, draw), _blank(dice.samples, later)
    days = planned.bearings.now * SLOT_MINUTES, ahead_minutes(planned.bearings.calendar), REACH_DAYS
    loops.in_parts(
        dice.samples,
        lambda low, high: loops.run_pairs(
            ground, draw.work, draw.lengths, draw.gates, draw.finish_gate, later.gates, later.finish_gate, *days, low,
            high, places, finish, late_places, late_finish,
        ),
    )  # fmt: skip
    return Played(draw, places, finish), Played(later, late_places, late_finish)


def _blank(samples: int, draw: Draw) -> tuple[Places, Ints]:
    return blank_places(samples, draw.lengths.shape[1]), np.full((samples, len(draw.chains)), NEVER, np.int64)


def timelines_of(
    planned: PlannedShop, dice: Dice, ground: Ground, names: Names, played: Played, loops: Engine | None = None
) -> Timelines:
    """Keep what one more build needs to be put behind a played line."""
    loops = loops or engine()
    lanes = len(names.people) + len(names.benches)
    samples, steps = played.places.start.shape
    room = samples * (2 * steps + len(ground.down_start)) + 1
    packed = Lanes(
        np.zeros(room, np.int64),
        np.zeros(room, np.int64),
        np.zeros((samples, lanes), np.int64),
        np.zeros((samples, lanes), np.int64),
    )
    written = loops.pack_samples(ground, played.places, 0, samples, SHORTEST_GAP, packed)
    kept = Packed(_short(packed.start[:written]), _short(packed.end[:written]), packed.low, packed.high)
    return Timelines(
        revision=planned.shop.revision,
        dice=dice,
        loops=loops.name,
        first=planned.bearings.calendar.first,
        now=planned.bearings.now * SLOT_MINUTES,
        ground=ground,
        names=names,
        lanes=kept,
        deliveries=played.draw.deliveries,
    )


def _short(minutes: Ints) -> Shorts:
    return np.minimum(minutes, SHORT_NEVER).astype(np.int32)


def grounds(planned: PlannedShop, skills: Iterable[str] = (), kinds: Iterable[str] = ()) -> tuple[Ground, Names]:
    """The ground of a shop, with groups for the steps of its line and for those an option may bring."""
    steps = [step for build in planned.shop.builds for step in build.steps]
    return ground_of(
        planned, {*skills, *(step.skill for step in steps)}, {*kinds, *(step.bench_type for step in steps)}
    )


def simulate_behind(
    planned: PlannedShop,
    dice: Dice,
    skills: Iterable[str] = (),
    kinds: Iterable[str] = (),
    loops: Engine | None = None,
) -> Timelines:
    """Play a planned shop's line through and keep what one more build is put behind.

    Parameters: `skills` and `kinds` of benches that steps of options may ask for besides those of line, people and
    benches. The parts of one more build are taken to be ordered today.
    """
    ground, names = grounds(planned, skills, kinds)
    played = play(planned, dice, ground, draw_line(planned, dice, ground, names, one_more=True), loops)
    return timelines_of(planned, dice, ground, names, played, loops)
