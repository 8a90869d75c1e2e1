import math
from dataclasses import replace

import pytest

from quoting.ride.launch import Stance, sprint_s, start_grade_percent
from quoting.ride.road_load import body_road_load
from tests.quoting.ride.test_speed import FREE, PLAIN

ROAD = body_road_load(300, 0.60, 0.015, 1.225)
STANCE = Stance(wheelbase_m=1.4, cg_height_m=0.6, rear_share=0.5)
WEIGHT_N = 300 * 9.80665


def test_front_wheel_lifts():
    # F·0.6 = 2941.995·0.7, F = 3432.3 N.
    assert STANCE.wheelie_n(300) == pytest.approx(3432.33, abs=0.01)


def test_grip_grows_as_load_moves_back():
    # 0.8·2941.995·0.5 / (1 − 0.8·0.6/1.4) = 1176.798 / 0.657143 = 1790.78 N.
    assert STANCE.grip_n(300) == pytest.approx(1790.78, abs=0.01)
    assert STANCE.most_n(300) == STANCE.grip_n(300)


def test_a_tall_short_bike_lifts_before_it_slips():
    tall = Stance(wheelbase_m=1.0, cg_height_m=1.3, rear_share=0.5)
    assert math.isinf(tall.grip_n(300))
    assert tall.most_n(300) == tall.wheelie_n(300)


def test_steepest_start_by_hand():
    # 1000 N: m·g·(sinθ + 0.015·cosθ) + 300·1.04·0.3 = 1000; 93.6 N to move off. sinθ ≈ 0.2936 → tan 0.3071.
    grade = start_grade_percent(replace(FREE, torque_nm=1000.0), PLAIN, ROAD, STANCE) / 100
    cos = 1 / math.hypot(1, grade)
    need_n = WEIGHT_N * (grade * cos + 0.015 * cos) + 93.6
    assert need_n <= 1000 < need_n + 0.0012 * WEIGHT_N
    assert grade == pytest.approx(0.307, abs=0.001)


def test_grip_bounds_the_start_however_strong_the_motor():
    strong = start_grade_percent(replace(FREE, torque_nm=10000.0), PLAIN, ROAD, STANCE) / 100
    cos = 1 / math.hypot(1, strong)
    assert WEIGHT_N * (strong + 0.015) * cos + 93.6 == pytest.approx(1790.78 * cos, abs=0.0012 * WEIGHT_N)


def test_a_motor_too_weak_to_move_off_starts_on_nothing():
    assert start_grade_percent(replace(FREE, torque_nm=100.0), PLAIN, ROAD, STANCE) == 0.0


# No drag: 500 N less 44.13 N rolling moves 300·1.04 kg at 1.46112 m/s²: 20 m/s in 13.688 s.
def test_sprint_without_drag():
    road = body_road_load(300, 0.0, 0.015, 1.225)
    assert sprint_s(replace(FREE, torque_nm=500.0), PLAIN, road, STANCE, 20.0) == pytest.approx(13.688, abs=0.001)


def test_sprint_is_bound_by_grip():
    road = body_road_load(300, 0.0, 0.015, 1.225)
    # (1790.78 − 44.13)/312 = 5.5982 m/s²: 20 m/s in 3.5726 s.
    assert sprint_s(replace(FREE, torque_nm=9999.0), PLAIN, road, STANCE, 20.0) == pytest.approx(3.5726, abs=0.001)


def test_no_sprint_to_a_speed_out_of_reach():
    limits = replace(FREE, torque_nm=500.0, shaft_w=5000.0)  # the generic motorcycle needs 5014 W at 80 km/h
    assert sprint_s(limits, PLAIN, ROAD, STANCE, 80 / 3.6) is None
    assert sprint_s(replace(limits, shaft_w=5100.0), PLAIN, ROAD, STANCE, 80 / 3.6) is not None
