"""The reported builds against what we would have quoted, as a table: python -m tests.quoting.practice.table

The table stands in DEVELOPERS.md between the marks below; a test holds it against this.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator

from quoting.claims import Claim, check_claim, quickest_h, slowest_h
from quoting.ride.speed import road_speed_kmh
from quoting.show import show_hours
from tests.quoting.practice.predicted import range_band_km, speed_band_kmh
from tests.quoting.practice.reports import CHARGES, GEARS, RANGES, SPEEDS, ChargeReport, RangeReport

BEGIN, END = "<!-- reported builds: begin -->", "<!-- reported builds: end -->"
HEAD = ("case", "what", "reported", "predicted", "verdict")
PROFILES = {"town": "range in town", "back_road": "range on back roads", "highway": "range on the highway"}
Row = tuple[str, str, str, str, str]


def rows() -> Iterator[Row]:
    """Every report: range, then speed, then gearing, then charging."""
    for report in RANGES:
        low_km, high_km = range_band_km(report)
        what = PROFILES[report.ridden] if isinstance(report.ridden, str) else f"range at {report.ridden:g} km/h"
        yield (
            report.case,
            what,
            _span(report.reported_km, "km"),
            _span((low_km, high_km), "km"),
            range_verdict(report),
        )
    for speed in SPEEDS:
        low_kmh, high_kmh = speed_band_kmh(speed)
        first_kmh, last_kmh = speed.reported_kmh
        verdict = "agrees" if low_kmh <= last_kmh and high_kmh >= first_kmh else "outside"
        what = f"{speed.what} speed on {speed.shaft_w / 1000:.3g} kW at the shaft"
        yield (speed.case, what, _span(speed.reported_kmh, "km/h"), _span((low_kmh, high_kmh), "km/h"), verdict)
    for gear in GEARS:
        kmh = road_speed_kmh(gear.rpm, gear.ratio, gear.circumference_m)
        what = f"speed at {gear.rpm:,g} rpm, {gear.what}"
        off = (gear.reported_kmh / kmh - 1.0) * 100
        yield (gear.case, what, f"{gear.reported_kmh:g} km/h", f"{kmh:.1f} km/h", f"{off:+.1f} %")
    for charge in CHARGES:
        yield (charge.case, *_charge_row(charge))


def range_verdict(report: RangeReport) -> str:
    """ "agrees", or the finding that says why the report contradicts itself."""
    if report.agrees:
        return "agrees"
    speed_kmh = None if isinstance(report.ridden, str) else report.ridden
    claim = Claim(
        distance_km=report.reported_km[0], energy_wh=report.energy_wh, speed_kmh=speed_kmh, laden_kg=report.mass_kg,
        cda_m2=report.cda_m2,
    )  # fmt: skip
    line = next(each for each in check_claim(claim, "metric").lines if each.about == "range")
    return f"beyond reach: {line.arithmetic.split(';')[0]}. {line.text}"


def charge_verdict(report: ChargeReport) -> str:
    """What the claim check says of energy, charger and time."""
    claim = Claim(energy_wh=report.energy_wh, charger_w=report.charger_w, charge_h=report.hours)
    (line,) = check_claim(claim, "metric").lines
    return "agrees" if line.verdict == "agrees" else line.text


def _charge_row(report: ChargeReport) -> tuple[str, str, str, str]:
    energy, hours = f"{report.energy_wh / 1000:g} kWh", show_hours(report.hours)
    if report.charger_w is None:
        return f"full charge of {energy}", hours, "charger not said", charge_verdict(report)
    quick, slow = quickest_h(report.energy_wh, report.charger_w), slowest_h(report.energy_wh, report.charger_w)
    what = f"full charge of {energy} at {report.charger_w / 1000:g} kW"
    return what, hours, f"{show_hours(quick)} to {show_hours(slow)}", charge_verdict(report)


def _span(span: tuple[float, float], unit: str) -> str:
    low, high = (f"{value:.0f}" for value in span)
    return f"{low} {unit}" if low == high else f"{low} to {high} {unit}"


def table() -> str:
    """The Markdown between the marks."""
    lines = [f"| {' | '.join(row)} |" for row in (HEAD, ("---",) * len(HEAD), *rows())]
    return "\n".join((BEGIN, "", *lines, "", END)) + "\n"


if __name__ == "__main__":
    sys.stdout.write(table())
