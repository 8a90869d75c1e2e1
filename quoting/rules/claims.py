"""What the note and the option's name promise, against what was worked out. A promise beyond that is not printed."""

from __future__ import annotations

from quoting.claims import charges_said, distances_said_km
from quoting.parts import Part
from quoting.result import ChargeCase, ProfileRange
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Lacks, Said, Says, above, at_least, at_most, below
from quoting.rules.ways_out import act
from quoting.setup import Fitted
from quoting.show import show_distance, show_energy, show_hours, show_use, show_watts

# A charge time is rounded in speech; what is said may be this much short of what was worked out. Our own rule.
ROUNDED = 0.9


def _ranges_km(facts: Facts) -> tuple[float, ...]:
    setup = facts.setup
    return (*distances_said_km(setup.option.label, always=True), *distances_said_km(setup.note))


def _says_range(facts: Facts, item: Fitted[Part] | None) -> bool:
    return bool(_ranges_km(facts))


def _says_charge(facts: Facts, item: Fitted[Part] | None) -> bool:
    return bool(charges_said(facts.setup.note))


@rule(
    "claimed-range",
    "desk",
    title="Quote promises a range the bike does not have",
    levels=("stop",),
    reads=("ride.profiles",),
    where=_says_range,
    jobs=BUILDS,
    source="the better end of the range's band; public practitioner reports, cases A16 and A1: refuse to print it",
)
def claimed_range(facts: Facts, profiles: tuple[ProfileRange, ...]) -> Says:
    """A range named in the note or in the option's name lies within what was worked out for some profile."""
    if not profiles:
        return Lacks("ride", "profiles")
    best = max(profiles, key=lambda profile: profile.high_km)
    units, pack = facts.setup.units, facts.pack
    found: list[Said] = []
    for said_km in sorted(set(_ranges_km(facts)), reverse=True):
        if not above(said_km, best.high_km):
            continue
        usable_wh = pack.usable_wh if pack else None
        sums = (
            ""
            if usable_wh is None
            else f"{show_energy(usable_wh)} used over it are {show_use(usable_wh / said_km, units)}; "
        )
        text = (
            f"{show_distance(said_km, units)} is written. {sums}{best.label} takes {show_use(best.wh_per_km, units)} "
            f"and goes {show_distance(best.low_km, units)} to {show_distance(best.high_km, units)}, the farthest."
        )
        write = act(
            f"Write {show_distance(best.low_km, units)} to {show_distance(best.high_km, units)} in town, or no figure"
        )
        found.append(at_most("stop", text, said_km, best.high_km, "km", write))
    return tuple(found)


@rule(
    "claimed-charge-time",
    "desk",
    title="Quote promises a charge time the charger does not give",
    levels=("stop",),
    reads=("charge.cases",),
    where=_says_charge,
    about=("charger",),
    jobs=BUILDS,
    source="the quickest outlet's charge time; public practitioner reports, cases A16 and A20",
)
def claimed_charge_time(facts: Facts, cases: tuple[ChargeCase, ...]) -> Says:
    """A charge time named in the note is one the charger gives from some outlet."""
    if not cases:
        return Lacks("charge", "cases")
    found: list[Said] = []
    for said in charges_said(facts.setup.note):
        hours = {case: case.most_h if said.in_part else case.full_h for case in cases}
        quickest = min(cases, key=lambda case: hours[case])
        if not below(said.hours, ROUNDED * hours[quickest]):
            continue
        what = "from 20 to 80 %" if said.in_part else "from empty to full"
        text = (
            f"{show_hours(said.hours)} is written. {quickest.label} gives {show_watts(quickest.ac_w)} and takes "
            f"{show_hours(hours[quickest])} {what}, limited by {quickest.limited_by}."
        )
        write = act(f"Write {show_hours(hours[quickest])}, and from which outlet")
        found.append(at_least("stop", text, said.hours, ROUNDED * hours[quickest], "h", write))
    return tuple(found)
