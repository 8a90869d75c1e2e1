import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.ride.routes import MPH, profiles
from quoting.ride.traces import Leg, Rider, ride_route

TOWN, BACK_ROAD, HIGHWAY = profiles()
CALM = Rider(accel_ms2=1.0, power_w_kg=100.0, brake_ms2=1.0)


def stops(trace):
    return int(((trace.speed_ms[1:] == 0) & (trace.speed_ms[:-1] > 0)).sum())


def test_names():
    assert [(trace.code, trace.label) for trace in profiles()] == [
        ("town", "Town"),
        ("back_road", "Back road"),
        ("highway", "Highway"),
    ]


def test_town_stops_about_once_a_kilometer_and_never_passes_45_mph():
    assert TOWN.fastest_kmh == pytest.approx(45 * MPH, abs=1e-9)
    assert 20 < TOWN.mean_kmh / MPH < 27
    assert 0.8 < stops(TOWN) / TOWN.distance_km < 1.5
    assert not TOWN.slope.any()


def test_back_road_averages_about_45_mph_and_peaks_at_75_with_hills():
    assert BACK_ROAD.mean_kmh / MPH == pytest.approx(45, abs=1.0)
    assert BACK_ROAD.fastest_kmh / MPH == pytest.approx(75, abs=0.5)
    assert BACK_ROAD.slope.max() == pytest.approx(0.06)
    assert BACK_ROAD.slope.min() == pytest.approx(-0.05)


def test_highway_keeps_between_65_and_70_mph():
    assert HIGHWAY.speed_ms.min() * 3.6 / MPH >= 64.9
    assert HIGHWAY.fastest_kmh / MPH == pytest.approx(70, abs=0.1)
    assert np.abs(HIGHWAY.accel_ms2).max() <= 0.26


@pytest.mark.parametrize("trace", profiles(), ids=lambda trace: trace.code)
def test_every_profile_ends_as_high_as_it_began_and_stays_rideable(trace):
    assert trace.climb_m == pytest.approx(0, abs=1.0)
    assert trace.speed_ms.min() >= 0
    assert trace.accel_ms2.max() <= 2.0 + 1e-9
    assert trace.accel_ms2.min() >= -2.3


def test_the_same_route_gives_the_same_trace():
    route = (Leg(300, 50, 1.0, stop_s=3), Leg(200, 30))
    first, second = ride_route("x", "X", route, CALM), ride_route("x", "X", route, CALM)
    assert np.array_equal(first.speed_ms, second.speed_ms)
    assert np.array_equal(first.slope, second.slope)


# 36 km/h = 10 m/s at 1 m/s²: 10 s and 50 m to speed, 10 s and 50 m to stop, 100 m between in 10 s: 30 s, 5 s standing.
def test_one_leg_by_hand():
    trace = ride_route("x", "X", (Leg(200, 36, stop_s=5),), CALM)
    assert trace.distance_km == pytest.approx(0.200, abs=0.002)
    assert len(trace.slope) == pytest.approx(35, abs=2)
    assert list(trace.speed_ms[:11]) == pytest.approx(list(range(11)))
    assert list(trace.speed_ms[-6:]) == [0] * 6


# 14 W/kg at 14 m/s is 1 m/s²; above that the rate falls as power over speed: at 28 m/s 0.5 m/s².
def test_acceleration_tapers_with_power():
    trace = ride_route("x", "X", (Leg(4000, 200),), Rider(accel_ms2=2.0, power_w_kg=14.0, brake_ms2=2.0))
    before = trace.speed_ms[:-1]
    above = before > 7.0
    above[-1] = False  # the last second belongs to the end of the route
    assert trace.accel_ms2[above] == pytest.approx(14.0 / before[above])


@given(
    legs=st.lists(
        st.builds(
            Leg,
            length_m=st.floats(150, 3000),
            kmh=st.floats(15, 130),
            slope_percent=st.floats(-8, 8),
            stop_s=st.sampled_from([0, 0, 4]),
        ),
        min_size=1,
        max_size=6,
    )
)
def test_any_route_is_ridden_whole_and_within_its_speeds(legs):
    trace = ride_route("x", "X", tuple(legs), CALM)
    assert trace.distance_km == pytest.approx(sum(leg.length_m for leg in legs) / 1000, abs=0.04)
    assert trace.fastest_kmh <= max(leg.kmh for leg in legs) + 1e-6
    assert trace.accel_ms2.max() <= 1.0 + 1e-9
    assert len(trace.speed_ms) == len(trace.slope) + 1
    assert stops(trace) >= sum(1 for leg in legs if leg.stop_s) - 1
