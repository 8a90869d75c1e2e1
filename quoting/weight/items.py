"""What the conversion adds: each item's mass, and where along the wheelbase it sits."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts import Adapter, Brake, Cable, Cell, Enclosure, Module, Motor, Part, Tire, Wheel
from quoting.request import Donor
from quoting.result import PackFigures
from quoting.setup import Fitted, Setup

# Stand-ins for small parts without a mass, on the heavy side [kg each]: common practice, no source; always shown as
# assumed. What is not listed here must be weighed.
ASSUMED_KG = {
    "bms": 1.5,
    "dcdc": 1.5,
    "contactor": 1.0,
    "fuse": 0.3,
    "precharge": 0.3,
    "connector": 0.3,
    "throttle": 0.5,
    "display": 0.8,
    "switch": 0.3,
    "final_drive": 3.0,
    "lamp": 1.0,
    "hardware": 2.0,
}
COPPER_KG_PER_M_MM2 = 8.96e-3  # density of copper 8.96 g/cm3, from memory of handbook tables
INSULATION_FACTOR = 1.3  # insulation over copper: common practice, no source
# Positions behind the front axle as shares of the wheelbase: common practice, no source; always shown as assumed.
HANDLEBAR_SHARE = 0.25
ENGINE_SHARE = 0.45
AT_HANDLEBAR = frozenset({"throttle", "display", "switch"})
LIKE_FOR_LIKE = (Tire, Wheel, Brake)  # they replace what weighs about the same and stays out of `removed`
IN_PACK = (Cell, Module, Enclosure)


@dataclass(frozen=True)
class Item:
    """One thing added: mass [kg], position behind the front axle [m]; None: not known. `where` says how it is known."""

    label: str
    mass_kg: float | None
    x_m: float | None
    where: str
    mass_assumed: bool = False


def added_items(setup: Setup, donor: Donor, pack: PackFigures | None) -> tuple[Item, ...]:
    """The pack as one item, then every other line but tires, wheels and brakes."""
    pack_x, pack_where = pack_position(donor, pack)
    items = [] if pack is None else [Item("battery pack", pack.mass_kg, pack_x, pack_where)]
    for fitted in setup.fitted:
        if isinstance(fitted.part, (*IN_PACK, *LIKE_FOR_LIKE)):
            continue
        mass_kg, assumed = _mass(fitted)
        x_m, where = _position(fitted, donor, pack, pack_x)
        items.append(Item(fitted.line.name, mass_kg, x_m, where, assumed))
    return tuple(items)


def _mass(fitted: Fitted[Part]) -> tuple[float | None, bool]:
    """Mass of a line [kg] and whether it is assumed."""
    quantity, part = float(fitted.line.quantity), fitted.part
    if part.mass_kg is not None:
        return quantity * part.mass_kg, False
    if isinstance(part, Cable) and part.area_mm2 is not None:
        return quantity * part.area_mm2 * COPPER_KG_PER_M_MM2 * INSULATION_FACTOR, True
    each = ASSUMED_KG.get(fitted.line.kind)
    return (None, False) if each is None else (quantity * each, True)


def pack_position(donor: Donor, pack: PackFigures | None) -> tuple[float | None, str]:
    """Center of the pack behind the front axle [m]: of its bays, weighted by the cells in each."""
    if pack is None:
        return None, ""
    centers = {bay.name: bay.x_m for bay in donor.bays}
    used = [(fit.used, centers.get(fit.bay)) for fit in pack.fit if fit.used]
    known = [(count, x_m) for count, x_m in used if x_m is not None]
    if not known or len(known) < len(used):
        return None, ""
    total = sum(count for count, _ in known)
    return sum(count * x_m for count, x_m in known) / total, "assumed: center of its bays"


def _position(
    fitted: Fitted[Part], donor: Donor, pack: PackFigures | None, pack_x: float | None
) -> tuple[float | None, str]:
    """Position of a line behind the front axle [m] and how it is known."""
    line, part, wheelbase_m = fitted.line, fitted.part, donor.wheelbase_m
    if line.x_m is not None:
        return line.x_m, "as entered"
    bay = dict(pack.placed).get(line.code) if pack else None
    bay_x = next((each.x_m for each in donor.bays if each.name == bay), None)
    if bay_x is not None:
        return bay_x, f"assumed: center of {bay}"
    if wheelbase_m is None:
        return None, ""
    if (isinstance(part, Motor) and part.mount == "hub") or (isinstance(part, Adapter) and part.purpose == "axle"):
        return wheelbase_m, "assumed: rear axle"
    if isinstance(part, (Motor, Adapter)):
        if donor.removed_x_m is not None:
            return donor.removed_x_m, "assumed: where the engine was"
        return ENGINE_SHARE * wheelbase_m, "assumed: middle of the frame"
    if line.kind in AT_HANDLEBAR:
        return HANDLEBAR_SHARE * wheelbase_m, "assumed: handlebar"
    if pack_x is not None:
        return pack_x, "assumed: beside the pack"
    return ENGINE_SHARE * wheelbase_m, "assumed: middle of the frame"
