"""The pack as built: totals of series × parallel units before any limit or load."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.pack.unit import PackUnit
from quoting.parts import Enclosure
from quoting.request import PackPlan
from quoting.setup import Setup

# Box, holders and bus bars over cell mass when the quote has no pack box: 20 to 60 % in built packs, from memory.
ASSUMED_BOX_SHARE = 0.30


@dataclass(frozen=True, kw_only=True)
class Built:
    """Totals. Voltages [V], capacity [Ah], energy [Wh], resistance [ohm], masses [kg]; None: not known."""

    unit: PackUnit
    plan: PackPlan
    series_cells: int
    nominal_v: float | None
    full_v: float | None
    empty_v: float | None
    capacity_ah: float | None
    energy_wh: float | None
    resistance_ohm: float | None
    cell_kg: float | None
    mass_kg: float | None
    mass_assumed: bool
    missing: tuple[str, ...]


def build(setup: Setup, unit: PackUnit, plan: PackPlan) -> Built:
    """Series × parallel units: voltages × S, capacity × P × health, R = S/P·r + links, mass of cells and pack box."""
    series, parallel = plan.series, plan.parallel
    nominal_v = _times(unit.nominal_v, series)
    capacity_ah = _times(unit.new_capacity_ah, parallel * unit.health)
    resistance_ohm = None
    if unit.resistance_ohm is not None:
        resistance_ohm = series / parallel * unit.resistance_ohm + plan.link_mohm / 1000.0
    cell_kg = _times(unit.mass_kg, series * parallel)
    mass_kg, mass_missing = _with_box(setup, cell_kg)
    word = unit.word
    named = (
        (f"{word} chemistry", unit.chemistry),
        (f"{word} nominal voltage", unit.nominal_v),
        (f"{word} full voltage", unit.full_v),
        (f"{word} empty voltage", unit.empty_v),
        (f"{word} capacity", unit.new_capacity_ah),
        (f"{word} resistance", unit.resistance_ohm),
        (f"{word} mass", unit.mass_kg),
        ("cells in series of one module", unit.groups or None),
    )
    return Built(
        unit=unit,
        plan=plan,
        series_cells=series * unit.groups,
        nominal_v=nominal_v,
        full_v=_times(unit.full_v, series),
        empty_v=_times(unit.empty_v, series),
        capacity_ah=capacity_ah,
        energy_wh=None if nominal_v is None or capacity_ah is None else nominal_v * capacity_ah,
        resistance_ohm=resistance_ohm,
        cell_kg=cell_kg,
        mass_kg=mass_kg,
        mass_assumed=not setup.all(Enclosure),
        missing=(*(name for name, value in named if value is None), *mass_missing),
    )


def _times(value: float | None, count: float) -> float | None:
    return None if value is None else value * count


def _with_box(setup: Setup, cell_kg: float | None) -> tuple[float | None, tuple[str, ...]]:
    """Cells and pack box [kg]; without a box on the quote a share of cell mass is assumed."""
    boxes = setup.all(Enclosure)
    missing = tuple(f"mass of {box.line.name}" for box in boxes if box.part.mass_kg is None)
    if cell_kg is None or missing:
        return None, missing
    if not boxes:
        return cell_kg * (1.0 + ASSUMED_BOX_SHARE), ()
    return cell_kg + sum(float(box.line.quantity) * (box.part.mass_kg or 0.0) for box in boxes), ()
