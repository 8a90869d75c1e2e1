"""Steady speeds of a generic motorcycle and the density of air.

Sources: textbook road load F = m·g·Crr + ½·ρ·CdA·v² (worked below by hand); air density of the ISO 2533 standard
atmosphere at sea level, 1.2250 kg/m3 at 15 °C, and the printed table of dry air at 101 325 Pa (gislite.com).
"""

import numpy as np
import pytest

from quoting.ride.road_load import air_density_kg_m3, body_road_load


@pytest.mark.parametrize(
    ("air_c", "kg_m3"),
    [(-10, 1.3414), (0, 1.2923), (15, 1.2250), (20, 1.2041), (25, 1.1839), (35, 1.1455)],
)
def test_air_density(air_c, kg_m3):
    assert air_density_kg_m3(air_c) == pytest.approx(kg_m3, abs=0.00006)


# m 300 kg, CdA 0.60 m2, Crr 0.015, ρ 1.225: rolling 300·9.80665·0.015 = 44.130 N, drag 0.3675·v².
# 50 km/h: v² = 192.901, drag 70.891, F 115.021 N, P = F·13.8889 = 1597.5 W, 31.950 Wh/km = F/3.6.
# 80 km/h: v² = 493.827, drag 181.481, F 225.611. 100: 771.605, 283.565, 327.695. 120: 1111.11, 408.333, 452.463.
@pytest.mark.parametrize(
    ("kmh", "force_n", "power_w", "wh_per_km"),
    [
        (50, 115.021, 1597.5, 31.950),
        (80, 225.611, 5013.6, 62.670),
        (100, 327.695, 9102.6, 91.026),
        (120, 452.463, 15082.1, 125.684),
    ],
)
def test_generic_motorcycle(kmh, force_n, power_w, wh_per_km):
    road = body_road_load(300, 0.60, 0.015, 1.225)
    found_n = road.force_n(kmh / 3.6)
    assert found_n == pytest.approx(force_n, abs=0.0006)
    assert found_n * kmh / 3.6 == pytest.approx(power_w, abs=0.06)
    assert found_n / 3.6 == pytest.approx(wh_per_km, abs=0.0006)


def test_five_percent_grade_weighs_146_916_n():
    # m·g·sin(atan 0.05) = 2941.995 · 0.05/√1.0025 = 146.916 N; rolling shrinks by cosθ = 0.998752: −0.055 N.
    road = body_road_load(300, 0.60, 0.015, 1.225)
    added_n = road.force_n(20.0, slope=0.05) - road.force_n(20.0)
    assert added_n == pytest.approx(146.916 - 44.130 * (1 - 0.998752), abs=0.001)


def test_force_takes_arrays():
    road = body_road_load(300, 0.60, 0.015, 1.225)
    speeds = np.array([50.0, 80.0]) / 3.6
    assert road.force_n(speeds) == pytest.approx([115.021, 225.611], abs=0.0006)
