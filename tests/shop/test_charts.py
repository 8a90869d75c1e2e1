"""Drawings: places on paper worked by hand, and nothing drawn that is not known."""

import re
from dataclasses import replace

import pytest
from django.template.loader import render_to_string

from quoting.request import Donor
from quoting.result import BandPoint, PackFigures, RideFigures, SagPoint, WeightFigures
from shop.charts import axle_chart, power_chart, range_chart, voltage_chart
from shop.charts.scale import Scale, apart, closed, path, ticks


def point(kmh: float, likely_km: float, need_w: float) -> BandPoint:
    return BandPoint(
        kmh=kmh,
        low_km=likely_km * 0.9,
        likely_km=likely_km,
        high_km=likely_km * 1.1,
        battery_w=need_w * 1.2,
        wheel_need_w=need_w,
        wheel_peak_w=15_000,
        wheel_held_w=9_000,
    )


RIDE = RideFigures(band=(point(40, 120, 900), point(80, 80, 4_000), point(120, 45, 12_000)))
PACK = PackFigures(
    series=20,
    parallel=10,
    cells=200,
    series_cells=20,
    empty_v=56.0,
    sag=(
        SagPoint(soc=1.0, load="peak", power_w=18e3, open_v=84, loaded_v=78, current_a=231, cell_a=23),
        SagPoint(soc=0.2, load="peak", power_w=18e3, open_v=66, loaded_v=57, current_a=316, cell_a=32),
    ),
)
WEIGHT = WeightFigures(
    before_kg=200, after_kg=190, laden_kg=280, front_after_kg=90, rear_after_kg=100, rear_laden_kg=160
)


def test_a_scale_is_a_straight_line_that_may_point_up_the_page():
    # 0..100 on 206 down to 12: a quarter is 206 − 0.25 × 194 = 157.5
    up = Scale(0, 100, 206, 12)
    assert [up.at(0), up.at(25), up.at(100)] == [206, 157.5, 12]


@pytest.mark.parametrize(
    ("low", "high", "most", "expected"),
    [
        (0, 69, 5, [0, 20, 40, 60, 80]),  # 69 / 5 = 13.8, next of 1, 2, 2.5, 5 × 10 is 20
        (25, 70, 7, [20, 30, 40, 50, 60, 70]),  # 45 / 7 = 6.4 → 10
        (0, 0, 5, [0, 0.2]),  # nothing to span: one step of 1 / 5
        (56, 84, 5, [50, 60, 70, 80, 90]),  # 28 / 5 = 5.6 → 10
    ],
)
def test_ticks_are_round_and_cover_the_values(low, high, most, expected):
    assert ticks(low, high, most) == expected


def test_labels_that_would_overlap_move_down_in_order():
    assert apart([30, 20, 22], 10) == [40, 20, 30]
    assert apart([10, 50], 10) == [10, 50]


def test_paths():
    assert path([(0, 1.5), (2, 3)]) == "M0 1.5L2 3"
    assert closed([(0, 1), (2, 1)], [(0, 5), (2, 5)]) == "M0 1L2 1L2 5L0 5Z"


def test_range_chart_says_and_lists_what_it_draws():
    chart = range_chart(RIDE, "metric")
    assert chart is not None
    assert chart.title == "Range against steady speed: 108 to 132 km at 40 km/h, 40 to 50 km at 120 km/h."
    assert chart.rows[0] == ("40 km/h", "108 km", "120 km", "132 km")
    assert len(chart.rows) == 3
    assert chart.band.endswith("Z")


def test_range_chart_in_miles():
    chart = range_chart(RIDE, "us")
    assert chart is not None
    # 120 km / 1.609344 = 74.6 mi; 40 km/h = 24.9 mph
    assert chart.rows[0] == ("25 mph", "67 mi", "75 mi", "82 mi")
    assert chart.x_words == "steady speed, mph"


def test_power_chart_has_needed_held_and_at_most():
    chart = power_chart(RIDE, "metric")
    assert chart is not None
    assert [line.label for line in chart.lines] == ["needed", "held", "at most"]
    assert chart.rows[-1] == ("120 km/h", "12.0 kW", "9.0 kW", "15.0 kW")


def test_voltage_chart_names_the_lowest_point():
    chart = voltage_chart(PACK)
    assert chart is not None
    assert chart.title == "Pack voltage under load: lowest 57.0 V, peak load at 20 % charge."
    # Charge falls to the right: full is at the left edge.
    peak = next(line for line in chart.lines if line.label == "peak")
    x = [float(number) for number in re.findall(r"[ML]([\d.]+)", peak.d)]
    assert x[0] < x[1]


def test_voltage_chart_says_what_the_pack_cannot_give():
    weak = replace(PACK.sag[1], loaded_v=None, current_a=None)
    chart = voltage_chart(replace(PACK, sag=(PACK.sag[0], weak)))
    assert chart is not None
    assert "cannot give 18.0 kW" in chart.title
    assert chart.rows[1][4] == "cannot give it"


def test_axle_chart_marks_a_plate_that_is_known_and_says_when_it_is_not():
    chart = axle_chart(WEIGHT, Donor(family="anvil", label="Anvil", gawr_rear_kg=265), "metric")
    assert chart is not None
    front, rear, whole = chart.groups
    assert (front.limit_x, front.limit_words) == (None, "plate not known")
    assert rear.limit_words == "plate 265 kg"
    assert [bar.label for bar in rear.bars] == ["after", "laden"]  # before is not known for the axle
    assert [bar.value for bar in whole.bars] == ["200 kg", "190 kg", "280 kg"]


def test_a_description_says_what_is_drawn_between_which_ends():
    ride = range_chart(RIDE, "metric")
    assert ride is not None
    # 40 to 120 km/h by 20, 0 to 132 km by 50
    assert ride.description == (
        "Across: steady speed, km/h, 40 to 120. Up: km, 0 to 150. Drawn: likely, with the band between the best "
        "and the worst case."
    )
    axles = axle_chart(WEIGHT, Donor(family="anvil", label="Anvil", gawr_rear_kg=265), "metric")
    assert axles is not None
    assert axles.description == (
        "Bars for front axle, rear axle, whole bike: after, laden, before. A mark shows the rating on the plate."
    )


def test_nothing_is_drawn_of_what_is_not_known():
    assert range_chart(RideFigures(), "us") is None
    assert power_chart(RideFigures(), "us") is None
    assert voltage_chart(replace(PACK, sag=())) is None
    assert axle_chart(WeightFigures(), None, "us") is None


@pytest.mark.parametrize(
    "chart",
    [range_chart(RIDE, "us"), power_chart(RIDE, "us"), voltage_chart(PACK), axle_chart(WEIGHT, None, "us")],
    ids=["range", "power", "voltage", "axles"],
)
def test_a_drawing_is_named_carries_its_table_and_no_style(chart):
    html = render_to_string("charts/figure.html", {"chart": chart, "place": "a"})
    name = re.search(r'aria-labelledby="([^"]+)"', html)
    assert name is not None
    assert f'<title id="{name.group(1)}">{chart.title}</title>' in html
    words = re.search(r'aria-describedby="([^"]+)"', html)
    assert words is not None
    assert f'<desc id="{words.group(1)}">{chart.description}</desc>' in html
    assert html.count("<tr>") == len(chart.rows) + 1
    assert "style=" not in html
