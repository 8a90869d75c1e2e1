"""What readers of the reported builds worked out by hand, against our figures (the reports: tests/quoting/practice).

Source: public practitioner reports, by case number; "assumed" marks what a report does not say.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from quoting.result import WeightFigures
from quoting.ride.efficiency import DriveLine
from quoting.ride.force import PowerLimits
from quoting.ride.road_load import body_road_load
from quoting.ride.speed import highest_speed
from tests.quoting.practice.predicted import range_band_km
from tests.quoting.practice.reports import RangeReport
from tests.quoting.ride.bikes import DONOR, PACK, ride, setup_with


def band_km(energy_wh: float, mass_kg: float, ridden: str | float) -> tuple[float, float]:
    """Our band for an upright bike, ridden that way [km]."""
    report = RangeReport(case="", energy_wh=energy_wh, mass_kg=mass_kg, cda_m2=0.60, ridden=ridden, reported_km=(0, 0))
    return range_band_km(report)


# The reports' own reference: ½·1.2·CdA·v³ + 0.015·m·g·v, ÷ 0.85, + 60 W; upright, 280 kg: Wh/km at five speeds.
@pytest.mark.parametrize(("kmh", "wh_per_km"), [(45, 33), (72, 62), (80, 72), (97, 99), (100, 105)])
def test_reference_road_load_of_the_reports(kmh, wh_per_km):
    road = body_road_load(280, 0.60, 0.015, 1.2)
    drive = DriveLine(controller_share=0.85, final_share=1.0)
    power_w = float(drive.drive_w(road.force_n(np.array([kmh / 3.6])), np.array([kmh / 3.6]))[0]) + 60
    assert power_w / kmh == pytest.approx(wh_per_km, abs=1.6)


# Level-road speed for a battery power, as the reports' reader worked it out: upright 0.60 m², half-faired 0.45 m².
@pytest.mark.parametrize(
    ("battery_kw", "upright_kmh", "faired_kmh"),
    [(2.6, 58, 64), (4, 70, 76), (6, 81, 89), (12, 105, 115), (15, 114, 125), (20, 126, 139)],
)
def test_level_speed_for_a_battery_power(battery_kw, upright_kmh, faired_kmh):
    limits = PowerLimits(
        torque_nm=np.inf, shaft_w=np.inf, battery_a=battery_kw * 10, open_v=100.0, resistance_ohm=0.0, floor_v=0.0,
        rad_s_per_v=np.inf, top_rad_s=np.inf, auxiliary_w=60.0, torque_words="", shaft_words="", battery_words="",
    )  # fmt: skip
    drive = DriveLine(controller_share=0.85, final_share=1.0)
    for cda_m2, kmh in ((0.60, upright_kmh), (0.45, faired_kmh)):
        assert highest_speed(limits, drive, body_road_load(280, cda_m2, 0.015, 1.2)).kmh == pytest.approx(kmh, abs=2)


# Case A24: 4 kW rated, 15 kW at most, upright: 70 to 76 km/h held, 114 to 125 km/h at most; gearing 6.09 on 677 mm.
def test_case_a24_speeds():
    setup = setup_with(
        {
            "motor": {
                "mount": "mid", "nominal_v": 72, "cont_kw": 4, "peak_kw": 15, "peak_s": 30, "max_rpm": 8000,
                "peak_efficiency": 0.9, "gear_ratio": 45 / 19,
            },
            "controller": {"battery_cont_a": 400, "battery_peak_a": 400},
            "final_drive": {"motor_teeth": 14, "wheel_teeth": 36},
        },
        donor=replace(DONOR, rear_tire="120/90-18"),
    )  # fmt: skip
    pack = replace(PACK, cont_a=400.0, peak_a=400.0, resistance_ohm=0.01)
    found = ride(setup, pack, WeightFigures(laden_kg=250.0))
    assert found.held_kmh is not None
    assert found.top_kmh is not None
    assert 68 <= found.held_kmh <= 78
    assert 112 <= found.top_kmh <= 125
    assert found.held_limit == "motor continuous power"


# Question D1: 48 km at 105 km/h takes about 110 to 115 Wh/km, so 6.4 kWh nominal goes 51.2 to 53.5 km.
def test_question_d1_commute():
    low_km, high_km = band_km(6400, 280, 105.0)
    assert low_km < 0.92 * 6400 / 110
    assert high_km > 0.92 * 6400 / 115
    assert low_km < 48 < high_km


# Question D13: 4.4 kWh to 6 kWh was hoped to give 60 % more range; 36 % more energy gives about 36 % more, and the
# larger pack loses a little less in its own resistance.
def test_question_d13_bigger_battery():
    small = sum(band_km(4400, 270, "back_road"))
    large = sum(band_km(6000, 270, "back_road"))
    assert 6.0 / 4.4 <= large / small <= 1.45


# Fact E20: 55 to 80 Wh/km mixed, 95 to 120 on the highway (ours up to 130: upright at 67 mph, some way up the span).
def test_fact_e20_energy_use():
    found = {item.profile: item.wh_per_km for item in ride(setup_with({"motor": {"mount": "hub"}})).profiles}
    assert 30 <= found["town"] <= 55
    assert 55 <= found["back_road"] <= 80
    assert 95 <= found["highway"] <= 130
