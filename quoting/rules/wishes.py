"""What the customer wishes for, against what the bike does. A wish not met is a check, never a stop."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quoting.request import Wishes
from quoting.result import ChargeCase, ProfileRange
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Said, Says, Way, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange, parallel_at_least
from quoting.show import show_distance, show_hours, show_speed, show_use

WISH = "the customer's wish"
RANGE_BAND = "band of ±10 % drag area and ±15 % rolling resistance; see the range's working"
PROFILE_WISHES = {"town": "town_km", "back_road": "back_road_km", "highway": "highway_km"}


@rule(
    "wish-range",
    "wishes",
    title="Range is short of the wish",
    levels=("check", "note"),
    reads=("ride.profiles",),
    about=("cell", "module"),
    source=RANGE_BAND,
)
def wish_range(facts: Facts, profiles: tuple[ProfileRange, ...]) -> Says:
    """The likely range on each profile reaches the wish, and better the low end of the band does."""
    found = [
        _range(facts, profile, wished) for profile in profiles if (wished := _wish(facts.setup.wishes, profile.profile))
    ]
    return tuple(said for said in found if said is not None)


def _wish(wishes: Wishes, profile: str) -> float | None:
    field = PROFILE_WISHES.get(profile)
    value: float | None = getattr(wishes, field) if field else None
    return value


def _range(facts: Facts, profile: ProfileRange, wished_km: float) -> Said | None:
    units = facts.setup.units
    band = f"{show_distance(profile.low_km, units)} to {show_distance(profile.high_km, units)}"
    seen = (
        f"{profile.label}: {show_distance(wished_km, units)} wished, {show_distance(profile.likely_km, units)} likely "
        f"({band}) at {show_use(profile.wh_per_km, units)}."
    )
    if below(profile.likely_km, wished_km):
        more = parallel_at_least(wished_km / profile.likely_km)
        slower = act("Ride slower, or charge on the way")
        return at_least("check", seen, profile.likely_km, wished_km, "km", more, slower)
    if below(profile.low_km, wished_km):
        text = f"{seen} A windy day or an upright rider can fall short."
        return at_least("note", text, profile.low_km, wished_km, "km", parallel_at_least(wished_km / profile.low_km))
    return None


@rule(
    "profile-not-held",
    "wishes",
    title="Bike cannot hold a profile the customer rides",
    levels=("check",),
    reads=("ride.profiles", "ride.held_kmh", "ride.top_kmh"),
    about=("motor", "controller"),
    source="continuous power against road load; public practitioner report, case B57",
)
def profile_not_held(facts: Facts, profiles: tuple[ProfileRange, ...], held_kmh: float, top_kmh: float) -> Says:
    """The bike holds every profile for which a range is wished."""
    units = facts.setup.units
    does = f"this bike holds {show_speed(held_kmh, units)} and reaches {show_speed(top_kmh, units)}"
    return tuple(
        plainly(
            "check",
            f"{profile.label} goes up to {show_speed(profile.fastest_kmh, units)}; {does}. Limit: {profile.limit}.",
            act("Choose a motor with more continuous power, or tell the customer which speed it holds"),
        )
        for profile in profiles
        if _wish(facts.setup.wishes, profile.profile) and not profile.possible
    )


@rule(
    "held-speed",
    "wishes",
    title="Speed it holds, and for how long it goes faster",
    levels=("note",),
    reads=("ride.held_kmh", "ride.top_kmh"),
    source="continuous against peak power; public practitioner report, case B57",
)
def held_speed(facts: Facts, held_kmh: float, top_kmh: float) -> Says:
    """The quote says which speed the bike holds for good, and that its top speed is for minutes."""
    if not above(top_kmh, held_kmh):
        return None
    units = facts.setup.units
    minutes = facts.ride.peak_minutes if facts.ride else None
    how_long = f"about {minutes:.0f} min" if minutes is not None and minutes >= 1 else "a short while"
    text = (
        f"It holds {show_speed(held_kmh, units)} for good. Up to {show_speed(top_kmh, units)} goes for "
        f"{how_long} at a time."
    )
    return plainly("note", text)


def _short(facts: Facts, value_kmh: float, wished_kmh: float, what: str, limit: str | None, *ways: Way) -> Says:
    if not below(value_kmh, wished_kmh):
        return None
    units = facts.setup.units
    why = f" Limited by {limit}." if limit else ""
    text = f"{show_speed(wished_kmh, units)} wished, {show_speed(value_kmh, units)} {what}.{why}"
    return at_least("check", text, value_kmh, wished_kmh, "km/h", *ways)


@rule(
    "wish-held-speed",
    "wishes",
    title="Held speed is short of the wish",
    levels=("check",),
    reads=("wishes.held_kmh", "ride.held_kmh"),
    about=("motor", "controller"),
    source=WISH,
)
def wish_held_speed(facts: Facts, wished_kmh: float, held_kmh: float) -> Says:
    """The speed the bike holds for good reaches the wish."""
    limit = facts.ride.held_limit if facts.ride else None
    return _short(facts, held_kmh, wished_kmh, "held", limit, act("Choose a motor with more continuous power"))


@rule(
    "wish-top-speed",
    "wishes",
    title="Top speed is short of the wish",
    levels=("check",),
    reads=("wishes.top_kmh", "ride.top_kmh"),
    about=("motor", "controller", "final_drive"),
    source=f"{WISH}; public practitioner report, case B42: show the ratio that is needed",
)
def wish_top_speed(facts: Facts, wished_kmh: float, top_kmh: float) -> Says:
    """The top speed reaches the wish; where the gearing limits it, the ratio that would reach it is shown."""
    limit = facts.ride.top_limit if facts.ride else None
    ratio = facts.ride.overall_ratio if facts.ride else None
    ways = [act("Choose a motor with more peak power or another speed constant")]
    if ratio and facts.of("final_drive"):
        taller = ratio * top_kmh / wished_kmh
        ways.insert(0, act(f"If the motor's speed is the limit: {taller:.2f} to 1 overall instead of {ratio:.2f} to 1"))
    return _short(facts, top_kmh, wished_kmh, "reached", limit, *ways)


@rule(
    "wish-hill",
    "wishes",
    title="Hill is steeper than it climbs for good",
    levels=("check",),
    reads=("wishes.hill_percent", "ride.climb_grade_percent"),
    about=("motor", "controller"),
    source=WISH,
)
def wish_hill(facts: Facts, wished: float, climbs: float) -> Says:
    """The grade it climbs at continuous power reaches the wish."""
    if not below(climbs, wished):
        return None
    text = f"A hill of {wished:g} % is wished; at continuous power it climbs {climbs:.1f} %."
    return at_least(
        "check", text, climbs, wished, "%", act("Choose a motor with more continuous power, or gear it lower")
    )


@rule(
    "wish-overnight",
    "wishes",
    title="Charging takes longer than the night",
    levels=("check",),
    reads=("wishes.overnight_h", "charge.cases"),
    about=("charger",),
    source=WISH,
)
def wish_overnight(facts: Facts, wished_h: float, cases: tuple[ChargeCase, ...]) -> Says:
    """From empty to full takes no longer than the customer's night, on the customer's own circuit or a usual one."""
    if not cases:
        return Lacks("charge", "cases")
    case = cases[0]  # the customer's own circuit, else the weakest of the usual ones
    if not above(case.full_h, wished_h):
        return None
    text = (
        f"{case.label}: {show_hours(case.full_h)} from empty to full, limited by {case.limited_by}; the night is "
        f"{show_hours(wished_h)}."
    )
    return at_most(
        "check", text, case.full_h, wished_h, "h", exchange("charger"), act("Charge from a stronger circuit")
    )


@rule(
    "wish-budget",
    "wishes",
    title="Price is above the budget",
    levels=("check",),
    reads=("wishes.budget", "price.due"),
    source=f"{WISH}: all in, tax included",
)
def wish_budget(facts: Facts, budget: Decimal, due: Decimal) -> Says:
    """What is due, tax included, stays within the budget."""
    if due <= budget:
        return None
    text = (
        f"{facts.currency} {due:,} is due; the budget is {facts.currency} {budget:,}, {facts.currency} "
        f"{due - budget:,} less."
    )
    return at_most("check", text.strip(), float(due), float(budget), facts.currency, act("See which wish costs what"))


@rule(
    "wish-need-by",
    "wishes",
    title="Finish is later than the customer needs it",
    levels=("check",),
    reads=("wishes.need_by_days", "promise.finish_to"),
    source=WISH,
)
def wish_need_by(facts: Facts, wished_days: int, finish_to: date) -> Says:
    """The late end of the finish window is no later than the day the customer needs the bike."""
    if facts.day is None:
        return None
    days = (finish_to - facts.day).days
    if days <= wished_days:
        return None
    text = f"It may take until {finish_to:%d %b %Y}, {days} days; the customer needs it in {wished_days}."
    return at_most(
        "check", text, days, wished_days, "days", act("See what decides the date, and what would bring it forward")
    )
