"""What each case of riding changes, by hand."""

from dataclasses import replace

import pytest

from quoting.request import Policies
from quoting.ride.bike import bike_of
from quoting.ride.cold import capacity_share, resistance_factor, rolling_factor
from quoting.ride.limits import held_torque_nm
from quoting.ride.ranges import riding_cases
from tests.quoting.ride.bikes import PACK, WEIGHT, hub_setup, known, pack_like, ride


def cases_of(setup=None, pack=PACK):
    setup = setup or hub_setup()
    bike = bike_of(setup, pack, WEIGHT)
    assert bike is not None
    cases = riding_cases(bike, setup.policies)
    assert cases is not None
    return cases


def test_band_is_ten_percent_drag_and_fifteen_percent_rolling():
    cases = cases_of()
    assert cases.low.road.drag_kg_m == pytest.approx(1.10 * cases.likely.road.drag_kg_m)
    assert cases.low.road.roll_n == pytest.approx(1.15 * cases.likely.road.roll_n)
    assert cases.high.road.drag_kg_m == pytest.approx(0.90 * cases.likely.road.drag_kg_m)
    assert cases.high.road.roll_n == pytest.approx(0.85 * cases.likely.road.roll_n)


def test_cold_changes_air_tires_capacity_and_resistance():
    # 0 °C against 20 °C: air 293.15/273.15 denser, rolling + 20 · 0.8 %, capacity 91 %, resistance 1.7 times.
    likely, cold = cases_of().likely, cases_of().cold
    assert cold.road.drag_kg_m == pytest.approx(likely.road.drag_kg_m * 293.15 / 273.15)
    assert cold.road.roll_n == pytest.approx(1.16 * likely.road.roll_n)
    assert cold.usable_wh == pytest.approx(0.91 * likely.usable_wh)
    assert cold.resistance_ohm == pytest.approx(1.7 * likely.resistance_ohm)


def test_cold_is_measured_against_the_shops_own_warm():
    # Warm 10 °C: capacity 0.91/0.97, resistance 1.7/1.25, rolling + 10 · 0.8 %.
    cases = cases_of(hub_setup(policies=Policies(warm_c=10.0)))
    assert cases.cold.usable_wh == pytest.approx(known(PACK.usable_wh) * 0.91 / 0.97)
    assert cases.cold.resistance_ohm == pytest.approx(0.024 * 1.7 / 1.25)
    assert cases.cold.road.roll_n == pytest.approx(1.08 * cases.likely.road.roll_n)


def test_age_takes_a_fifth_of_the_capacity_and_half_as_much_resistance_again():
    cases = cases_of()
    assert cases.aged.usable_wh == pytest.approx(0.8 * known(PACK.usable_wh))
    assert cases.aged.resistance_ohm == pytest.approx(1.5 * 0.024)


def test_regeneration_power_is_current_times_voltage_below_95_percent_charge():
    # 60 A at the middle of the usable charge (54 %), 0.87/0.92 of the time.
    cases = cases_of(hub_setup(controller={"regen_a": 80}))
    assert cases.likely.regen_w == pytest.approx(60 * cases.likely.open_v * 0.87 / 0.92)
    assert cases_of(hub_setup(controller={"regen_a": 40})).likely.regen_w == pytest.approx(cases.likely.regen_w * 2 / 3)


@pytest.mark.parametrize(
    ("chemistry", "air_c", "share"),
    [("nmc", 20, 1.0), ("nmc", -5, 0.865), ("lfp", -10, 0.70), ("lead", 0, 0.78), (None, 0, 0.91), ("nmc", -40, 0.70)],
)
def test_capacity_in_the_cold(chemistry, air_c, share):
    assert capacity_share(chemistry, air_c) == pytest.approx(share)


def test_resistance_and_rolling_in_the_cold():
    assert resistance_factor(20) == 1.0
    assert resistance_factor(-5) == pytest.approx(2.05)  # between 2.4 and 1.7
    assert rolling_factor(20, 20) == 1.0
    assert rolling_factor(-5, 20) == pytest.approx(1.2)


def torque_of(setup):
    bike = bike_of(setup, PACK, WEIGHT)
    assert bike is not None
    return held_torque_nm(bike)


def test_held_torque_is_the_least_of_what_is_known():
    # Corner 24 kW / 280 N m = 85.714 rad/s, 12 kW / 85.714 = 140 N m; 0.7 N m/A · 200 A = 140 N m too; 150 A: 105 N m.
    assert torque_of(hub_setup()) == pytest.approx(140)
    assert torque_of(hub_setup(motor={"phase_cont_a": 150})) == pytest.approx(105)
    assert torque_of(hub_setup(controller={"phase_cont_a": 100})) == pytest.approx(70)
    assert torque_of(hub_setup(motor={"cont_kw": 6})) == pytest.approx(70)
    unknown = hub_setup(motor={"torque_nm_per_a": None, "peak_torque_nm": None})
    assert torque_of(unknown) is None


def test_climb_is_bound_by_held_torque():
    # 140 N m on 1.8721 m is 140·2π/1.8721 = 469.87 N; level road at 30 mph takes 39.716 + 0.36123·179.86 = 104.69 N;
    # 365.18/2647.80 = 0.13792, tan = 13.925 %.
    assert ride(hub_setup()).climb_grade_percent == pytest.approx(13.925, abs=0.01)


def test_bms_cutoff_is_a_floor_for_the_loaded_voltage():
    # 3.4 V · 20 = 68 V, above the cells' own 56 V.
    bike = bike_of(hub_setup(bms={"low_cell_v": 3.4}), PACK, WEIGHT)
    assert bike is not None
    assert bike.floor_v == pytest.approx(68)
    plain = bike_of(hub_setup(), pack_like(empty_v=60.0), WEIGHT)
    assert plain is not None
    assert plain.floor_v == pytest.approx(60)  # cells 60 V, BMS 56 V, controller 45 V


def test_two_controllers_hold_twice_the_current():
    one = hub_setup(controller={"battery_cont_a": 60})
    two = hub_setup(controller={"battery_cont_a": 60}, quantities={"controller": 2})
    assert known(ride(two).held_kmh) > known(ride(one).held_kmh)
    same = hub_setup(controller={"battery_cont_a": 120})
    assert known(ride(two).held_kmh) == pytest.approx(known(ride(same).held_kmh))


def test_a_lighter_bike_goes_farther():
    heavy, light = ride(hub_setup()), ride(hub_setup(), PACK, replace(WEIGHT, laden_kg=220.0))
    for before, after in zip(heavy.profiles, light.profiles, strict=True):
        assert after.likely_km > before.likely_km
