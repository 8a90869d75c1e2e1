"""Figures as lines to read: in the shop's units, each with its working, what is not known left out."""

from quoting.request import Wishes
from quoting.result import ChargeCase, ChargeFigures, PackFigures, ProfileRange, RideFigures, WeightFigures, Working
from shop.readings import charge_readings, pack_readings, ride_readings, weight_readings, wiring_readings


def working(figure: str) -> Working:
    return Working(figure=figure, label=figure, formula="a = b", inputs=(), result="b", source="by hand")


def profile(name: str, *, possible: bool = True) -> ProfileRange:
    return ProfileRange(
        profile=name, label=name.title(), mean_kmh=50, fastest_kmh=80, wh_per_km=60, low_km=61.2, likely_km=67,
        high_km=74.0, cold_km=50, aged_km=52, possible=possible,
    )  # fmt: skip


def test_a_band_with_its_wish_and_its_working():
    ride = RideFigures(profiles=(profile("town"),), workings=(working("profiles.town"), working("trip")))
    read = ride_readings(ride, Wishes(town_km=80.4672), "us")
    (line,) = read.lines
    # 61.2 ÷ 1.609344 = 38.03, 74.0 ÷ 1.609344 = 45.98, 80.4672 ÷ 1.609344 = 50
    assert (line.value, line.wish) == ("38 to 46 mi", "wish 50 mi")
    assert line.working is not None
    assert [item.figure for item in read.more] == ["trip"]


def test_a_profile_the_bike_cannot_hold_has_no_range():
    read = ride_readings(RideFigures(profiles=(profile("highway", possible=False),)), Wishes(), "metric")
    assert read.lines[0].value == "cannot hold it"


def test_figures_that_are_not_known_are_left_out_and_what_is_missing_is_said():
    read = pack_readings(PackFigures(series=20, parallel=10, cells=200, series_cells=20, missing=("cell resistance",)))
    assert read.lines == ()
    assert read.missing == ("cell resistance",)


def test_weight_is_told_against_the_donor():
    read = weight_readings(WeightFigures(before_kg=205, after_kg=199), "metric")
    assert read.lines[0].value == "199 kg"
    assert read.lines[0].note == "6.0 kg less than the donor"
    heavier = weight_readings(WeightFigures(before_kg=200, after_kg=212), "metric")
    assert heavier.lines[0].note == "12 kg more than the donor"


def test_charging_names_the_outlet_and_what_limits_it():
    case = ChargeCase(
        circuit="120 V 15 A", label="120 V, 15 A", ac_w=1440, dc_a=16, full_h=6.5, most_h=4, limited_by="the circuit"
    )
    (line,) = charge_readings(ChargeFigures(cases=(case,))).lines
    assert (line.label, line.value) == ("Full charge, 120 V, 15 A", "6 h 30 min")
    assert line.note == "1.44 kW, limited by the circuit"


def test_an_option_with_nothing_of_a_kind_has_no_lines():
    assert not ride_readings(None, Wishes(), "us").known
    assert not charge_readings(None).known
    assert not pack_readings(None).known
    assert not weight_readings(None, "us").known
    assert not wiring_readings(None, "us").known
