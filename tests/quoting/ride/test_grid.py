"""Ride figures of a motor with an efficiency grid."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.pack import drive_demand
from quoting.parts import read_grid
from quoting.ride import standard_ranges, trip
from quoting.ride.bike import bike_of
from quoting.ride.efficiency import DriveLine
from quoting.ride.grid import gridded
from quoting.ride.limits import peak_limits
from tests.quoting.ride.bikes import DONOR, HUB, PACK, WEIGHT, hub_setup, known, ride
from tests.quoting.ride.gridded import HUB_SPEEDS, HUB_TORQUES, constant, of_three_numbers

MADE = of_three_numbers(HUB, HUB_SPEEDS, HUB_TORQUES)
PLAIN = DriveLine(controller_share=0.95, final_share=0.9, turns_per_m=2.0)
GRID = "rpm 20 60 120; 100 0.70 0.72 0.61; 700 0.84 0.89 0.86"


def line(text: str = GRID):
    return gridded(PLAIN, read_grid(text))


# Range within 0.5 %, top and held speed within 0.2 %, hill and sprint within 1 %: what straight lines between the
# points and the edge under 25 rpm and 3 N m make of the model's curves.
def test_a_grid_made_of_the_three_numbers_gives_their_range_and_speeds() -> None:
    plain, looked_up = ride(hub_setup()), ride(hub_setup(motor={"efficiency_grid": MADE}))
    for was, now in zip(plain.profiles, looked_up.profiles, strict=True):
        for name in ("low_km", "likely_km", "high_km", "cold_km", "aged_km"):
            assert getattr(now, name) == pytest.approx(getattr(was, name), rel=0.005)
        assert now.likely_km != was.likely_km
    for name, tolerance in (("top_kmh", 0.002), ("held_kmh", 0.002), ("climb_grade_percent", 0.01), ("sprint_s", 0.01)):
        assert getattr(looked_up, name) == pytest.approx(getattr(plain, name), rel=tolerance)


def test_a_coarse_grid_of_the_same_motor_stays_within_two_percent() -> None:
    coarse = of_three_numbers(HUB, (100, 300, 600, 900, 1200, 1500), (10, 30, 60, 100, 160, 230, 280))
    plain, looked_up = ride(hub_setup()), ride(hub_setup(motor={"efficiency_grid": coarse}))
    for was, now in zip(plain.profiles, looked_up.profiles, strict=True):
        assert now.likely_km == pytest.approx(was.likely_km, rel=0.02)


def test_trips_and_standard_cycles_use_the_grid_too() -> None:
    bad, good = (hub_setup(motor={"efficiency_grid": constant(share)}) for share in (0.6, 0.9))
    trips = [trip(setup, PACK, WEIGHT, distance_km=20) for setup in (bad, good)]
    assert trips[0] is not None
    assert trips[1] is not None
    assert trips[0].energy_wh > 1.3 * trips[1].energy_wh
    cities = [standard_ranges(setup, PACK, WEIGHT) for setup in (bad, good)]
    assert cities[0] is not None
    assert cities[1] is not None
    assert cities[0].city_km < 0.75 * cities[1].city_km


# 100 N at 20 m/s: turns 40 rad/s = 382 rpm, torque 100/(2·0.9) = 55.56 N m; 100·20 = 2000 W at the tire. With 80 %
# everywhere: 2000/0.9/0.8/0.95 = 2923.98 W. Backwards: (2923.98·0.95)·0.8·0.9/20 = 100 N.
def test_one_efficiency_everywhere_is_plain_division() -> None:
    drive, force, speed = line(constant(0.8)), np.array([100.0]), np.array([20.0])
    assert float(drive.drive_w(force, speed)[0]) == pytest.approx(2923.977, abs=0.001)
    assert float(drive.force_at_power_n(2923.977, speed)[0]) == pytest.approx(100, abs=0.001)
    # Slowing with 100 N, half for the motor: 50·20·0.9·0.8·0.95 = 684 W.
    assert float(drive.regen_w(-force, speed)[0]) == pytest.approx(684)
    assert float(drive.regen_w(-force, np.array([2.9]))[0]) == 0.0


# Range by hand at 80 km/h steady, bikes.py: 270 kg, 0.6 m², 0.015, 1.2041 kg/m³, controller 97 %.
# F = 0.015·270·9.80665 + 0.5·1.2041·0.6·22.222² = 39.717 + 178.385 = 218.10 N; 4846.7 W at the tire; ÷ 0.9 ÷ 0.97 =
# 5551.8 W; + 60 W = 5611.8 W. U rested, in the middle of the usable charge; I = 2W/(U + √(U² − 4RW)); U·I over 80 km/h.
def test_a_constant_grid_gives_the_range_worked_by_hand() -> None:
    setup = hub_setup(motor={"efficiency_grid": constant(0.9)}, units="metric")
    point = next(point for point in ride(setup).band if round(point.kmh) == 80)
    assert point.battery_w == pytest.approx(5611.8, abs=0.5)
    bike = bike_of(setup, PACK, WEIGHT)
    assert bike is not None
    open_v = known(bike.open_v)
    current = 2 * 5611.8 / (open_v + (open_v**2 - 4 * 0.024 * 5611.8) ** 0.5)
    assert point.likely_km == pytest.approx(3709.0 / (open_v * current / 80.0), rel=1e-3)


@given(force_n=st.floats(1, 900), speed_ms=st.floats(0.5, 60))
@settings(max_examples=60)
def test_force_at_power_undoes_drive_power(force_n: float, speed_ms: float) -> None:
    drive, speed = line(), np.array([speed_ms])
    power_w = float(drive.drive_w(np.array([force_n]), speed)[0])
    assert float(drive.force_at_power_n(power_w, speed)[0]) == pytest.approx(force_n, rel=1e-6)


def test_no_power_is_no_force() -> None:
    assert line().force_at_power_n(0.0, np.array([0.05, 20.0])).tolist() == [0.0, 0.0]
    assert line().force_at_power_n(-50.0, np.array([20.0])).tolist() == [0.0]


def test_rows_of_cases_are_looked_up_each_with_the_same_speeds() -> None:
    drive, speeds = line(), np.array([3.0, 10.0, 30.0])
    forces = np.array([[50.0, 100.0, 200.0], [10.0, 0.0, 400.0]])
    together = drive.drive_w(forces, speeds)
    for row, one in zip(together, forces, strict=True):
        assert row == pytest.approx(drive.drive_w(one, speeds))
    assert together[1, 1] == 0.0


def test_one_look_for_pushing_and_holding_back_gives_what_two_would() -> None:
    """Pushing, rolling, slowing at speed, at walking pace, and past what may be given back."""
    drive, speeds = line(), np.array([10.0, 12.0, 15.0, 2.0, 30.0])
    forces = np.array([[150.0, 0.0, -80.0, -80.0, -300.0], [90.0, -10.0, 40.0, 60.0, -20.0]])
    most = np.array([[1000.0], [0.0]])
    together, apart = drive.net_w(forces, speeds, most), DriveLine.net_w(drive, forces, speeds, most)
    assert together == pytest.approx(apart)
    assert together[0].tolist()[3:] == [0.0, -1000.0]
    assert (together[0, 0] > 0.0, together[0, 1], together[0, 2] < 0.0) == (True, 0.0, True)


def test_drives_of_one_motor_are_one_key() -> None:
    assert line() == line()
    assert len({line(), line(), line(constant(0.8)), PLAIN}) == 3


# A worse motor never takes a bike farther, faster, or up more.
def test_a_worse_grid_never_helps() -> None:
    good, bad = (ride(hub_setup(motor={"efficiency_grid": constant(share)})) for share in (0.93, 0.75))
    for better, worse in zip(good.profiles, bad.profiles, strict=True):
        assert worse.likely_km < better.likely_km
    assert known(bad.held_kmh) < known(good.held_kmh)


def test_the_grid_goes_before_best_efficiency_and_losses() -> None:
    spec = {"efficiency_grid": constant(0.85)}
    plain = ride(hub_setup(motor=spec))
    other = ride(hub_setup(motor={**spec, "peak_efficiency": 0.6, "copper_loss_w": 9000, "no_load_loss_w": 900}))
    assert [item.likely_km for item in other.profiles] == [item.likely_km for item in plain.profiles]


def test_two_motors_share_the_torque() -> None:
    """Twice the grid's torque at the same efficiency: two motors push with 600 N as one does with 300 N."""
    motor = {"efficiency_grid": GRID}
    one = bike_of(hub_setup(motor=motor), PACK, WEIGHT)
    two = bike_of(hub_setup(motor=motor, quantities={"motor": 2}), PACK, WEIGHT)
    assert one is not None
    assert two is not None
    speed = np.array([15.0])
    doubled = two.drive.drive_w(np.array([600.0]), speed)
    assert float(doubled[0]) == pytest.approx(2 * float(one.drive.drive_w(np.array([300.0]), speed)[0]))


def test_several_strong_motors_may_pass_the_limit_of_one() -> None:
    """Two of 2,000 N m make 4,000: more than may be typed for one motor, and no reason to refuse the ride."""
    strong = "rpm 100 2000; 100 0.9 0.8; 1500 0.9 0.85"
    assert ride(hub_setup(motor={"efficiency_grid": strong}, quantities={"motor": 2})).profiles


def motor_words(figures, figure: str) -> dict[str, str]:
    return dict(next(working for working in figures.workings if working.figure == figure).inputs)


def test_the_working_says_that_a_grid_was_used_and_what_lay_past_its_edge() -> None:
    figures = ride(hub_setup(motor={"efficiency_grid": GRID}, units="metric"))
    town, top = motor_words(figures, "profiles.town"), motor_words(figures, "top_kmh")
    assert "efficiency grid, 100 to 700 rpm by 20 N m to 120 N m" in town["Motor"]
    assert "past its edge as at the edge" in town["Motor"]
    assert town["Outside the motor's grid"].endswith("of the time it pushes, taken as at the edge")
    assert town["Outside the motor's grid"] != "0 % of the time it pushes, taken as at the edge"
    assert "past the grid's edge" in top["Motor efficiency there"]  # the motor turns about 900 rpm there
    inside = motor_words(ride(hub_setup(motor={"efficiency_grid": MADE}, units="metric")), "top_kmh")
    assert "past the grid's edge" not in inside["Motor efficiency there"]


def test_without_a_grid_the_working_says_nothing_of_one() -> None:
    assert (
        not {"Outside the motor's grid", "Motor efficiency there"}
        & motor_words(ride(hub_setup()), "profiles.town").keys()
    )


def test_without_the_wheel_the_grid_stands_for_its_best() -> None:
    donor = replace(DONOR, rear_tire=None)
    bike = bike_of(hub_setup(motor={"efficiency_grid": GRID, "peak_efficiency": None}, donor=donor), PACK, WEIGHT)
    assert bike is not None
    assert bike.drive.motor_share == 0.89
    assert "motor efficiency" not in bike.notes.assumed
    assert "rear tire marking" in bike.notes.missing


def test_peak_limits_do_not_depend_on_the_grid() -> None:
    """What motor, controller and pack allow is a limit of its own; the grid says what reaches the tire."""
    plain, looked_up = (
        bike_of(hub_setup(motor=spec), PACK, WEIGHT) for spec in ({}, {"efficiency_grid": constant(0.8)})
    )
    assert plain is not None
    assert looked_up is not None
    assert peak_limits(plain, 70.0) == peak_limits(looked_up, 70.0)


def test_the_pack_is_asked_for_what_the_grid_says() -> None:
    """24 kW/280 N m = 85.71 rad/s = 818.5 rpm; 12 kW is 140 N m: past the edges, 0.86. 12000/0.86/0.97 + 60 W."""
    demand = drive_demand(hub_setup(motor={"efficiency_grid": GRID}))
    assert known(demand.cont_w) == pytest.approx(12000 / 0.86 / 0.97 + 60)
    assert (
        dict(demand.inputs)["motor efficiency"]
        == "86 % and 86 % from its grid at 819 rpm, past its edge as at the edge"
    )
