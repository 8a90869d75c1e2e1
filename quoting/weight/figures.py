"""Mass before and after the conversion, by axle, empty and laden."""

from __future__ import annotations

from dataclasses import replace

from quoting.request import Donor
from quoting.result import PackFigures, WeightFigures
from quoting.setup import Setup
from quoting.weight.axles import AxleLoads
from quoting.weight.items import Item, added_items
from quoting.weight.workings import after_working, axle_working, laden_working, payload_working

# Where people and luggage sit, behind the front axle as shares of the wheelbase: common practice, no source; shown as
# assumed. Luggage sits behind the rear axle and makes the front lighter.
RIDER_SHARE = 0.61
PASSENGER_SHARE = 0.79
LUGGAGE_SHARE = 1.11


def weight_figures(setup: Setup, pack: PackFigures | None) -> WeightFigures | None:
    """Mass of the converted bike.

    After = before − removed + added, by axle through moments about the front axle. Small parts without a mass count
    with a heavy stand-in, named in `missing`; a large part without one leaves `after_kg` None. Tires, wheels and brakes
    replace their like and count nothing.
    Parameters: `pack` the option's pack figures. Returns: WeightFigures [kg]; None without a donor. Source: statics.
    """
    donor = setup.donor
    if donor is None:
        return None
    items = added_items(setup, donor, pack)
    heavy = [item.label for item in items if item.mass_kg is None]
    missing = [f"mass of {item.label}" for item in items if item.mass_kg is None or item.mass_assumed]
    missing += [
        name
        for name, value in (
            ("weight of the donor", donor.kerb_kg),
            ("weight of what is removed", donor.removed_kg),
            ("gross weight rating on the plate", donor.gvwr_kg),
        )
        if value is None
    ]
    added_kg = None if heavy else sum(item.mass_kg or 0.0 for item in items)
    after_kg = None
    if donor.kerb_kg is not None and donor.removed_kg is not None and added_kg is not None:
        after_kg = donor.kerb_kg - donor.removed_kg + added_kg
    riders = _riders(setup, donor)
    figures = WeightFigures(
        before_kg=donor.kerb_kg,
        removed_kg=donor.removed_kg,
        added_kg=added_kg,
        after_kg=after_kg,
        laden_kg=None if after_kg is None else after_kg + sum(item.mass_kg or 0.0 for item in riders),
        payload_kg=None if after_kg is None or donor.gvwr_kg is None else donor.gvwr_kg - after_kg,
        added=tuple((item.label, item.mass_kg) for item in items if item.mass_kg is not None),
        missing=tuple(dict.fromkeys(missing)),
    )
    if after_kg is not None:
        workings = [after_working(setup, donor, items, after_kg), laden_working(setup, figures, riders)]
        if figures.payload_kg is not None:
            workings.append(payload_working(setup, donor, after_kg, figures.payload_kg))
        figures = replace(figures, workings=tuple(workings))
    return _by_axle(setup, donor, items, riders, figures)


def _riders(setup: Setup, donor: Donor) -> tuple[Item, ...]:
    policies, wheelbase_m = setup.policies, donor.wheelbase_m

    def seated(label: str, mass_kg: float, share: float, where: str = "assumed: usual seat") -> Item:
        return Item(label, mass_kg, None if wheelbase_m is None else share * wheelbase_m, where)

    people = [seated("rider", policies.rider_kg, RIDER_SHARE)]
    if setup.wishes.two_up:
        people.append(seated("passenger", policies.passenger_kg, PASSENGER_SHARE))
    return (*people, seated("luggage", policies.luggage_kg, LUGGAGE_SHARE, "assumed: rack"))


def _by_axle(
    setup: Setup, donor: Donor, items: tuple[Item, ...], riders: tuple[Item, ...], figures: WeightFigures
) -> WeightFigures:
    """Add the axle loads where weights and positions are known; name what is not."""
    missing = [
        name
        for name, value in (
            ("share of weight on the front axle", donor.front_share),
            ("wheelbase", donor.wheelbase_m),
            ("position of what is removed", donor.removed_x_m),
            *((f"position of {item.label}", item.x_m) for item in items),
        )
        if value is None
    ]
    figures = replace(figures, missing=tuple(dict.fromkeys((*figures.missing, *missing))))
    if donor.kerb_kg is None or donor.front_share is None:
        return figures
    before = AxleLoads(donor.kerb_kg * donor.front_share, donor.kerb_kg * (1.0 - donor.front_share))
    figures = replace(figures, front_before_kg=before.front_kg, rear_before_kg=before.rear_kg)
    wheelbase_m, removed_kg, removed_x_m = donor.wheelbase_m, donor.removed_kg, donor.removed_x_m
    if missing or figures.after_kg is None or wheelbase_m is None or removed_kg is None or removed_x_m is None:
        return figures
    after = _with(before.plus(-removed_kg, removed_x_m, wheelbase_m), items, wheelbase_m)
    laden = _with(after, riders, wheelbase_m)
    return replace(
        figures,
        front_after_kg=after.front_kg,
        rear_after_kg=after.rear_kg,
        front_laden_kg=laden.front_kg,
        rear_laden_kg=laden.rear_kg,
        workings=(*figures.workings, axle_working(setup, donor, (*items, *riders), after, laden)),
    )


def _with(loads: AxleLoads, items: tuple[Item, ...], wheelbase_m: float) -> AxleLoads:
    for item in items:
        loads = loads.plus(item.mass_kg or 0.0, item.x_m or 0.0, wheelbase_m)
    return loads
