"""Wheels: tire on rim, load, and how a rear wheel goes into the frame."""

from __future__ import annotations

from quoting.errors import SpecError
from quoting.parts import Brake, Part, Tire, Wheel
from quoting.ride.tires import TireSize, tire_size
from quoting.rules.facts import Facts
from quoting.rules.hub import is_hub
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Lacks, Said, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.setup import Fitted
from quoting.show import show_length, show_mass

RIM_PLAY_INCH = 0.01
# Permitted rims of motorcycle tires run from about 0.45 to 0.85 of the section width (90/90-21 on 1.60, 180/55-17 on
# 6.00): ETRTO, from memory. The tire maker's own list governs.
LEAST_RIM_SHARE, MOST_RIM_SHARE = 0.45, 0.85
MM_PER_INCH = 25.4  # exact
WIDTH_PLAY_MM = 1.0  # what spacers are cut to; common practice, no source
AXLE_PLAY_MM = 0.5  # an axle rocks in a bearing with more; common practice, no source


def _size(facts: Facts, end: str) -> TireSize | Lacks:
    """The size of the tire that goes on this end's rim: the quote's, else the donor's."""
    tire = next((tire for tire in facts.setup.all(Tire) if tire.part.end == end), None)
    donor = facts.setup.donor
    marking = tire.part.marking if tire else getattr(donor, f"{end}_tire", None)
    try:
        return tire_size(marking or "")
    except SpecError:
        return Lacks("tire", "marking", tire) if tire else Lacks("donor", f"{end}_tire")


@rule(
    "wheel-tire-rim",
    "wheels",
    title="Tire is for another rim",
    levels=("stop",),
    reads=("wheel.end", "wheel.rim_inch"),
    each="wheel",
    about=("tire",),
    may_read=("tire.end", "tire.marking"),
    source="a tire only fits its own rim diameter; common practice, no source",
)
def wheel_tire_rim(facts: Facts, item: Fitted[Wheel], end: str, rim_inch: float) -> Says:
    """The tire of each wheel on the quote is made for its rim diameter."""
    size = _size(facts, end)
    if isinstance(size, Lacks):
        return size
    if abs(size.rim_inch - rim_inch) <= RIM_PLAY_INCH:
        return None
    text = f"The {end} tire is for a {size.rim_inch:g} inch rim; {item.line.name} has {rim_inch:g} inch."
    return plainly("stop", text, exchange("tire"), exchange("wheel"))


@rule(
    "wheel-tire-width",
    "wheels",
    title="Rim is too narrow or too wide for its tire",
    levels=("check",),
    reads=("wheel.end", "wheel.rim_width_inch"),
    each="wheel",
    about=("tire",),
    may_read=("tire.end", "tire.marking"),
    source="rim 0.45 to 0.85 of the tire's width; ETRTO, from memory; the tire maker's list governs",
)
def wheel_tire_width(facts: Facts, item: Fitted[Wheel], end: str, width_inch: float) -> Says:
    """The rim's width suits the tire's."""
    size = _size(facts, end)
    if isinstance(size, Lacks):
        return size
    width_mm, units = width_inch * MM_PER_INCH, facts.setup.units
    low_mm, high_mm = LEAST_RIM_SHARE * size.width_mm, MOST_RIM_SHARE * size.width_mm
    text = (
        f"{item.line.name} is {show_length(width_mm, units)} wide inside; a tire {show_length(size.width_mm, units)} "
        f"wide takes about {show_length(low_mm, units)} to {show_length(high_mm, units)}."
    )
    ways = (exchange("tire"), exchange("wheel"), act("Read the tire maker's list of rims"))
    if below(width_mm, low_mm):
        return at_least("check", text, width_mm, low_mm, "mm", *ways)
    return at_most("check", text, width_mm, high_mm, "mm", *ways) if above(width_mm, high_mm) else None


@rule(
    "wheel-load",
    "wheels",
    title="Wheel carries too much",
    levels=("stop",),
    reads=("wheel.end", "wheel.rated_kg", "weight.front_laden_kg", "weight.rear_laden_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    each="wheel",
    source="the maker's rated load; 49 CFR 571.120 S5.1.2 asks the same of rims and tires",
)
def wheel_load(
    facts: Facts, item: Fitted[Wheel], end: str, rated_kg: float, front_kg: float, rear_kg: float
) -> Said | None:
    """Every wheel on the quote carries its axle's laden load."""
    laden_kg = front_kg if end == "front" else rear_kg
    if not above(laden_kg, rated_kg):
        return None
    units = facts.setup.units
    text = (
        f"Laden, {show_mass(laden_kg, units)} stand on the {end} wheel; {item.line.name} carries "
        f"{show_mass(rated_kg, units)}."
    )
    return at_most("stop", text, laden_kg, rated_kg, "kg", exchange("wheel"))


def _is_rear(facts: Facts, item: Fitted[Part] | None) -> bool:
    """Rear wheels; one that does not say its end is asked about by the others."""
    return item is not None and isinstance(item.part, Wheel) and item.part.end == "rear"


@rule(
    "wheel-width",
    "wheels",
    title="Rear wheel does not go between the dropouts",
    levels=("stop", "note"),
    reads=("wheel.spacing_mm", "donor.dropout_mm"),
    each="wheel",
    where=_is_rear,
    may_read=("wheel.end",),
    source="the width inside the dropouts; common practice, no source",
)
def wheel_width(facts: Facts, item: Fitted[Wheel], needs_mm: float, has_mm: float) -> Says:
    """A rear wheel on the quote is no wider over its hub than the frame."""
    units = facts.setup.units
    text = (
        f"{item.line.name} is {show_length(needs_mm, units)} over the hub; the frame has {show_length(has_mm, units)}."
    )
    if above(needs_mm, has_mm + WIDTH_PLAY_MM):
        return at_most("stop", text, needs_mm, has_mm + WIDTH_PLAY_MM, "mm", exchange("wheel"))
    if below(needs_mm, has_mm - WIDTH_PLAY_MM):
        spacers = act(f"Make spacers of {show_length(has_mm - needs_mm, units)} in all, and set chain and brake line")
        return at_least("note", f"{text} Spacers fill the rest.", needs_mm, has_mm - WIDTH_PLAY_MM, "mm", spacers)
    return None


@rule(
    "wheel-axle",
    "wheels",
    title="Rear wheel's bearings are for another axle",
    levels=("stop",),
    reads=("wheel.axle_mm", "donor.axle_mm"),
    each="wheel",
    where=_is_rear,
    may_read=("wheel.end",),
    source="an axle goes through its own bearings; common practice, no source",
)
def wheel_axle(facts: Facts, item: Fitted[Wheel], wheel_mm: float, donor_mm: float) -> Says:
    """A rear wheel on the quote runs on the donor's axle."""
    play_mm = abs(wheel_mm - donor_mm)
    if not above(play_mm, AXLE_PLAY_MM):
        return None
    units = facts.setup.units
    text = (
        f"{item.line.name} is for an axle of {show_length(wheel_mm, units)}; the donor's is "
        f"{show_length(donor_mm, units)}."
    )
    return at_most("stop", text, play_mm, AXLE_PLAY_MM, "mm", exchange("wheel"), act("Fit bearings for the axle"))


@rule(
    "wheel-beside-hub-motor",
    "wheels",
    title="Rear wheel and hub motor on one quote",
    levels=("check",),
    when=("motor",),
    each="wheel",
    reads=("wheel.end",),
    where=lambda facts, item: is_hub(facts, item),
    may_read=("motor.mount",),
    source="a hub motor brings its rim; common practice, no source",
)
def wheel_beside_hub_motor(facts: Facts, item: Fitted[Wheel], end: str) -> Says:
    """A hub motor, which is a rear wheel, has no second one beside it."""
    if end != "rear":
        return None
    text = f"The hub motor comes in a rim of its own; {item.line.name} would be left over."
    return plainly("check", text, act("Take the rear wheel off the quote"))


@rule(
    "brake-kind-differs",
    "wheels",
    title="Brake is of another kind than the donor's",
    levels=("check",),
    reads=("brake.brake_kind", "brake.end"),
    each="brake",
    about=("motor", "wheel"),
    may_read=("motor.mount", "wheel.end"),
    source="a disc brake goes on a wheel made for a disc, a drum on its own hub; common practice, no source",
)
def brake_kind_differs(facts: Facts, item: Fitted[Brake], brake_kind: str, end: str) -> Says:
    """A brake on the quote is of the donor's kind, or its wheel is changed with it."""
    donor = facts.setup.donor
    if donor is None or any(wheel.part.end == end for wheel in facts.setup.all(Wheel)):
        return None
    if end == "rear" and is_hub(facts, None):
        return None
    had = donor.front_brake if end == "front" else donor.rear_brake
    if not had:
        return Lacks("donor", f"{end}_brake")
    if had == brake_kind:
        return None
    text = (
        f"{item.line.name} is a {brake_kind} brake; the donor's {end} wheel has a {had}. Its wheel, its mount and what "
        "works it change too."
    )
    return plainly("check", text, exchange("wheel"), exchange("brake"), act("Quote the mount and what works it"))
