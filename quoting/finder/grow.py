"""Growing the table of sets: in which order columns are joined, how far packs are counted, what is thinned out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from quoting.finder.bench import Bench
from quoting.finder.question import MOST_PARALLEL, MOST_SERIES
from quoting.finder.scopes import PARALLEL, SERIES, STORE
from quoting.finder.tables import Column, Cutter, Rows, count, counted, crossed, distinct, in_order, scoped_rules, taken
from quoting.finder.worth import Worth
from quoting.pack.fit import fit_pack
from quoting.pack.unit import unit_of
from quoting.parts import Controller
from quoting.rules import Rule
from quoting.rules.said import above

# They settle the voltage class.
FIRST_KINDS = ("controller", "motor")
THEN_KINDS = ("charger", "bms")
# Of these kinds a choice that is dearer, heavier, later and weaker than another which passes the same rules is left out
# of a set: nothing but its price, mass, day and the current it carries tells on a set. Their boxes are not placed.
THINNED = frozenset({"throttle", "precharge", "cable", "fuse", "switch", "adapter"})


@dataclass(frozen=True)
class Grown:
    """All sets that pass every rule which can be asked of parts of a set; `wide` the rules still to be asked."""

    rows: Rows
    wide: tuple[Rule, ...]
    cutter: Cutter


def grow(bench: Bench, worth: Worth) -> Grown:
    """Join every column, asking each rule as soon as what it depends on is there.

    Returns: Grown; no rows when nothing is buildable. Raises: RequestError when more sets are left than can be held.
    """
    question = bench.question
    scoped, wide = scoped_rules(bench, question.request.job, question.refused)
    cutter = Cutter(bench, frozenset(question.refused))
    order = _order(bench, scoped)
    rooms = _rooms(bench)
    open_scopes = dict(scoped)
    rows: Rows = {}
    sizes = {slot.name: len(slot.choices) for slot in bench.slots} | {STORE: len(bench.stores)}
    thinnable = {slot.name for slot in bench.slots if slot.kinds and slot.kinds <= THINNED}
    box_slots = [slot.name for slot in bench.slots if "enclosure" in slot.kinds]
    for at, name in enumerate(order):
        if name == SERIES:
            rows = counted(rows, name, _most_series(bench)[rows[STORE]])
            rows = taken(rows, rows[SERIES] >= question.series[0])
        elif name == PARALLEL:
            most = rooms.max(axis=0)[rows[STORE]] // np.maximum(rows[SERIES], 1)
            rows = counted(rows, name, np.minimum(most, question.parallel[1]))
            rows = taken(rows, rows[PARALLEL] >= question.parallel[0])
        else:
            rows = crossed(rows, name, sizes[name])
        known = set(order[: at + 1])
        for scope in sorted((each for each in open_scopes if each <= known), key=len):
            rows = cutter.cut(rows, in_order(scope, order), open_scopes.pop(scope))
        if {PARALLEL, *box_slots} <= known and name in (PARALLEL, *box_slots):
            rows = _with_room(rows, rooms, box_slots)
        for settled in [each for each in thinnable & known if not any(each in scope for scope in open_scopes)]:
            rows = _thinned(rows, settled, worth)
            thinnable.discard(settled)
    return Grown(rows, wide, cutter)


def _order(bench: Bench, scopes: Iterable[frozenset[str]]) -> list[str]:
    """Controller and motor; slots that hang on these alone; the voltage class; counts in parallel; everything else."""
    kinds_of = {slot.name: slot.kinds for slot in bench.slots}

    def of(kinds: Sequence[str], among: Iterable[str]) -> list[str]:
        return [name for kind in kinds for name in among if kinds_of[name] == {kind}]

    first = of(FIRST_KINDS, kinds_of)
    core = {STORE, SERIES, PARALLEL}
    later = {name for scope in scopes if scope & core for name in scope} | set(of(("enclosure",), kinds_of))
    early = [name for name in kinds_of if name not in first and name not in later]
    then = [name for name in of(THEN_KINDS, kinds_of) if name in later]
    rest = [name for name in kinds_of if name not in (*first, *early, *then)]
    loose = [name for name in rest if kinds_of[name] and kinds_of[name] <= THINNED]
    return [*first, *early, STORE, SERIES, *then, PARALLEL, *(name for name in rest if name not in loose), *loose]


def _most_series(bench: Bench) -> Column:
    """Most in series of each store [-]: beyond it the full pack is above every controller's highest voltage."""
    limits = [
        item.part.max_v
        for slot in bench.slots
        for choice in bench.fitted[slot.name]
        for item in choice
        if isinstance(item.part, Controller)
    ]
    if not limits or None in limits:
        return np.full(len(bench.stores), bench.question.series[1], dtype=np.int64)
    highest_v = max(limit for limit in limits if limit is not None)
    found = []
    for store in bench.stores:
        full_v = store.part.full_v or math.inf
        fits = [series for series in range(1, bench.question.series[1] + 1) if not above(series * full_v, highest_v)]
        found.append(fits[-1] if fits else 0)
    return np.array(found, dtype=np.int64)


def _rooms(bench: Bench) -> Column:
    """How many of each store go into each choice of pack box [boxes, stores]; one row where no box is chosen."""
    boxes = [slot for slot in bench.slots if "enclosure" in slot.kinds]
    choices = range(len(boxes[0].choices)) if boxes else range(1)
    return np.array(
        [[_room(bench, store, {boxes[0].name: box} if boxes else {}) for store in range(len(bench.stores))]
         for box in choices],
        dtype=np.int64,
    )  # fmt: skip


def _room(bench: Bench, store: int, chosen: Mapping[str, int]) -> int:
    """Capacity of bays or box for one store [-], as the engine lays cells; without limit where sizes are not known, 0
    where the box itself has no place.
    """
    setup = bench.setup({**chosen, STORE: store})
    item = bench.stores[store]
    fit = fit_pack(setup, unit_of(item.part, item.line.name), bench.plan(MOST_SERIES, MOST_PARALLEL))
    if not fit.fit:
        return 0 if fit.unplaced else MOST_SERIES * MOST_PARALLEL
    return sum(bay.capacity for bay in fit.fit)


def _with_room(rows: Rows, rooms: Column, box_slots: list[str]) -> Rows:
    boxes = rows[box_slots[0]] if box_slots else np.zeros(count(rows), dtype=np.int64)
    return taken(rows, rows[SERIES] * rows[PARALLEL] <= rooms[boxes, rows[STORE]])


def _thinned(rows: Rows, name: str, worth: Worth) -> Rows:
    """Rows without those whose choice in one column another choice beats, all other columns alike."""
    beaten = worth.beaten[name]
    if not count(rows) or not beaten.any():
        return rows
    _, alike = distinct(rows, [other for other in rows if other != name])
    there = np.zeros((int(alike.max()) + 1, len(beaten)), dtype=bool)
    there[alike, rows[name]] = True
    lost = (there.astype(np.int64) @ beaten.T.astype(np.int64)) > 0
    return taken(rows, ~lost[alike, rows[name]])
