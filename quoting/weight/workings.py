"""How the weights came about, as the shop reads it."""

from __future__ import annotations

from quoting.request import Donor
from quoting.result import WeightFigures, Working
from quoting.setup import Setup
from quoting.show import show_length, show_mass, show_percent
from quoting.weight.axles import AxleLoads
from quoting.weight.items import Item

WEIGHED = "donor's weight and data sheets; weigh the finished bike"


def _mass_text(item: Item, units: str) -> str:
    return f"{show_mass(item.mass_kg, units)} (assumed)" if item.mass_assumed else show_mass(item.mass_kg, units)


def after_working(setup: Setup, donor: Donor, items: tuple[Item, ...], after_kg: float) -> Working:
    """Mass after the conversion, item by item."""
    units = setup.units
    return Working(
        figure="after_kg",
        label="Weight after conversion",
        formula="before − removed + added; tires and brakes replace their like and are not counted",
        inputs=(
            ("before", show_mass(donor.kerb_kg, units)),
            ("removed", show_mass(donor.removed_kg, units)),
            *((item.label, _mass_text(item, units)) for item in items),
        ),
        result=show_mass(after_kg, units),
        source=WEIGHED,
    )


def laden_working(setup: Setup, figures: WeightFigures, riders: tuple[Item, ...]) -> Working:
    """Mass with people and luggage."""
    units = setup.units
    return Working(
        figure="laden_kg",
        label="Weight laden",
        formula="after conversion + people + luggage",
        inputs=(
            ("after conversion", show_mass(figures.after_kg, units)),
            *((item.label, show_mass(item.mass_kg, units)) for item in riders),
        ),
        result=show_mass(figures.laden_kg, units),
        source="shop setting for rider, passenger and luggage",
    )


def payload_working(setup: Setup, donor: Donor, after_kg: float, payload_kg: float) -> Working:
    """What the plate leaves for people and luggage."""
    units = setup.units
    return Working(
        figure="payload_kg",
        label="Load left under the plate",
        formula="gross weight rating − weight after conversion",
        inputs=(
            ("gross weight rating", show_mass(donor.gvwr_kg, units)),
            ("weight after conversion", show_mass(after_kg, units)),
        ),
        result=show_mass(payload_kg, units),
        source="plate; 49 CFR 567.4; public practitioner report, case B40",
    )


def axle_working(setup: Setup, donor: Donor, items: tuple[Item, ...], after: AxleLoads, laden: AxleLoads) -> Working:
    """Axle loads, with every position that was assumed."""
    units = setup.units

    def at(x_m: float | None) -> str:
        return show_length(None if x_m is None else x_m * 1000.0, units)

    share = f"{show_percent(donor.front_share)} in front"
    front_rear = [f"{show_mass(loads.front_kg, units)} / {show_mass(loads.rear_kg, units)}" for loads in (after, laden)]
    return Working(
        figure="front_laden_kg",
        label="Axle loads, front / rear",
        formula="rear = Σ mass × position ÷ wheelbase; front = total − rear; positions behind the front axle",
        inputs=(
            ("wheelbase", at(donor.wheelbase_m)),
            ("before", f"{show_mass(donor.kerb_kg, units)}, {share}"),
            ("removed", f"{show_mass(donor.removed_kg, units)} at {at(donor.removed_x_m)}"),
            *((item.label, f"{show_mass(item.mass_kg, units)} at {at(item.x_m)} ({item.where})") for item in items),
        ),
        result=f"{front_rear[0]} empty, {front_rear[1]} laden",
        source="statics; positions marked assumed: common practice, no source",
    )
