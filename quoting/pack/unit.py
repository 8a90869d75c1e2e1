"""What the pack is made of: a cell or a module reduced to the figures the pack needs."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts import Cell, Module
from quoting.request import PackPlan
from quoting.setup import Fitted, Setup


@dataclass(frozen=True, kw_only=True)
class PackUnit:
    """One cell or module. Voltages [V], currents [A], capacity [Ah] as measured now, sizes [mm], mass [kg].

    `groups` cells in series inside it, 0 when not known. `health` share of the new capacity [0..1]; currents are not
    yet reduced by it. `word` is cell or module, for texts.
    """

    word: str
    name: str
    groups: int
    chemistry: str | None
    nominal_v: float | None
    full_v: float | None
    empty_v: float | None
    new_capacity_ah: float | None
    cont_a: float | None
    peak_a: float | None
    charge_a: float | None
    resistance_ohm: float | None
    mass_kg: float | None
    health: float
    health_known: bool
    diameter_mm: float | None
    length_mm: float | None
    width_mm: float | None
    height_mm: float | None


def unit_of(part: Cell | Module, name: str = "") -> PackUnit:
    """A cell's or module's spec as a pack unit. Health not known counts as 100 %, marked by `health_known`."""
    is_cell = isinstance(part, Cell)
    return PackUnit(
        word="cell" if is_cell else "module",
        name=name,
        groups=1 if isinstance(part, Cell) else part.cells_in_series or 0,
        chemistry=part.chemistry,
        nominal_v=part.nominal_v,
        full_v=part.full_v,
        empty_v=part.empty_v,
        new_capacity_ah=part.capacity_ah,
        cont_a=part.cont_a,
        peak_a=part.peak_a,
        charge_a=part.charge_a,
        resistance_ohm=None if part.resistance_mohm is None else part.resistance_mohm / 1000.0,
        mass_kg=part.mass_kg,
        health=1.0 if part.health_percent is None else part.health_percent / 100.0,
        health_known=part.health_percent is not None,
        diameter_mm=part.diameter_mm if isinstance(part, Cell) else None,
        length_mm=part.length_mm,
        width_mm=part.width_mm,
        height_mm=part.height_mm,
    )


def units_on(setup: Setup) -> tuple[Fitted[Cell] | Fitted[Module], ...]:
    """Every line of cells or modules, cells first."""
    return (*setup.all(Cell), *setup.all(Module))


def plan_of(setup: Setup) -> PackPlan | None:
    """How the units are joined: the option's plan; one lone module needs none; None when not known."""
    if setup.option.pack is not None:
        return setup.option.pack
    modules = setup.all(Module)
    if len(modules) == 1 and modules[0].line.quantity == 1 and not setup.all(Cell):
        return PackPlan(series=1, parallel=1)
    return None
