"""SciPy's integrators and root finder against our closed forms and grids.

Source: SciPy (scipy.integrate.solve_ivp, scipy.integrate.quad, scipy.optimize.brentq), reference library. The bike here
is written out a second time, from the textbook formulas, sharing no code with quoting.ride beyond its input numbers.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from quoting.pack import pack_open_v
from quoting.ride.road_load import measured_road_load
from quoting.ride.routes import profiles
from tests.quoting.ride.bikes import PACK, hub_setup, known, ride

G = 9.80665
WHEEL_M = known(ride(hub_setup()).wheel_circumference_m)
PACK_OHM, USABLE_WH = known(PACK.resistance_ohm), known(PACK.usable_wh)
MASS_KG, CDA_M2, CRR, AIR = 270.0, 0.6, 0.015, 101325 / (287.05 * 293.15)
AUX_W = 60.0
# The invented hub motor: 12 kW at 92 % best efficiency, corner speed 24 kW / 280 N m, top speed 1500 rpm.
RATED_RAD_S, TOP_RAD_S = 24000 / 280, 1500 * math.pi / 30
LOST_W = 12000 * (1 / 0.92 - 1)
COPPER = 0.5 * LOST_W / (12000 / RATED_RAD_S) ** 2  # W per (N m)²
RATED_SHARE = RATED_RAD_S / TOP_RAD_S
IDLE_W = 0.5 * LOST_W / (0.5 * RATED_SHARE + 0.5 * RATED_SHARE**2)
KV_RAD_S_V = 16 * math.pi / 30 * 0.95


def road_n(v):
    return CRR * MASS_KG * G + 0.5 * AIR * CDA_M2 * v * v


def battery_w(torque_nm, v):
    turn = 2 * math.pi * v / WHEEL_M
    share = turn / TOP_RAD_S
    idle_w = IDLE_W * (0.5 * share + 0.5 * share**2)
    return (torque_nm * turn + COPPER * torque_nm**2 + idle_w) / 0.97 + AUX_W


def current_a(torque_nm, v, open_v):
    root = open_v**2 - 4 * PACK_OHM * battery_w(torque_nm, v)
    return math.inf if root < 0 else (open_v - math.sqrt(root)) / (2 * PACK_OHM)


def spare_current_a(torque_nm, v, open_v, most_a):
    """Current left; negative past the limit."""
    return min(most_a, (open_v - 56.0) / PACK_OHM) - min(current_a(torque_nm, v, open_v), 1e6)


def spare_speed_rad_s(torque_nm, v, open_v):
    """Speed the loaded voltage still turns the motor at, less the speed it turns at."""
    loaded_v = open_v - min(current_a(torque_nm, v, open_v), 1e6) * PACK_OHM
    return KV_RAD_S_V * loaded_v - COPPER * torque_nm - 2 * math.pi * v / WHEEL_M


def most_force_n(v, open_v, most_a, most_w, most_nm):
    torque_nm = min(most_nm, most_w / max(2 * math.pi * v / WHEEL_M, 1e-6))
    for spare in (lambda t: spare_current_a(t, v, open_v, most_a), lambda t: spare_speed_rad_s(t, v, open_v)):
        if spare(torque_nm) < 0:
            torque_nm = brentq(spare, 0.0, torque_nm) if spare(0.0) > 0 else 0.0
    return torque_nm * 2 * math.pi / WHEEL_M


@pytest.fixture(scope="module")
def figures():
    return ride(hub_setup())


@pytest.mark.parametrize(("mass_kg", "a_n", "c_n"), [(100, 0.0, 0.0224), (200, 8.69, 0.0252), (340, 20.92, 0.0290)])
def test_coast_down_closed_form_against_an_integrated_run(mass_kg, a_n, c_n):
    def slowing(_, state):
        return [-(a_n + c_n * (3.6 * state[0]) ** 2) / mass_kg]

    def reached(_, state):
        return state[0] - 60 / 3.6

    run = solve_ivp(slowing, (0, 60), [70 / 3.6], events=reached, max_step=0.05, rtol=1e-10, atol=1e-12)
    assert measured_road_load(mass_kg, a_n, c_n).coast_down_s(70 / 3.6, 60 / 3.6) == pytest.approx(
        run.t_events[0][0], rel=1e-8
    )


def test_coast_down_without_drag():
    assert measured_road_load(200, 50.0, 0.0).coast_down_s(20, 10) == pytest.approx(200 * 10 / 50)


def test_sprint_against_quadrature(figures):
    open_v = pack_open_v(PACK, 0.5)
    front_n = MASS_KG * G * 125 / 270 * 1.4 / 0.6
    grip_n = 0.8 * MASS_KG * G * 145 / 270 / (1 - 0.8 * 0.6 / 1.4)

    def seconds_per_ms(v):
        drive_n = min(most_force_n(v, open_v, 380, 24000, 280), front_n, grip_n)
        return MASS_KG * 1.04 / (drive_n - road_n(v))

    expected_s, _ = quad(seconds_per_ms, 0.0, 60 * 0.44704, limit=200, points=[15.0, 25.0])
    assert figures.sprint_s == pytest.approx(expected_s, rel=0.005)


@pytest.mark.parametrize(
    ("figure", "most_a", "most_w", "most_nm"),
    [("top_kmh", 380, 24000, 280), ("held_kmh", 200, 12000, 12000 / RATED_RAD_S)],
)
def test_speeds_against_a_root_finder(figures, figure, most_a, most_w, most_nm):
    open_v = pack_open_v(PACK, 0.2)
    expected_ms = brentq(lambda v: most_force_n(v, open_v, most_a, most_w, most_nm) - road_n(v), 5.0, 60.0)
    assert getattr(figures, figure) == pytest.approx(3.6 * expected_ms, rel=0.002)


def test_power_limited_top_speed_against_a_root_finder():
    """The same bike on 120 A: now the battery current sets the speed, not the voltage."""
    setup = hub_setup(controller={"battery_peak_a": 120, "battery_cont_a": 120})
    found = ride(setup)
    open_v = pack_open_v(PACK, 0.2)
    expected_ms = brentq(lambda v: most_force_n(v, open_v, 120, 24000, 280) - road_n(v), 5.0, 60.0)
    assert found.top_limit == "controller battery current, peak"
    assert found.top_kmh == pytest.approx(3.6 * expected_ms, rel=1e-4)


def test_band_power_against_the_written_out_bike(figures):
    for point in figures.band:
        v = point.kmh / 3.6
        assert point.battery_w == pytest.approx(battery_w(road_n(v) * WHEEL_M / (2 * math.pi), v), rel=1e-9)


def terminal_powers_w(trace):
    """Power at the pack's terminals, second by second, for the written-out bike on a trace."""
    v, slope = trace.mid_ms, trace.slope
    cos = 1 / np.hypot(1, slope)
    hill_n = (CRR + slope) * MASS_KG * G * cos
    force_n = hill_n + 0.5 * AIR * CDA_M2 * v * v + MASS_KG * 1.04 * trace.accel_ms2
    return [battery_w(f * WHEEL_M / (2 * math.pi), s) if f > 0 else AUX_W for f, s in zip(force_n, v, strict=True)]


def test_range_against_emptying_the_pack_step_by_step(figures):
    """Ride round after round with the voltage falling as the charge does, until the usable energy is gone.

    Ours takes the voltage in the middle of the usable charge for all of it; that may cost half a percent.
    """
    for trace, found in zip(profiles(), figures.profiles, strict=True):
        power_w = np.array(terminal_powers_w(trace))

        def km_per_wh(used_wh, power_w=power_w, trace=trace):
            open_v = known(pack_open_v(PACK, 1.0 - 0.92 * used_wh / USABLE_WH))
            amps = (open_v - np.sqrt(open_v**2 - 4 * PACK_OHM * power_w)) / (2 * PACK_OHM)
            return trace.distance_km * 3600 / (open_v * amps).sum()

        expected_km, _ = quad(km_per_wh, 0.0, USABLE_WH, limit=200, epsabs=1e-4)
        assert found.likely_km == pytest.approx(expected_km, rel=0.005)
