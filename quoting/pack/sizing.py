"""Counts that would do: the least cells in parallel for a demand, the most cells that go into a bay."""

from __future__ import annotations

from quoting.pack.build import Built
from quoting.pack.containers import INSULATION_MM, WALL_MM, inside
from quoting.pack.current import current_at_power
from quoting.pack.curves import open_v
from quoting.pack.demand import Demand
from quoting.pack.fit import largest_count, unit_size
from quoting.pack.unit import PackUnit, unit_of, units_on
from quoting.parts import Cell, Module
from quoting.request import Bay
from quoting.result import PackFigures
from quoting.setup import Setup

MOST_PARALLEL = 200  # no motorcycle holds more; a bound for the search
LOW_SOC = 0.2  # the drive's power must still be there with a fifth of the charge left: our own rule


def smallest_parallel(
    series: int,
    part: Cell | Module,
    peak_w: float,
    cont_w: float,
    soc: float,
    *,
    cut_v: float = 0.0,
    link_ohm: float = 0.0,
    peak_cap_a: float | None = None,
    cont_cap_a: float | None = None,
) -> int | None:
    """Least units in parallel so that currents and loaded voltage hold.

    Parameters: `series` units in series [-]; `part` the cell or module; `peak_w` for 10 s and `cont_w` for good, at
    the pack's terminals [W]; `soc` [0..1]; `cut_v` a cut-off of BMS or controller [V], the cells' own empty voltage
    always counts; `link_ohm` links and bus bars [ohm]; `peak_cap_a`, `cont_cap_a` what the controller draws at
    most [A].
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
    loads = ((cont_w, unit.cont_a * unit.health, cont_cap_a), (peak_w, peak_a * unit.health, peak_cap_a))
    for parallel in range(1, MOST_PARALLEL + 1):
        pack_ohm = series / parallel * unit.resistance_ohm + link_ohm
        if all(_holds(rested_v, pack_ohm, power, cap_a, parallel * each_a, lowest_v) for power, each_a, cap_a in loads):
            return parallel
    return None


def _holds(
    rested_v: float, pack_ohm: float, power_w: float, cap_a: float | None, limit_a: float, lowest_v: float
) -> bool:
    current = current_at_power(rested_v, pack_ohm, power_w)
    if cap_a is not None and (current is None or current > cap_a):
        current = cap_a
    return current is not None and current <= limit_a + 1e-9 and rested_v - current * pack_ohm >= lowest_v - 1e-9


def least_parallel(setup: Setup, built: Built, demand: Demand, cut_v: float | None) -> int | None:
    """Least units in parallel [-] for the drive of an option at LOW_SOC; None when the drive's power is not known.

    Parameters: `built` gives series and links; `demand` of the drive; `cut_v` the highest cut-off [V].
    """
    units = units_on(setup)
    if not units or demand.cont_w is None or demand.peak_w is None:
        return None
    return smallest_parallel(
        built.plan.series,
        units[0].part,
        demand.peak_w,
        demand.cont_w,
        LOW_SOC,
        cut_v=cut_v or 0.0,
        link_ohm=built.plan.link_mohm / 1000.0,
        peak_cap_a=demand.peak_cap_a,
        cont_cap_a=demand.cont_cap_a,
    )


def most_parallel(figures: PackFigures) -> int | None:
    """Most units in parallel [-] that the bays and boxes of the option hold; None when nothing says how many fit."""
    if not figures.fit or not figures.series:
        return None
    return sum(bay.capacity for bay in figures.fit) // figures.series


def largest_pack(bay: Bay, part: Cell | Module) -> int | None:
    """Most cells or modules [-] that go into a bay without a pack box, walls and insulation taken off.

    None when the size of the cell or module is not known.
    """
    unit: PackUnit = unit_of(part)
    if unit_size(unit) is None:
        return None
    return largest_count(inside((bay.length_mm, bay.width_mm, bay.height_mm), WALL_MM + INSULATION_MM), unit)
