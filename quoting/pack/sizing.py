"""Counts that would do: the least cells in parallel for a demand, the most cells that go into a bay."""

from __future__ import annotations

from quoting.pack.containers import INSULATION_MM, WALL_MM, inside
from quoting.pack.current import current_at_power
from quoting.pack.curves import open_v
from quoting.pack.fit import largest_count, unit_size
from quoting.pack.unit import PackUnit, unit_of
from quoting.parts import Cell, Module
from quoting.request import Bay

MOST_PARALLEL = 200  # no motorcycle holds more; a bound for the search


def smallest_parallel(
    series: int,
    part: Cell | Module,
    peak_w: float,
    cont_w: float,
    soc: float,
    *,
    cut_v: float = 0.0,
    link_ohm: float = 0.0,
) -> int | None:
    """Least units in parallel so that currents and loaded voltage hold.

    Parameters: `series` units in series [-]; `part` the cell or module; `peak_w` for 10 s and `cont_w` for good, at
    the pack's terminals [W]; `soc` [0..1]; `cut_v` a cut-off of BMS or controller [V], the cells' own empty voltage
    always counts; `link_ohm` links and bus bars [ohm].
    Returns: count [-]; None when a figure of the part is not known or no count up to 200 will do.
    """
    unit = unit_of(part)
    if (
        unit.chemistry is None
        or unit.full_v is None
        or unit.empty_v is None
        or unit.resistance_ohm is None
        or unit.cont_a is None
    ):
        return None
    rested_v = series * open_v(unit.chemistry, unit.full_v, unit.empty_v, soc, unit.groups or None)
    lowest_v = max(cut_v, series * unit.empty_v)
    peak_a = unit.peak_a if unit.peak_a is not None else unit.cont_a
    loads = ((cont_w, unit.cont_a * unit.health), (peak_w, peak_a * unit.health))
    for parallel in range(1, MOST_PARALLEL + 1):
        pack_ohm = series / parallel * unit.resistance_ohm + link_ohm
        if all(_holds(rested_v, pack_ohm, power, parallel * each_a, lowest_v) for power, each_a in loads):
            return parallel
    return None


def _holds(rested_v: float, pack_ohm: float, power_w: float, limit_a: float, lowest_v: float) -> bool:
    current = current_at_power(rested_v, pack_ohm, power_w)
    return current is not None and current <= limit_a + 1e-9 and rested_v - current * pack_ohm >= lowest_v - 1e-9


def largest_pack(bay: Bay, part: Cell | Module) -> int | None:
    """Most cells or modules [-] that go into a bay without a pack box, walls and insulation taken off.

    None when the size of the cell or module is not known.
    """
    unit: PackUnit = unit_of(part)
    if unit_size(unit) is None:
        return None
    return largest_count(inside((bay.length_mm, bay.width_mm, bay.height_mm), WALL_MM + INSULATION_MM), unit)
