"""Reported builds: what we would have quoted contains what was reported, or the claim check says why it cannot be.

Source: public practitioner reports, group A (see reports.py for each case's numbers and what is assumed).
"""

from __future__ import annotations

import pytest

from quoting.claims import Claim, check_claim
from quoting.ride.speed import road_speed_kmh
from tests.quoting.practice.predicted import range_band_km, speed_band_kmh
from tests.quoting.practice.reports import (
    CHARGES,
    GEARS,
    RANGES,
    SPEEDS,
    ChargeReport,
    GearReport,
    RangeReport,
    SpeedReport,
)
from tests.quoting.practice.table import charge_verdict, range_verdict


@pytest.mark.parametrize("report", RANGES, ids=lambda report: f"{report.case}-{report.ridden}-{report.agrees}")
def test_a_reported_range(report: RangeReport) -> None:
    low_km, high_km = range_band_km(report)
    first_km, last_km = report.reported_km
    if report.agrees:
        assert low_km <= last_km, f"quoted {low_km:.0f} to {high_km:.0f} km"
        assert high_km >= first_km, f"quoted {low_km:.0f} to {high_km:.0f} km"
    else:
        assert first_km > high_km, f"quoted {low_km:.0f} to {high_km:.0f} km: the claim would pass"
        assert "÷" in range_verdict(report)


@pytest.mark.parametrize("report", [report for report in RANGES if not report.agrees], ids=lambda report: report.case)
def test_a_contradiction_is_refused_at_the_speed_it_names(report: RangeReport) -> None:
    """Ridden as reported, or at the mean of the highway where a profile was reported; town's by the slowest traffic."""
    speeds = {"back_road": 80.0, "highway": 105.0, "town": 50.0}
    kmh = report.ridden if isinstance(report.ridden, float) else speeds[report.ridden]
    claim = Claim(
        distance_km=report.reported_km[0], energy_wh=report.energy_wh, speed_kmh=kmh, laden_kg=report.mass_kg,
        cda_m2=report.cda_m2,
    )  # fmt: skip
    assert [line.about for line in check_claim(claim).refused] == ["range"]


@pytest.mark.parametrize("report", SPEEDS, ids=lambda report: f"{report.case}-{report.what}")
def test_a_reported_speed(report: SpeedReport) -> None:
    low_kmh, high_kmh = speed_band_kmh(report)
    first_kmh, last_kmh = report.reported_kmh
    assert low_kmh <= last_kmh, f"predicted {low_kmh:.0f} to {high_kmh:.0f} km/h"
    assert high_kmh >= first_kmh, f"predicted {low_kmh:.0f} to {high_kmh:.0f} km/h"


@pytest.mark.parametrize("report", GEARS, ids=lambda report: f"{report.case}-{report.what}")
def test_a_reported_gearing(report: GearReport) -> None:
    kmh = road_speed_kmh(report.rpm, report.ratio, report.circumference_m)
    assert kmh == pytest.approx(report.reported_kmh, rel=report.within)


@pytest.mark.parametrize("report", CHARGES, ids=lambda report: report.case)
def test_a_reported_charge(report: ChargeReport) -> None:
    claim = Claim(energy_wh=report.energy_wh, charger_w=report.charger_w, charge_h=report.hours)
    assert bool(check_claim(claim).refused) is not report.agrees
    if report.charger_w is None:
        assert charge_verdict(report).startswith("Takes a charger of at least")


# Case A12: 10 kWh in 4 h takes about 2.8 kW.
def test_case_a12_names_the_charger_it_takes() -> None:
    (report,) = [report for report in CHARGES if report.case == "A12"]
    assert "likely 2.78 kW" in charge_verdict(report)
