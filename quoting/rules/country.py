"""What the place of registration lets a conversion change, from the country sheet the shop keeps of it.

A sheet is the shop's own note of the authority's text, with a date. It is never the law: every finding says so.
"""

from __future__ import annotations

from quoting.request import CountrySheet
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Lacks, Said, Says, above, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_mass, show_percent, show_power

SHEET = "the shop's country sheet; the authority's own text decides; public practitioner report, case B41"
SHEET_DAYS = 365  # our own rule: rules of registration change about once a year
CONFIRM = "Confirm with your authority before the quote is offered"


def _by(sheet: CountrySheet | None) -> str:
    return "" if sheet is None else f" {sheet.name}, sheet of {sheet.as_of:%d %b %Y}; confirm with your authority."


@rule(
    "retrofit-mass",
    "law",
    title="Mass leaves the band a conversion may have here",
    levels=("check",),
    reads=("country.mass_share", "weight.after_kg", "weight.before_kg"),
    jobs=BUILDS,
    source=SHEET,
)
def retrofit_mass(facts: Facts, mass_share: float, after_kg: float, before_kg: float) -> Says:
    """Where the place limits it, the kerb mass stays within its share of the donor's."""
    share = abs(after_kg / before_kg - 1)
    if not above(share, mass_share):
        return None
    units = facts.setup.units
    text = (
        f"{show_mass(before_kg, units)} before, {show_mass(after_kg, units)} after, {show_percent(share)} apart; "
        f"{show_percent(mass_share)} is allowed.{_by(facts.setup.country)}"
    )
    return at_most("check", text, share * 100, mass_share * 100, "%", act(CONFIRM))


@rule(
    "retrofit-power",
    "law",
    title="More power than the engine had",
    levels=("check",),
    reads=("country.power_share", "country.power_counts", "donor.engine_kw"),
    when=("motor",),
    judges=("motor",),
    jobs=BUILDS,
    may_read=("motor.cont_kw", "motor.peak_kw"),
    source=SHEET,
)
def retrofit_power(facts: Facts, power_share: float, counts: str, engine_kw: float) -> Says:
    """Where the place limits it, the motor gives no more power than its share of the petrol engine's."""
    field = "cont_kw" if counts == "continuous" else "peak_kw"
    item = facts.first("motor")
    motor_kw: float | None = getattr(item.part, field) if item else None
    if motor_kw is None:
        return Lacks("motor", field)
    motor_kw *= facts.count("motor")
    limit_kw = engine_kw * power_share
    if not above(motor_kw, limit_kw):
        return None
    units = facts.setup.units
    text = (
        f"The motor gives {show_power(motor_kw * 1000, units)} {counts}, the engine gave "
        f"{show_power(engine_kw * 1000, units)}; {show_percent(power_share)} of that is allowed."
        f"{_by(facts.setup.country)}"
    )
    sealed = act(f"Limit the power to {show_power(limit_kw * 1000, units)} in the controller, sealed")
    return at_most("check", text, motor_kw, limit_kw, "kW", sealed, exchange("motor"), act(CONFIRM))


@rule(
    "retrofit-age",
    "law",
    title="Donor is too young to be converted here",
    levels=("check",),
    reads=("country.least_age_years", "donor.year"),
    where=lambda facts, item: facts.day is not None,
    jobs=BUILDS,
    source=SHEET,
)
def retrofit_age(facts: Facts, least_years: int, year: int) -> Says:
    """Where the place limits it, the donor has been registered for long enough."""
    if facts.day is None or not below(facts.day.year - year, least_years):
        return None
    age = facts.day.year - year
    text = (
        f"The donor is of {year}; {least_years} years since its first registration are asked for."
        f"{_by(facts.setup.country)}"
    )
    return Said("check", text, age, least_years, age - least_years, "years", (act(CONFIRM),))


@rule(
    "retrofit-axles",
    "law",
    title="Axle split leaves what a conversion may have here",
    levels=("check",),
    reads=(
        "country.front_share_points",
        "weight.front_before_kg",
        "weight.before_kg",
        "weight.front_after_kg",
        "weight.after_kg",
    ),
    jobs=BUILDS,
    source=SHEET,
)
def retrofit_axles(
    facts: Facts, most_points: float, front_kg: float, before_kg: float, front_after_kg: float, after_kg: float
) -> Says:
    """Where the place limits it, the front axle's share of the weight stays close to the donor's."""
    was, now = front_kg / before_kg, front_after_kg / after_kg
    points = abs(now - was) * 100
    if not above(points, most_points):
        return None
    text = (
        f"The front axle carried {show_percent(was, 1)} and would carry {show_percent(now, 1)}: {points:.1f} points "
        f"apart, {most_points:g} are allowed.{_by(facts.setup.country)}"
    )
    way = "forward" if now < was else "backward"
    return at_most("check", text, points, most_points, "points", act(f"Move the pack {way}"), act(CONFIRM))


@rule(
    "registration-papers",
    "law",
    title="Papers the authority wants to see",
    levels=("note",),
    reads=("country.papers",),
    jobs=BUILDS,
    source="the shop's country sheet; public practitioner report, case C33",
)
def registration_papers(facts: Facts, papers: tuple[str, ...]) -> Says:
    """The papers that registration takes are on the quote's list from the start."""
    if not papers:
        return None
    return plainly("note", f"To be handed in: {'; '.join(papers)}.{_by(facts.setup.country)}")


@rule(
    "country-sheet-old",
    "law",
    title="Country sheet is more than a year old",
    levels=("check",),
    reads=("country.name",),
    where=lambda facts, item: facts.day is not None,
    jobs=BUILDS,
    source="365 days; our own rule",
)
def country_sheet_old(facts: Facts, name: str) -> Says:
    """The sheet was held against the authority's text within the last year."""
    sheet = facts.setup.country
    if sheet is None or facts.day is None:
        return None
    days = (facts.day - sheet.as_of).days
    if days <= SHEET_DAYS:
        return None
    text = f"The sheet of {name} is of {sheet.as_of:%d %b %Y}, {days} days ago. Rules of registration change."
    ask = act("Read the authority's text again and put its date on the sheet")
    return at_most("check", text, days, SHEET_DAYS, "days", ask)
