import pytest

from quoting.errors import RequestError
from quoting.request import Policies
from quoting.result import RideFigures
from quoting.ride import standard_ranges, standard_rows, trip
from tests.quoting.ride.bikes import PACK, WEIGHT, hub_setup, known, pack_like, ride, setup_with


def trip_of(setup=None, **distances):
    found = trip(setup or hub_setup(), PACK, WEIGHT, **distances)
    assert found is not None
    return found


def profile(code, setup=None):
    return next(item for item in ride(setup or hub_setup()).profiles if item.profile == code)


def test_a_level_trip_adds_up_by_distance():
    found = trip_of(distance_km=30, highway_km=10, town_km=5)
    need_wh = 10 * profile("highway").wh_per_km + 5 * profile("town").wh_per_km + 15 * profile("back_road").wh_per_km
    assert found.energy_wh == pytest.approx(need_wh)
    assert found.arrives_percent == pytest.approx(100 * (1 - need_wh / PACK.usable_wh))
    assert found.arrives
    assert found.sure


# "My commute: 30 km, 12 of them at 100 km/h, 250 m climb."
def test_a_part_at_a_steady_speed_takes_what_the_chart_says_of_that_speed():
    metric = hub_setup(units="metric")
    at_100 = next(point for point in ride(metric).band if point.kmh == pytest.approx(100))
    found = trip_of(metric, distance_km=30, highway_km=12, highway_kmh=100, climb_m=250)
    level = trip_of(metric, distance_km=30, highway_km=12, highway_kmh=100)
    need_wh = 12 * known(PACK.usable_wh) / at_100.likely_km + 18 * profile("back_road", metric).wh_per_km
    assert level.energy_wh == pytest.approx(need_wh)
    assert found.energy_wh > level.energy_wh
    assert found.arrives_percent < level.arrives_percent
    assert ("At 100 km/h steady", "12 km") in found.working.inputs


def test_a_trip_as_long_as_the_range_arrives_empty():
    back_road = profile("back_road")
    found = trip_of(distance_km=back_road.likely_km)
    assert found.arrives_percent == pytest.approx(0, abs=1e-9)
    assert not found.sure
    assert trip_of(distance_km=back_road.low_km).sure
    assert not trip_of(distance_km=back_road.low_km + 0.1).sure


def test_band_is_half_the_way_between_its_ends():
    back_road = profile("back_road")
    found = trip_of(distance_km=20)
    low, high = 100 * (1 - 20 / back_road.low_km), 100 * (1 - 20 / back_road.high_km)
    assert found.plus_minus_percent == pytest.approx((high - low) / 2)


# 270 kg · 9.80665 · 300 m = 794 kJ = 220.7 Wh; drive and pack at about 86 to 92 %: 240 to 257 Wh.
def test_height_costs_weight_times_height_over_the_drives_efficiency():
    added_wh = trip_of(distance_km=20, climb_m=300).energy_wh - trip_of(distance_km=20).energy_wh
    assert 220.7 / 0.92 < added_wh < 220.7 / 0.86


def test_cold_takes_the_cold_range():
    assert trip_of(distance_km=profile("back_road").cold_km, cold=True).arrives_percent == pytest.approx(0, abs=1e-9)
    mild = hub_setup(policies=Policies(cold_c=20.0))
    warm, cold = trip_of(mild, distance_km=20), trip_of(mild, distance_km=20, cold=True)
    assert cold.arrives_percent == pytest.approx(warm.arrives_percent)
    assert cold.plus_minus_percent == pytest.approx(warm.plus_minus_percent)


def test_result_is_written_in_words():
    assert trip_of(distance_km=20).working.result.startswith("arrives with ")
    short = trip_of(distance_km=200).working
    assert short.result.startswith("short by ")
    assert dict(trip_of(distance_km=20, climb_m=304.8).working.inputs)["Height gained"] == "1,000 ft"
    metric = trip_of(hub_setup(units="metric"), distance_km=20, climb_m=304.8).working
    assert dict(metric.inputs)["Height gained"] == "305 m"


@pytest.mark.parametrize(
    ("distances", "field"),
    [
        ({"distance_km": 0}, "distance_km"),
        ({"distance_km": -5}, "distance_km"),
        ({"distance_km": 10, "highway_km": -1}, "highway_km"),
        ({"distance_km": 10, "town_km": -1}, "town_km"),
        ({"distance_km": 10, "climb_m": -1}, "climb_m"),
        ({"distance_km": 10, "highway_km": 6, "town_km": 5}, "highway_km"),
        ({"distance_km": 10, "highway_km": 6, "highway_kmh": 5}, "highway_kmh"),
        ({"distance_km": 10, "highway_km": 6, "highway_kmh": float("nan")}, "highway_kmh"),
    ],
)
def test_bad_input_names_field_and_remedy(distances, field):
    with pytest.raises(RequestError) as caught:
        trip_of(**distances)
    (problem,) = caught.value.problems
    assert problem.field == field
    assert problem.remedy


def test_no_trip_without_a_range():
    assert trip(setup_with({}), PACK, WEIGHT, distance_km=10) is None
    assert trip(hub_setup(), pack_like(usable_wh=None), WEIGHT, distance_km=10) is None


def test_standard_cycles_order_as_their_speeds_do():
    found = standard_ranges(hub_setup(), PACK, WEIGHT)
    assert found is not None
    assert found.city_km > found.highway_km > found.world_km > found.steady_70_km
    # Half city, half 70 mph: 1/(0.5/city + 0.5/steady).
    assert found.commuting_70_km == pytest.approx(2 / (1 / found.city_km + 1 / found.steady_70_km))
    assert found.commuting_55_km > found.commuting_70_km
    town, country, fast = found.world_parts_km
    assert town > country > fast
    # The whole by distance of its parts, 4.066, 9.112 and 15.737 km (test_cycle_energies); the parts meet at rest.
    use = (4.066 / town + 9.112 / country + 15.737 / fast) / (4.066 + 9.112 + 15.737)
    assert found.world_km == pytest.approx(1 / use, rel=1e-3)


def test_each_standard_row_says_whether_the_bike_can_ride_it():
    ranges = standard_ranges(hub_setup(), PACK, WEIGHT)
    assert ranges is not None
    # Fastest seconds: 56.7 and 59.9 mph, 60, 94.9 and 125.3 km/h; steady 88.5 and 112.7 km/h.
    rows = standard_rows(ranges, RideFigures(top_kmh=96.0, held_kmh=88.0))
    assert [row.held for row in rows] == [True, False, True, True, False, False, False, False, False, False]
    assert [row.held for row in standard_rows(ranges, RideFigures(top_kmh=130.0, held_kmh=113.0))] == [True] * 10
    assert {row.held for row in standard_rows(ranges, RideFigures())} == {None}
    assert all(row.km > 0 and row.source for row in rows)


def test_steady_ranges_lie_on_the_band():
    found = standard_ranges(hub_setup(), PACK, WEIGHT)
    at_55 = next(point for point in ride(hub_setup()).band if point.kmh == pytest.approx(55 * 1.609344))
    assert found is not None
    assert found.steady_55_km == pytest.approx(at_55.likely_km)


def test_no_standard_range_without_a_range():
    assert standard_ranges(hub_setup(), None, WEIGHT) is None
    assert standard_ranges(hub_setup(), PACK, None) is None
