"""Regulation cycles, their printed lengths and speeds, and energy at the tire over each.

Sources: 40 CFR Part 86 Appendix I(a) (city cycle; its first seconds below as printed on govregs.com), 40 CFR Part 600
Appendix I (highway cycle), 40 CFR Part 86 Appendix I(g) (US06), UN Global Technical Regulation No. 2 (world motorcycle
cycle), 40 CFR 86.529-98 (road load). The energies were worked out once apart from this project, with 1 s steps, force
at mid speed F = A + C·V² + m·a, no rotating mass, level road.
"""

import numpy as np
import pytest

from quoting.ride.cycles import CYCLES, regulation_cycle, world_motorcycle_cycle
from quoting.ride.road_load import measured_road_load

MPH_MS = 0.44704  # exact, NIST SP 811
# 40 CFR 86 Appendix I(a)(3), seconds 20 to 59 [mph], copied from the printed table.
CITY_FROM_20_S = (
    0.0, 3.0, 5.9, 8.6, 11.5, 14.3, 16.9, 17.3, 18.1, 20.7, 21.7, 22.4, 22.5, 22.1, 21.5, 20.9, 20.4, 19.8, 17.0, 14.9,
    14.9, 15.2, 15.5, 16.0, 17.1, 19.1, 21.1, 22.7, 22.9, 22.7, 22.6, 21.3, 19.0, 17.1, 15.8, 15.8, 17.7, 19.8, 21.6,
    23.2,
)  # fmt: skip
# Loaded mass [kg] to A [N] and C [N/(km/h)2], 40 CFR 86.529-98.
ROADS = {250: (13.06, 0.0266), 300: (17.43, 0.0279), 340: (20.92, 0.0290)}
# Cycle, length [km], then for 250, 300 and 340 kg the energy where F > 0 and where F < 0 [Wh/km].
ENERGIES = (
    ("udds", 11.9902, (31.857, -7.242), (35.734, -8.880), (38.896, -10.205)),
    ("hwfet", 16.5065, (54.021, -0.853), (57.928, -1.125), (61.170, -1.349)),
    ("us06", 12.8876, (82.517, -5.167), (88.652, -6.486), (93.755, -7.570)),
    ("wmtc_1", 4.0659, (23.651, -9.517), (27.497, -11.636), (30.591, -13.326)),
    ("wmtc_2", 9.1122, (44.427, -6.184), (49.022, -7.873), (52.790, -9.241)),
    ("wmtc_3", 15.7373, (88.486, -1.314), (94.262, -1.793), (99.089, -2.196)),
    ("wmtc", 28.9154, (65.485, -4.002), (70.617, -5.093), (74.867, -5.981)),
)


def cycle(code):
    return world_motorcycle_cycle() if code == "wmtc" else regulation_cycle(code)


def test_city_cycle_begins_as_printed():
    assert regulation_cycle("udds").speed_ms[20:60] / MPH_MS == pytest.approx(CITY_FROM_20_S)


# Printed with the cycles: seconds, length [mi], mean and highest speed [mph]. SAE J2982's summary for the city cycle;
# 40 CFR 600.111-08(b)(2) says 48.6 mph, 60 mph, 10.2 mi for the highway cycle, which is looser than its own table.
@pytest.mark.parametrize(
    ("code", "seconds", "miles", "mean_mph", "top_mph"),
    [("udds", 1369, 7.45, 19.6, 56.7), ("hwfet", 765, 10.26, 48.3, 59.9), ("us06", 600, 8.01, 48.05, 80.3)],
)
def test_length_and_speeds(code, seconds, miles, mean_mph, top_mph):
    trace = regulation_cycle(code)
    assert len(trace.slope) == seconds
    assert trace.distance_km / 1.609344 == pytest.approx(miles, abs=0.006)
    assert trace.mean_kmh / 1.609344 == pytest.approx(mean_mph, abs=0.06)
    assert trace.fastest_kmh / 1.609344 == pytest.approx(top_mph, abs=0.001)


def test_each_part_of_the_world_cycle_takes_600_s():
    assert [len(regulation_cycle(code).slope) for code in CYCLES if code.startswith("wmtc")] == [600, 600, 600]


@pytest.mark.parametrize("row", ENERGIES, ids=lambda row: row[0])
def test_energy_at_the_tire(row):
    trace = cycle(row[0])
    assert trace.distance_km == pytest.approx(row[1], abs=0.00006)
    for mass_kg, (driving, slowing) in zip(ROADS, row[2:], strict=True):
        forces_n = measured_road_load(mass_kg, *ROADS[mass_kg]).force_n(trace.mid_ms, trace.accel_ms2)
        wh_per_km = forces_n * trace.mid_ms / 3600 / trace.distance_km
        assert np.maximum(wh_per_km, 0).sum() == pytest.approx(driving, abs=0.0006)
        assert np.minimum(wh_per_km, 0).sum() == pytest.approx(slowing, abs=0.0006)


# 300 kg: F = 17.43 + 0.0279·88.514² = 236.02 N, 236.02 N / 3.6 = 65.561 Wh/km; at 112.654 km/h 371.51 N, 103.196 Wh/km.
@pytest.mark.parametrize(("mph", "energies"), [(55, (61.518, 65.561, 68.924)), (70, (97.400, 103.196, 108.044))])
def test_energy_at_steady_speed(mph, energies):
    for mass_kg, wh_per_km in zip(ROADS, energies, strict=True):
        force_n = measured_road_load(mass_kg, *ROADS[mass_kg]).force_n(mph * MPH_MS)
        assert force_n / 3.6 == pytest.approx(wh_per_km, abs=0.0006)


def test_an_unknown_cycle_is_refused():
    with pytest.raises(KeyError):
        regulation_cycle("wltp")
