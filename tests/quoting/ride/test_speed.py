import math
from dataclasses import replace

import numpy as np
import pytest

from quoting.ride.efficiency import DriveLine
from quoting.ride.force import PowerLimits, available_forces_n, highest_speed_ms
from quoting.ride.road_load import body_road_load
from quoting.ride.speed import SpeedLimit, climb_grade_percent, highest_speed, motor_rpm, road_speed_kmh, spare_percent

# Lossless, one radian per meter: forces are plain torque, power over speed, and so on.
PLAIN = DriveLine(controller_share=1.0, final_share=1.0)
ROAD = body_road_load(300, 0.60, 0.015, 1.225)
FREE = PowerLimits(
    torque_nm=math.inf, shaft_w=math.inf, battery_a=1e5, open_v=80.0, resistance_ohm=0.0, floor_v=0.0,
    rad_s_per_v=math.inf, top_rad_s=math.inf, auxiliary_w=0.0, torque_words="torque", shaft_words="shaft",
    battery_words="battery",
)  # fmt: skip
AT_30 = np.array([30.0])


def test_four_limits_by_hand():
    limits = replace(FREE, torque_nm=500.0, shaft_w=12000.0, battery_a=200.0, rad_s_per_v=0.5, resistance_ohm=0.02)
    # Shaft 12000/30 = 400 N. Battery (80 − 200·0.02)·200 = 15200 W, /30 = 506.67 N.
    # Voltage: free speed 0.5·80 = 40 m/s, T = (40 − 30)/(0 + 0.02·0.25) = 2000 N.
    assert available_forces_n(limits, PLAIN, AT_30)[:, 0] == pytest.approx([500, 400, 506.667, 2000], abs=0.001)


def test_auxiliaries_come_off_the_battery_first():
    limits = replace(FREE, battery_a=100.0, auxiliary_w=500.0)  # 80·100 − 500 = 7500 W, /30 = 250 N
    assert available_forces_n(limits, PLAIN, AT_30)[2, 0] == pytest.approx(250)


def test_floor_voltage_caps_the_current():
    limits = replace(FREE, battery_a=400.0, resistance_ohm=0.05, floor_v=70.0)  # (80 − 70)/0.05 = 200 A
    assert limits.current_a == pytest.approx(200)
    assert limits.battery_w == pytest.approx(14000)
    assert limits.words[2] == "pack voltage under load"
    assert replace(limits, floor_v=60.0).words[2] == "battery"  # now 400 A, the battery's own limit
    assert replace(limits, floor_v=90.0).current_a == 0.0


def test_a_pack_never_sags_below_half_its_rest():
    limits = replace(FREE, resistance_ohm=0.1)  # ceiling U²/4R = 16 kW at 400 A
    assert limits.current_a == pytest.approx(400)
    assert limits.battery_w == pytest.approx(16000)


def test_winding_droops_the_voltage_line():
    drive = DriveLine(controller_share=1.0, final_share=1.0, copper_w_n2=0.01)
    # Free 40 m/s; at 30 m/s (40 − 30)/0.01 = 1000 N, and 1000 N · 0.01 = 10 m/s is just the droop.
    assert available_forces_n(replace(FREE, rad_s_per_v=0.5), drive, AT_30)[3, 0] == pytest.approx(1000)


def test_highest_speed_of_the_motor():
    assert highest_speed_ms(replace(FREE, top_rad_s=45.0), PLAIN) == 45.0
    assert highest_speed_ms(replace(FREE, top_rad_s=45.0, rad_s_per_v=0.5), PLAIN) == pytest.approx(40.0)


# The generic motorcycle needs 15082.1 W at 120 km/h (tests/published/test_steady_road_load.py).
def test_power_limited_top_speed():
    found = highest_speed(replace(FREE, shaft_w=15082.1), PLAIN, ROAD)
    assert found.kmh == pytest.approx(120.0, abs=0.02)
    assert found.words == "shaft"


def test_motor_speed_limited_top_speed():
    found = highest_speed(replace(FREE, shaft_w=15082.1, top_rad_s=30.0), PLAIN, ROAD)
    assert found.kmh == pytest.approx(108.0)
    assert found.words == "motor's highest speed"


def test_voltage_limited_top_speed():
    limits = replace(FREE, shaft_w=60000.0, rad_s_per_v=0.5, resistance_ohm=0.02)
    # 40 − v = F·0.005 with F = 44.13 + 0.3675 v²: v = 37.198: F = 552.6, 552.6·0.005 = 2.763; 40 − 37.24 = 2.76.
    found = highest_speed(limits, PLAIN, ROAD)
    assert found.words == "motor speed at pack voltage"
    assert 40 - found.speed_ms == pytest.approx(0.005 * (44.130 + 0.3675 * found.speed_ms**2), abs=0.001)


def test_torque_limited_top_speed():
    found = highest_speed(replace(FREE, torque_nm=225.611, shaft_w=60000.0), PLAIN, ROAD)  # 225.611 N at 80 km/h
    assert found.kmh == pytest.approx(80.0, abs=0.02)
    assert found.words == "torque"


def test_a_bike_that_cannot_move():
    found = highest_speed(replace(FREE, torque_nm=10.0), PLAIN, ROAD)  # rolling alone takes 44 N
    assert found.kmh == 0.0
    assert found.words == "torque"


def test_force_curve_ends_at_the_highest_speed():
    found = highest_speed(replace(FREE, shaft_w=15000.0, top_rad_s=30.0), PLAIN, ROAD)
    assert found.force_at_n(np.array([20.0, 31.0])) == pytest.approx([750.0, 0.0], rel=1e-3)
    assert found.most_w == pytest.approx(15000)


# Public practitioner report, case A24: 6000 rpm through 45/19 × 28/14 = 4.737 on a wheel of 677 mm across: 161.7 km/h;
# 32, 36 and 48 teeth behind give 141.5, 125.7 and 94.3 km/h.
@pytest.mark.parametrize(("teeth", "kmh"), [(28, 161.7), (32, 141.5), (36, 125.7), (48, 94.3)])
def test_case_a24_gearing(teeth, kmh):
    assert road_speed_kmh(6000, 45 / 19 * teeth / 14, math.pi * 0.677) == pytest.approx(kmh, abs=0.3)


# Case A32: 3000 rpm, 13/45, 2.01 m around: predicted 105 km/h (65 mph), reached 101 km/h (63 mph).
def test_case_a32_gearing():
    assert road_speed_kmh(3000, 45 / 13, 2.01) == pytest.approx(104.5, abs=0.05)
    assert road_speed_kmh(3000, 45 / 13, 2.01) == pytest.approx(101, rel=0.04)


# Case B42: 5900 rpm through 13/69 and 14:1 on 1.45 m gives 6.9 km/h, not the 11 km/h reported: an input is wrong.
def test_case_b42_contradicts_itself():
    assert road_speed_kmh(5900, 14 * 69 / 13, 1.45) == pytest.approx(6.9, abs=0.05)


# Case A31: 14/56 (4.0:1), 1.95 m: 50 km/h is about 1700 rpm.
def test_case_a31_motor_speed():
    assert motor_rpm(50, 4.0, 1.95) == pytest.approx(1709, abs=1)


def test_climb_by_hand():
    # Level at 50 km/h takes 115.021 N; 146.916 N more holds sinθ = 146.916/2941.995 = 0.049938, 5.000 %.
    assert climb_grade_percent(115.021 + 146.916, ROAD, 50 / 3.6) == pytest.approx(5.0, abs=0.001)
    assert climb_grade_percent(100.0, ROAD, 50 / 3.6) == 0.0


def test_headroom_at_a_cruise_by_hand():
    # 500 N held where the level takes 400 N leaves a fifth; 300 N are a third too little; past the curve there is none.
    level_n = float(ROAD.force_n(np.array(20.0)))
    held = SpeedLimit(25.0, "", np.array([10.0, 30.0]), np.array([1.25 * level_n, 1.25 * level_n]))
    assert spare_percent(held, ROAD, 20.0) == pytest.approx(20.0)
    weak = SpeedLimit(15.0, "", np.array([10.0, 30.0]), np.array([0.75 * level_n, 0.75 * level_n]))
    assert spare_percent(weak, ROAD, 20.0) == pytest.approx(-100.0 / 3.0)
    assert spare_percent(held, ROAD, 31.0) is None
