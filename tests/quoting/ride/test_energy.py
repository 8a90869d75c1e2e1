import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.pack import current_at_power
from quoting.ride.efficiency import DriveLine
from quoting.ride.energy import (
    Case,
    cell_powers_w,
    course_of,
    regen_share_of_charge,
    steady_course,
    use_wh_per_km,
    wheel_forces_n,
)
from quoting.ride.road_load import body_road_load
from quoting.ride.traces import Trace

ROAD = body_road_load(300, 0.60, 0.015, 1.225, rotating_share=0.0)
DRIVE = DriveLine(controller_share=0.8, final_share=1.0)
CASE = Case(road=ROAD, open_v=80.0, resistance_ohm=0.0, usable_wh=4000.0, auxiliary_w=60.0)
AT_80 = steady_course(np.array([80 / 3.6]))


def power_w(case, course=AT_80, drive=DRIVE):
    return cell_powers_w((case,), drive, course, wheel_forces_n((case,), course))[0]


# 80 km/h takes 5013.6 W at the tire (tests/published/test_steady_road_load.py): /0.8 + 60 = 6327.0 W, 79.09 Wh/km.
def test_steady_speed_by_hand():
    assert power_w(CASE)[0] == pytest.approx(6327.0, abs=0.05)
    assert use_wh_per_km((CASE,), DRIVE, AT_80)[0, 0] == pytest.approx(79.09, abs=0.005)


def test_the_packs_own_loss_is_counted():
    # 6327 W from 80 V and 0.1 ohm: I = 2·6327/(80 + √(6400 − 2530.8)) = 12654/142.203 = 88.986 A; 80 V · I = 7118.9 W.
    assert power_w(replace(CASE, resistance_ohm=0.1))[0] == pytest.approx(7118.9, abs=0.1)


def test_past_the_packs_ceiling_as_much_again_is_lost():
    # 1 ohm: ceiling 1600 W at 40 A, where half of what the cells give is lost. 6327 W is out of reach.
    assert power_w(replace(CASE, resistance_ohm=1.0))[0] == pytest.approx(2 * 6327.0, abs=0.1)


@given(speed_kmh=st.floats(5, 160), resistance=st.floats(0.0, 0.05))
def test_cells_give_terminal_power_plus_what_the_pack_turns_to_heat(speed_kmh, resistance):
    course = steady_course(np.array([speed_kmh / 3.6]))
    terminal_w = float(power_w(CASE, course)[0])
    amps = current_at_power(80.0, resistance, terminal_w)
    if amps is not None:
        found_w = float(power_w(replace(CASE, resistance_ohm=resistance), course)[0])
        assert found_w == pytest.approx(terminal_w + amps**2 * resistance, rel=1e-9)


def slowing():
    """One second from 21 to 19 m/s on the level."""
    return course_of((Trace("x", "X", np.array([21.0, 19.0]), np.zeros(1)),))


def test_slowing_without_regeneration_takes_only_the_auxiliaries():
    assert power_w(CASE, slowing())[0] == pytest.approx(60.0)


# 300 kg at −2 m/s² and 20 m/s: −600 + 44.13 + 147 = −408.87 N; half of it back: 204.435·20·0.8 = 3270.96 W, less 60.
def test_slowing_with_regeneration_by_hand():
    assert power_w(replace(CASE, regen_w=1e6), slowing())[0] == pytest.approx(60 - 3270.96, abs=0.01)


def test_regeneration_is_capped():
    assert power_w(replace(CASE, regen_w=1000.0), slowing())[0] == pytest.approx(60 - 1000)


def test_charging_loses_in_the_pack_too():
    # −940 W at 80 V, 0.1 ohm: I = 2·(−940)/(80 + √(6400 + 376)) = −11.5823 A; the cells get 80·I = 926.6 W of it.
    found_w = power_w(replace(CASE, regen_w=1000.0, resistance_ohm=0.1), slowing())[0]
    assert found_w == pytest.approx(-926.6, abs=0.05)


def test_standing_takes_the_auxiliaries():
    standing = course_of((Trace("x", "X", np.array([0.0, 0.0, 3.0]), np.zeros(2)),))
    assert power_w(CASE, standing)[0] == pytest.approx(60.0)


# Usable 92 %: 8 % to 100 %, of which 8 to 95 % may be charged: 0.87/0.92 = 0.9457. Usable 50 %: 0.45/0.5.
def test_no_regeneration_on_a_full_pack():
    assert regen_share_of_charge(0.92) == pytest.approx(0.9457, abs=0.0001)
    assert regen_share_of_charge(0.50) == pytest.approx(0.9)
    assert regen_share_of_charge(0.04) == 0.0


def test_traces_joined_are_worked_out_apart():
    first = Trace("a", "A", np.array([0.0, 5.0, 10.0, 10.0]), np.array([0.0, 0.02, -0.01]))
    second = Trace("b", "B", np.array([10.0, 12.0, 14.0]), np.zeros(2))
    joined = use_wh_per_km((CASE,), DRIVE, course_of((first, second)))[0]
    apart = [float(use_wh_per_km((CASE,), DRIVE, course_of((trace,)))[0, 0]) for trace in (first, second)]
    assert list(joined) == pytest.approx(apart)


def test_several_cases_are_worked_out_apart():
    heavy = CASE.with_road(body_road_load(400, 0.60, 0.015, 1.225))
    both = use_wh_per_km((CASE, heavy), DRIVE, AT_80)[:, 0]
    assert both[1] > both[0]
    assert both[0] == pytest.approx(float(use_wh_per_km((CASE,), DRIVE, AT_80)[0, 0]))


def test_a_slope_adds_weight_times_sine():
    course = steady_course(np.array([20.0]), slope=0.05)
    level = steady_course(np.array([20.0]))
    added_n = wheel_forces_n((CASE,), course)[0, 0] - wheel_forces_n((CASE,), level)[0, 0]
    cos = 1 / math.hypot(1, 0.05)
    assert added_n == pytest.approx(300 * 9.80665 * (0.05 * cos + 0.015 * (cos - 1)))
