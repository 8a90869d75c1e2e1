"""Charge time against energy and charger: three figures of which any two give the third."""

from __future__ import annotations

from quoting.claims.claim import AGREES, NEEDS, REFUSED, Claim, ClaimLine
from quoting.show import show_energy, show_hours, show_watts

# The quickest that can be: only this share of the nominal energy goes back, and nothing is lost. Practitioners take
# usable energy as 85 %: public practitioner reports, reference used for all cases.
LEAST_BACK = 0.85
# The slowest that is still a fair word for it: all of the energy, through a charger that keeps 15 % of what it draws
# (on-board chargers give 0.85 to 0.95, from memory), and a constant-voltage tail of a quarter of the time (a published
# charge time calculator).
LEAST_EFFICIENCY = 0.85
TAIL_FACTOR = 1.25
LIKELY_EFFICIENCY = 0.90  # as quotes assume where a data sheet is silent
SOURCE = (
    "time = energy ÷ power; 85 % back at the least, 85 % efficiency and a tail of a quarter at the most; public "
    "practitioner reports, cases A14, A16, A20, A35"
)


def quickest_h(energy_wh: float, charger_w: float) -> float:
    """Least time for a full charge [h]: 85 % of the nominal energy [Wh] at the charger's full power [W]."""
    return LEAST_BACK * energy_wh / charger_w


def slowest_h(energy_wh: float, charger_w: float) -> float:
    """Most time for a full charge [h]: all of the energy [Wh], a poor charger [W], a long tail."""
    return TAIL_FACTOR * energy_wh / (LEAST_EFFICIENCY * charger_w)


def charging_lines(claim: Claim) -> list[ClaimLine]:
    """The two figures that are said against the third, or the third worked out; nothing where only one is said."""
    energy_wh, charger_w, hours = claim.energy_wh, claim.charger_w, claim.charge_h
    if energy_wh is not None and charger_w is not None:
        return [_time_line(energy_wh, charger_w, hours)]
    if energy_wh is not None and hours is not None:
        least_w, likely_w = LEAST_BACK * energy_wh / hours, energy_wh / (LIKELY_EFFICIENCY * hours)
        sums = f"{show_energy(energy_wh)} × 85 % ÷ {show_hours(hours)} = {show_watts(least_w)}"
        text = f"Takes a charger of at least {show_watts(least_w)}, likely {show_watts(likely_w)} from the wall."
        return [ClaimLine(about="charging", verdict=NEEDS, arithmetic=sums, text=text, source=SOURCE)]
    if charger_w is not None and hours is not None:
        given_wh = charger_w * hours * LIKELY_EFFICIENCY
        sums = f"{show_watts(charger_w)} × {show_hours(hours)} × {LIKELY_EFFICIENCY:g} = {show_energy(given_wh)}"
        text = f"Puts about {show_energy(given_wh)} into the pack."
        return [ClaimLine(about="charging", verdict=NEEDS, arithmetic=sums, text=text, source=SOURCE)]
    return []


def _time_line(energy_wh: float, charger_w: float, hours: float | None) -> ClaimLine:
    quick, slow = quickest_h(energy_wh, charger_w), slowest_h(energy_wh, charger_w)
    sums = (
        f"{show_energy(energy_wh)} ÷ {show_watts(charger_w)} = {show_hours(energy_wh / charger_w)}; "
        "× 85 % at the least, ÷ 0.85 × 1.25 at the most"
    )
    takes = f"{show_energy(energy_wh)} from {show_watts(charger_w)} takes {show_hours(quick)} to {show_hours(slow)}"
    if hours is None:
        return ClaimLine(about="charging", verdict=NEEDS, arithmetic=sums, text=f"{takes}.", source=SOURCE)
    if hours < quick:
        text = (
            f"{takes}, not {show_hours(hours)}. {show_hours(hours)} would take a charger of "
            f"{show_watts(LEAST_BACK * energy_wh / hours)}, or a pack of {show_energy(charger_w * hours / LEAST_BACK)}."
        )
    elif hours > slow:
        text = (
            f"{takes}, not {show_hours(hours)}. Energy, charger and time contradict each other: in "
            f"{show_hours(hours)} it puts in {show_energy(charger_w * hours * LIKELY_EFFICIENCY)}."
        )
    else:
        text = f"{takes}; {show_hours(hours)} agrees."
        return ClaimLine(about="charging", verdict=AGREES, arithmetic=sums, text=text, source=SOURCE)
    return ClaimLine(about="charging", verdict=REFUSED, arithmetic=sums, text=text, source=SOURCE)
