import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import SpecError
from quoting.ride import circumference_m, tire_size


# 130/70-17: rim 431.8 mm, side 91 mm: diameter 613.8 mm. One turn 3.05 × 0.6138 = 1.8721 m.
def test_one_turn_of_a_130_70_17():
    assert circumference_m("130/70-17") == pytest.approx(1.8721, abs=0.00005)


# 4.00-18: 457.2 + 2·101.6 = 660.4 mm, 3.05 × = 2.0142 m. 3.25-19: 482.6 + 2·82.55 = 647.7 mm, 1.9755 m.
# The A32 build (public practitioner report) measured 2.01 m around.
@pytest.mark.parametrize(("marking", "turn_m"), [("4.00-18", 2.0142), ("3.25-19", 1.9755)])
def test_one_turn_of_older_inch_sizes(marking, turn_m):
    assert circumference_m(marking) == pytest.approx(turn_m, abs=0.00005)


@pytest.mark.parametrize(
    "marking",
    [
        "130/70-17", "130/70 - 17", "130/70R17", "130/70ZR17", "130/70 ZR17 M/C 62W", "130/70 B 17", "130/70x17",
        " 130/70-17 62H ", "130/70 17",
    ],
)  # fmt: skip
def test_ways_to_write_a_metric_size(marking):
    assert tire_size(marking) == tire_size("130/70-17")


@pytest.mark.parametrize("marking", ["4.00-18", "4.00 - 18", "4.00H18", "4.00 S 18", "4.00x18", "4.00 × 18", "4.0-18"])
def test_ways_to_write_an_inch_size(marking):
    assert tire_size(marking) == tire_size("4.00-18")


@pytest.mark.parametrize("marking", ["MT90-16", "MT90B16", "MT90 B 16", "mt90-16"])
def test_ways_to_write_a_lettered_size(marking):
    assert tire_size(marking) == tire_size("130/90-16")


@pytest.mark.parametrize(
    "marking", ["", "17", "130-17", "130/70", "13/70-17", "130/70-170", "130/170-17", "MQ90-16", "12.50-10", "4.00-4"]
)
def test_what_cannot_be_read_is_refused_with_a_remedy(marking):
    with pytest.raises(SpecError) as caught:
        tire_size(marking)
    (problem,) = caught.value.problems
    assert problem.field == "marking"
    assert "130/70-17" in problem.remedy


@given(
    width=st.integers(60, 300), aspect=st.integers(30, 100), rim=st.integers(10, 21), letters=st.sampled_from("- R ZR")
)
def test_a_taller_tire_rolls_farther(width, aspect, rim, letters):
    size = tire_size(f"{width}/{aspect}-{rim}")
    assert (size.width_mm, size.aspect_percent, size.rim_inch) == (width, aspect, rim)
    assert size.circumference_m < math.pi * size.diameter_m
    assert tire_size(f"{width}/{aspect}-{rim + 1}").circumference_m > size.circumference_m
