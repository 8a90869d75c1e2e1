import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.parts import Motor
from quoting.parts.speeds import rated_speed_rad_s, top_speed_rad_s
from quoting.ride.efficiency import DriveLine, drive_line

# 12 kW at 100 rad/s is 120 N m; corner speed 24 kW / 240 N m = 100 rad/s; top 200 rad/s = 1909.86 rpm. Wheel of 2 m,
# hub: π rad per meter. 100 rad/s is 31.831 m/s; 120 N m is 120·π = 376.99 N.
MOTOR = Motor(mount="hub", cont_kw=12, peak_kw=24, peak_torque_nm=240, max_rpm=200 * 30 / math.pi, peak_efficiency=0.92)
RATED_MS, RATED_N = 100 / math.pi, 120 * math.pi


def line(motor=MOTOR, controller=1.0, final=1.0, ratio=1.0, wheel_m=2.0):
    return drive_line(motor, controller, final, ratio, wheel_m)


def drive_w(drive, force_n, speed_ms):
    return float(drive.drive_w(np.array([force_n]), np.array([speed_ms]))[0])


def test_rated_and_top_speed():
    assert rated_speed_rad_s(MOTOR) == pytest.approx(100)
    assert top_speed_rad_s(MOTOR) == pytest.approx(200)
    # Without peak torque: 75 % of the top speed. Without a limit: 10 rpm/V × 72 V = 720 rpm = 75.398 rad/s.
    assert rated_speed_rad_s(Motor(max_rpm=200 * 30 / math.pi)) == pytest.approx(150)
    assert top_speed_rad_s(Motor(kv_rpm_per_v=10, nominal_v=72)) == pytest.approx(75.398, abs=0.001)
    assert rated_speed_rad_s(Motor(kv_rpm_per_v=10)) is None


def test_best_efficiency_is_met_at_continuous_power():
    # 12000 W at the tire, 12000/0.92 = 13043.5 W in.
    assert drive_w(line(), RATED_N, RATED_MS) == pytest.approx(13043.48, abs=0.01)


def test_half_torque_costs_a_quarter_of_the_copper_loss():
    # Loss 1043.48 W, half copper (521.74), half no-load: 6000 + 521.74/4 + 521.74 = 6652.17 W.
    assert drive_w(line(), RATED_N / 2, RATED_MS) == pytest.approx(6652.17, abs=0.01)


def test_no_load_loss_falls_with_speed():
    # At the rated half of top speed 0.5·0.5 + 0.5·0.25 = 0.375 of the top loss: top loss 521.74/0.375 = 1391.30 W.
    # At a quarter of top speed: 0.5·0.25 + 0.5·0.0625 = 0.15625 · 1391.30 = 217.39 W.
    idle_w = line().idle_w(np.array([RATED_MS, RATED_MS / 2]))
    assert idle_w == pytest.approx([521.74, 217.39], abs=0.01)


def test_given_losses_are_used_as_given():
    motor = Motor(
        mount="hub", cont_kw=12, peak_kw=24, peak_torque_nm=240, max_rpm=200 * 30 / math.pi, copper_loss_w=800,
        no_load_loss_w=400,
    )  # fmt: skip
    # 12000 + 800 + 400·0.375 = 12950 W.
    assert drive_w(line(motor), RATED_N, RATED_MS) == pytest.approx(12950)


def test_one_given_loss_leaves_the_rest_of_the_loss_for_the_other():
    # Loss at best efficiency 1043.48 W: 800 copper leaves 243.48 W no-load there, so the sum stays 13043.48 W.
    motor = Motor(
        mount="hub", cont_kw=12, peak_kw=24, peak_torque_nm=240, max_rpm=200 * 30 / math.pi, peak_efficiency=0.92,
        copper_loss_w=800,
    )  # fmt: skip
    assert drive_w(line(motor), RATED_N, RATED_MS) == pytest.approx(13043.48, abs=0.01)
    assert drive_w(line(motor), 0.0, RATED_MS) == pytest.approx(243.48, abs=0.01)


def test_controller_and_chain_come_on_top():
    # Shaft 12000/0.96 = 12500 W, motor torque 125 N m: copper 521.74·(125/120)², no-load 521.74.
    drive = line(controller=0.95, final=0.96)
    expected_w = (12500 + 521.74 * (125 / 120) ** 2 + 521.74) / 0.95
    assert drive_w(drive, RATED_N, RATED_MS) == pytest.approx(expected_w, abs=0.02)


def test_gearing_changes_nothing_where_the_motor_does_the_same():
    # Ratio 5 on a wheel of 10 m turns the motor as ratio 1 on 2 m does.
    assert drive_w(line(ratio=5.0, wheel_m=10.0), RATED_N, RATED_MS) == pytest.approx(13043.48, abs=0.01)


def test_unknown_wheel_leaves_one_efficiency_for_all_loads():
    drive = line(wheel_m=None)
    assert drive.motor_share == 0.92
    assert drive_w(drive, 100, 10) == pytest.approx(1000 / 0.92)


def test_unknown_motor_efficiency_is_taken_as_90_percent():
    assert line(Motor(mount="hub")).motor_share == 0.90


@given(force_n=st.floats(1, 900), speed_ms=st.floats(0.5, 60))
def test_force_at_power_undoes_drive_power(force_n, speed_ms):
    drive = line(controller=0.96, final=0.95)
    power_w = drive_w(drive, force_n, speed_ms)
    found_n = float(drive.force_at_power_n(power_w, np.array([speed_ms]))[0])
    assert found_n == pytest.approx(force_n, rel=1e-6)


def test_no_force_where_the_power_does_not_even_turn_the_motor():
    assert float(line().force_at_power_n(100.0, np.array([RATED_MS]))[0]) == 0.0


# Slowing with 200 N at 20 m/s, half for the motor: 100 N · 20 = 2000 W · 0.9 final · 0.8 motor · 0.95 = 1368 W.
def test_regeneration_by_hand():
    drive = DriveLine(controller_share=0.95, final_share=0.9, motor_share=0.8)
    assert float(drive.regen_w(np.array([-200.0]), np.array([20.0]))[0]) == pytest.approx(1368)


def test_no_regeneration_at_walking_pace_nor_past_the_losses():
    drive = line()
    assert float(drive.regen_w(np.array([-200.0]), np.array([2.9]))[0]) == 0.0
    assert float(drive.regen_w(np.array([-1.0]), np.array([RATED_MS]))[0]) == 0.0
