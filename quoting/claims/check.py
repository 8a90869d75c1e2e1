"""check_claim(): what a claim comes to, and where its figures contradict each other."""

from __future__ import annotations

from quoting.claims.charging import charging_lines
from quoting.claims.claim import AGREES, BODIES, NEEDS, REFUSED, Claim, ClaimCheck, ClaimLine
from quoting.claims.road import POLICIES, battery_w, fastest_for, reach, shaft_w, usable_wh
from quoting.errors import FieldProblem, RequestError
from quoting.parts import CHEMISTRIES
from quoting.ride.cold import LEAD_HOUR_SHARE
from quoting.show import (
    show_distance,
    show_energy,
    show_mass,
    show_percent,
    show_power,
    show_speed,
    show_use,
    show_watts,
)

# A town's lowest limit, 25 mph: a range that only holds below it is no range on a road. Our own rule.
SLOWEST_ROAD_KMH = 40.0
# The largest pack reported is 19.5 kWh, in a sidecar outfit (case A35); 30 kWh do not fit a donor (question D2).
LARGEST_WH = 20_000.0
PACK_WH_PER_KG = 160.0  # with box and wiring; common practice, no source (case A10 reports 179)
ROAD = "road load ½·ρ·CdA·v² + Crr·m·g, drive and lamps as assumed in quotes; ±10 % drag, ±15 % rolling"
REPORTS = "public practitioner reports, cases A16, A17, A35 and questions D1, D2"
AMOUNTS = (
    "distance_km", "energy_wh", "speed_kmh", "charge_h", "charger_w", "cont_w", "laden_kg", "cda_m2",
)  # fmt: skip


def check_claim(claim: Claim, units: str = "us") -> ClaimCheck:
    """Work a claim out, line by line.

    Parameters: `claim`; `units` us or metric, for the words. Returns: ClaimCheck; no lines where too little is said to
    work anything out. Raises: RequestError naming each field that cannot be.
    """
    _refuse_bad_input(claim)
    lines = [
        *_range_lines(claim, units),
        *_energy_lines(claim, units),
        *_power_lines(claim, units),
        *charging_lines(claim),
    ]
    return ClaimCheck(lines=tuple(lines))


def _refuse_bad_input(claim: Claim) -> None:
    problems = [
        FieldProblem(name, f"is {value:g}.", "Give more than zero, or leave it out.")
        for name in AMOUNTS
        if (value := getattr(claim, name)) is not None and not value > 0.0
    ]
    if claim.body not in BODIES:
        problems.append(FieldProblem("body", f"'{claim.body}' is unknown.", f"Use one of {', '.join(BODIES)}."))
    if claim.chemistry not in CHEMISTRIES:
        names = ", ".join(CHEMISTRIES)
        problems.append(FieldProblem("chemistry", f"'{claim.chemistry}' is unknown.", f"Use one of {names}."))
    if problems:
        raise RequestError(tuple(problems))


def _usable_words(claim: Claim) -> str:
    """ "3.10 kWh × 92 %", and what lead gives in an hour."""
    lead = f" × {show_percent(LEAD_HOUR_SHARE)} (lead-acid within the hour)" if claim.chemistry == "lead" else ""
    return f"{show_energy(claim.energy_wh)} × {show_percent(POLICIES.usable_share)}{lead}"


def _bike_words(claim: Claim, units: str) -> str:
    return f"{show_mass(claim.mass_kg, units)} with rider, drag area {claim.drag_m2:.2f} m²"


def _range_lines(claim: Claim, units: str) -> list[ClaimLine]:
    """Energy over distance against what the road takes: at the speed that is said, or at which speed it would hold."""
    if claim.energy_wh is None or claim.distance_km is None:
        return [_reach_line(claim, units)] if claim.energy_wh is not None and claim.speed_kmh is not None else []
    use = usable_wh(claim) / claim.distance_km
    fastest_kmh = fastest_for(claim, use)
    sums = (
        f"{_usable_words(claim)} ÷ {show_distance(claim.distance_km, units)} = {show_use(use, units)}; "
        f"{_bike_words(claim, units)}"
    )
    holds_to = "at no speed" if fastest_kmh is None else f"up to {show_speed(fastest_kmh, units)} steady"
    if claim.speed_kmh is None:
        possible = fastest_kmh is not None and fastest_kmh >= SLOWEST_ROAD_KMH
        text = f"Holds {holds_to}." if possible else f"Holds {holds_to}: slower than traffic."
        return [
            ClaimLine(about="range", verdict=AGREES if possible else REFUSED, arithmetic=sums, text=text, source=ROAD)
        ]
    goes = reach(claim, claim.speed_kmh)
    takes = (
        f"at {show_speed(claim.speed_kmh, units)} it takes {show_use(goes.best_use, units)} at best, "
        f"{show_use(goes.likely_use, units)} likely"
    )
    far = f"{show_distance(goes.best_km, units)} at best, {show_distance(goes.likely_km, units)} likely"
    if claim.distance_km > goes.best_km:
        text = f"At {show_speed(claim.speed_kmh, units)} it goes {far}. The claim holds {holds_to}."
        verdict = REFUSED
    else:
        text, verdict = f"At {show_speed(claim.speed_kmh, units)} it goes {far}.", AGREES
    return [
        ClaimLine(about="range", verdict=verdict, arithmetic=f"{sums}; {takes}", text=text, source=f"{ROAD}; {REPORTS}")
    ]


def _reach_line(claim: Claim, units: str) -> ClaimLine:
    """How far, where no distance is said."""
    speed_kmh = claim.speed_kmh or SLOWEST_ROAD_KMH
    goes = reach(claim, speed_kmh)
    sums = (
        f"{_usable_words(claim)} ÷ {show_use(goes.likely_use, units)} at {show_speed(speed_kmh, units)}; "
        f"{_bike_words(claim, units)}"
    )
    text = f"Goes {show_distance(goes.likely_km, units)} likely, {show_distance(goes.best_km, units)} at best."
    return ClaimLine(about="range", verdict=NEEDS, arithmetic=sums, text=text, source=ROAD)


def _energy_lines(claim: Claim, units: str) -> list[ClaimLine]:
    """The pack the distance takes, where none is said; and whether such a pack goes on a donor."""
    lines: list[ClaimLine] = []
    energy_wh = claim.energy_wh
    if energy_wh is None and claim.distance_km is not None and claim.speed_kmh is not None:
        goes = reach(claim, claim.speed_kmh)
        share = POLICIES.usable_share * (LEAD_HOUR_SHARE if claim.chemistry == "lead" else 1.0)
        energy_wh = goes.likely_use * claim.distance_km / share
        sums = (
            f"{show_distance(claim.distance_km, units)} × {show_use(goes.likely_use, units)} at "
            f"{show_speed(claim.speed_kmh, units)} ÷ {show_percent(share)} usable; {_bike_words(claim, units)}"
        )
        worst_wh = goes.worst_use * claim.distance_km / share
        text = f"Takes a pack of about {show_energy(energy_wh)}; {show_energy(worst_wh)} to be sure."
        lines.append(ClaimLine(about="energy", verdict=NEEDS, arithmetic=sums, text=text, source=f"{ROAD}; {REPORTS}"))
    if energy_wh is not None and energy_wh > LARGEST_WH:
        sums = f"{show_energy(energy_wh)} ÷ {PACK_WH_PER_KG:g} Wh/kg = {show_mass(energy_wh / PACK_WH_PER_KG, units)}"
        text = (
            f"A pack of {show_energy(energy_wh)} does not fit a donor: the largest reported has 19.5 kWh, in a sidecar "
            "outfit. Charge on the way, or ride slower."
        )
        lines.append(ClaimLine(about="energy", verdict=REFUSED, arithmetic=sums, text=text, source=REPORTS))
    return lines


def _power_lines(claim: Claim, units: str) -> list[ClaimLine]:
    """What the speed takes out of the pack, and whether the motor holds it."""
    if claim.speed_kmh is None:
        return []
    best_w, likely_w, worst_w = battery_w(claim, claim.speed_kmh)
    sums = (
        f"at {show_speed(claim.speed_kmh, units)} on the level, {_bike_words(claim, units)}: {show_watts(best_w)} to "
        f"{show_watts(worst_w)} out of the pack"
    )
    if claim.cont_w is None:
        text = f"Takes {show_watts(likely_w)} out of the pack for good, more uphill."
        return [ClaimLine(about="power", verdict=NEEDS, arithmetic=sums, text=text, source=ROAD)]
    need_w = shaft_w(claim, claim.speed_kmh)
    sums = f"{sums}; {show_power(need_w, units)} at the shaft at best"
    if claim.cont_w < need_w:
        text = (
            f"A motor that holds {show_power(claim.cont_w, units)} does not hold {show_speed(claim.speed_kmh, units)}: "
            "that speed is for minutes."
        )
        return [ClaimLine(about="power", verdict=REFUSED, arithmetic=sums, text=text, source=f"{ROAD}; case B57")]
    text = f"A motor that holds {show_power(claim.cont_w, units)} can hold {show_speed(claim.speed_kmh, units)}."
    return [ClaimLine(about="power", verdict=AGREES, arithmetic=sums, text=text, source=ROAD)]
