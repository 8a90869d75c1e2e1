"""Which other sets fall with one that was looked at: only those that must fall for the same reason."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from quoting.finder.bench import Bench
from quoting.finder.bounds import Bounds
from quoting.finder.look import UNPLACED
from quoting.finder.scopes import PACK
from quoting.finder.tables import Rows

Mask = npt.NDArray[np.bool_]
# Heavier is worse for these rules, whatever the mass is made of.
BY_MASS = frozenset({"gross-weight", "payload-under-seats"})
# Decided by the size of cells, pack box and the boxed parts alone.
BY_PLACE = frozenset({UNPLACED, "box-has-no-place", "pack-does-not-fit"})
PLACED_KINDS = frozenset({"enclosure", "charger", "dcdc", "bms", "contactor", "controller"})
# Decided by which kinds are there at all.
BY_KINDS = frozenset({"incomplete-build"})
PATH_KINDS = frozenset({"fuse", "cable", "connector", "contactor"})
# A wish that a lighter bike reaches better: a heavier set of the same drive, pack and path misses it as well.
BY_WEIGHT = frozenset({"town_km", "back_road_km", "highway_km", "held_kmh", "top_kmh", "hill_percent"})


def refused_alike(rule: str, rows: Rows, bounds: Bounds, bench: Bench, row: int) -> Mask:
    """Rows that a rule refuses as it refused this one [rows]; at least the row itself."""
    if rule in BY_MASS:
        heavier: Mask = bounds.mass_kg >= bounds.mass_kg[row]
        return heavier
    if rule in BY_PLACE:
        return _alike(rows, row, [*PACK, *_slots(bench, PLACED_KINDS)])
    if rule in BY_KINDS:
        alike = np.ones(len(bounds.mass_kg), dtype=bool)
        for slot in bench.slots:
            kinds = [frozenset(line.kind for line in choice.lines) for choice in slot.choices]
            same = np.array([each == kinds[rows[slot.name][row]] for each in kinds])
            alike &= same[rows[slot.name]]
        return alike
    return _itself(rows, row)


def beyond(rows: Rows, bounds: Bounds, bench: Bench, row: int, missing: Iterable[str]) -> Mask:
    """Rows that miss a wish as this one did [rows]: as heavy or heavier on the same drive, pack and path."""
    if not set(missing) & BY_WEIGHT:
        return _itself(rows, row)
    alike: Mask = (bounds.core == bounds.core[row]) & (bounds.mass_kg >= bounds.mass_kg[row])
    alike &= _alike(rows, row, _slots(bench, PATH_KINDS))
    return alike


def _slots(bench: Bench, kinds: frozenset[str]) -> list[str]:
    return [slot.name for slot in bench.slots if slot.kinds & kinds]


def _alike(rows: Rows, row: int, names: list[str]) -> Mask:
    alike = np.ones(len(next(iter(rows.values()))), dtype=bool)
    for name in names:
        alike &= rows[name] == rows[name][row]
    return alike


def _itself(rows: Rows, row: int) -> Mask:
    alike = np.zeros(len(next(iter(rows.values()))), dtype=bool)
    alike[row] = True
    return alike
