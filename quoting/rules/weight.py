"""Weight: the plate, the axles, the brakes."""

from __future__ import annotations

from quoting.parts import Brake
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_mass, show_percent

SEAT_KG = 68.0389  # 150 lb a designated seating position, 49 CFR 567.4(g)(3)
SHARE_SHIFT = 0.05  # share of weight on the front axle that a rider notices; common practice, no source
LIGHTER = act("Use a lighter pack or motor; the rating on the plate does not rise")


@rule(
    "gross-weight",
    "weight",
    title="Heavier than the plate allows",
    levels=("stop",),
    reads=("weight.laden_kg", "donor.gvwr_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    about=("cell", "module", "motor"),
    source="GVWR on the plate, 49 CFR 567.4; public practitioner report, case B40",
)
def gross_weight(facts: Facts, laden_kg: float, gvwr_kg: float) -> Says:
    """With rider, luggage, and passenger if wished, the bike stays within its gross weight rating."""
    if not above(laden_kg, gvwr_kg):
        return None
    units = facts.setup.units
    who = "rider, passenger and luggage" if facts.setup.wishes.two_up else "rider and luggage"
    text = (
        f"With {who} it weighs {show_mass(laden_kg, units)}; the plate allows {show_mass(gvwr_kg, units)}, "
        f"{show_mass(laden_kg - gvwr_kg, units)} less."
    )
    return at_most("stop", text, laden_kg, gvwr_kg, "kg", LIGHTER)


@rule(
    "payload-under-seats",
    "weight",
    title="Too little load left for the seats",
    levels=("stop",),
    reads=("weight.after_kg", "weight.laden_kg", "donor.gvwr_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    source="49 CFR 567.4(g)(3): GVWR at least unloaded weight + 150 lb a seat",
)
def payload_under_seats(facts: Facts, after_kg: float, laden_kg: float, gvwr_kg: float) -> Says:
    """The plate leaves 150 lb for each seat that is used."""
    seats = 2 if facts.setup.wishes.two_up else 1
    need_kg, left_kg = seats * SEAT_KG, gvwr_kg - after_kg
    if above(laden_kg, gvwr_kg) or not below(left_kg, need_kg):
        return None
    units = facts.setup.units
    text = (
        f"The converted bike leaves {show_mass(left_kg, units)} under its plate; {seats} "
        f"seat{'s' if seats > 1 else ''} "
        f"count{'' if seats > 1 else 's'} for {show_mass(need_kg, units)}."
    )
    return at_least(
        "stop", text, left_kg, need_kg, "kg", LIGHTER, act("Make it a single seat, with the papers changed")
    )


def _axle(facts: Facts, laden_kg: float, rating_kg: float, end: str) -> Says:
    if not above(laden_kg, rating_kg):
        return None
    units = facts.setup.units
    text = f"Laden, {show_mass(laden_kg, units)} stand on the {end} axle; it is rated {show_mass(rating_kg, units)}."
    other = "forward" if end == "rear" else "backward"
    return at_most("stop", text, laden_kg, rating_kg, "kg", act(f"Move the pack {other}"), LIGHTER)


@rule(
    "front-axle-rating",
    "weight",
    title="Front axle overloaded",
    levels=("stop",),
    reads=("weight.front_laden_kg", "donor.gawr_front_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    source="GAWR on the plate, 49 CFR 567.4",
)
def front_axle_rating(facts: Facts, laden_kg: float, rating_kg: float) -> Says:
    """Laden, the front axle stays within its rating."""
    return _axle(facts, laden_kg, rating_kg, "front")


@rule(
    "rear-axle-rating",
    "weight",
    title="Rear axle overloaded",
    levels=("stop",),
    reads=("weight.rear_laden_kg", "donor.gawr_rear_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    source="GAWR on the plate, 49 CFR 567.4",
)
def rear_axle_rating(facts: Facts, laden_kg: float, rating_kg: float) -> Says:
    """Laden, the rear axle stays within its rating."""
    return _axle(facts, laden_kg, rating_kg, "rear")


@rule(
    "front-share-shift",
    "weight",
    title="Weight moves from one axle to the other",
    levels=("check",),
    reads=("weight.front_before_kg", "weight.before_kg", "weight.front_after_kg", "weight.after_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    source="5 points of front share; common practice, no source; public practitioner report, case B41",
)
def front_share_shift(facts: Facts, front_kg: float, before_kg: float, front_after_kg: float, after_kg: float) -> Says:
    """The front axle's share of the bike's weight moves by at most 5 points."""
    was, now = front_kg / before_kg, front_after_kg / after_kg
    if not above(abs(now - was), SHARE_SHIFT):
        return None
    way = "forward" if now < was else "backward"
    text = (
        f"The front axle carried {show_percent(was)} and would carry {show_percent(now)}: steering and braking change."
    )
    return at_most("check", text, abs(now - was) * 100, SHARE_SHIFT * 100, "%", act(f"Move the pack {way}"))


@rule(
    "brakes-and-weight",
    "weight",
    title="Brakes are not made for this weight",
    levels=("stop", "check"),
    reads=("weight.after_kg", "weight.before_kg", "weight.laden_kg"),
    when=("motor", "cell"),
    jobs=BUILDS,
    about=("brake",),
    may_read=("brake.end", "brake.rated_mass_kg"),
    source="the maker's laden mass; unchanged brakes with more mass: common practice, no source",
)
def brakes_and_weight(facts: Facts, after_kg: float, before_kg: float, laden_kg: float) -> Says:
    """Where the bike gains weight, its brakes are rated for the laden bike."""
    units = facts.setup.units
    brakes = facts.setup.all(Brake)
    fitted = [brake.part.rated_mass_kg for brake in brakes]
    donor_kg = facts.setup.donor.brake_rated_kg if facts.setup.donor else None
    if not above(after_kg, before_kg) and not fitted:
        return None
    if None in fitted:
        return Lacks("brake", "rated_mass_kg", brakes[fitted.index(None)])
    keeps = {"front", "rear"} - {brake.part.end for brake in brakes}
    rated = [kg for kg in (*fitted, *((donor_kg,) if keeps else ())) if kg is not None]
    if keeps and donor_kg is None and above(after_kg, before_kg):
        more, which = show_mass(after_kg - before_kg, units), f"its {keeps.pop()} brake" if brakes else "its brakes"
        text = f"The bike gains {more}, keeps {which}, and nobody has said what the donor's brakes are rated for."
        return plainly("check", text, act("Brake test laden, from the held speed, before handover"), exchange("brake"))
    if not rated or not above(laden_kg, rated_kg := min(rated)):
        return None
    text = f"Laden it weighs {show_mass(laden_kg, units)}; the brakes are rated for {show_mass(rated_kg, units)}."
    return at_most("stop", text, laden_kg, rated_kg, "kg", exchange("brake"), LIGHTER)
