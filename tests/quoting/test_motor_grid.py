"""A motor's efficiency grid as text: read, kept, refused with the row and the remedy."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.errors import SpecError
from quoting.parts import Motor, part_from_spec, read_grid

TEXT = """
rpm   20    60    120
200   0.70  0.72  0.61
800   0.84  0.89  0.86
"""
KEPT = "rpm 20 60 120\n200 0.70 0.72 0.61\n800 0.84 0.89 0.86"


@pytest.mark.parametrize(
    "text",
    [
        TEXT,
        TEXT.replace("rpm", "   "),
        TEXT.strip().replace("\n", "; "),
        TEXT.replace("0.70", "70%").replace("0.89", "89%"),
        TEXT.replace("   ", "\t"),
        KEPT,
    ],
)
def test_every_way_of_writing_it_is_kept_the_same(text: str) -> None:
    assert read_grid(text).text == KEPT
    motor = part_from_spec("motor", {"efficiency_grid": text})
    assert isinstance(motor, Motor)
    assert motor.efficiency_grid == KEPT


def test_nothing_written_is_not_known() -> None:
    assert part_from_spec("motor", {"efficiency_grid": ""}) == Motor()


def test_speeds_torques_and_best() -> None:
    grid = read_grid(TEXT)
    assert (grid.speeds_rpm, grid.torques_nm, grid.best) == ((200, 800), (20, 60, 120), 0.89)


# Middle of a cell, 500 rpm, 40 N m: (0.70 + 0.72 + 0.84 + 0.89)/4 = 0.7875. A third of the way in speed (400 rpm) on
# the line of 60 N m: 0.72 + 0.17/3 = 0.77667. Outside as at the edge: 100 rpm and 10 N m are 200 rpm and 20 N m.
@pytest.mark.parametrize(
    ("rpm", "nm", "share"),
    [
        (500, 40, 0.7875), (400, 60, 0.776667), (200, 120, 0.61), (800, 20, 0.84), (100, 10, 0.70), (900, 200, 0.86),
        (500, 500, 0.735),
    ],
)  # fmt: skip
def test_between_the_points_on_straight_lines_and_outside_as_at_the_edge(rpm: float, nm: float, share: float) -> None:
    assert read_grid(TEXT).share_at(rpm, nm) == pytest.approx(share, abs=1e-6)
    assert read_grid(TEXT).holds(rpm, nm) is (200 <= rpm <= 800 and 20 <= nm <= 120)


def test_two_motors_give_twice_the_torque_at_the_same_efficiency() -> None:
    assert read_grid(TEXT).of_several(2).text.splitlines()[0] == "rpm 40 120 240"
    assert read_grid(TEXT).of_several(2).share_at(500, 80) == pytest.approx(0.7875)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("rpm 20 60\n200 0.7 0.8", "It has fewer than two speeds"),
        ("rpm 20 60\n200 0.7\n800 0.8 0.9", "The row of 200 rpm has 1 of 2 efficiencies. Fill every cell"),
        ("rpm 20 60\n200 0.7 -\n800 0.8 0.9", "'-' at 200 rpm is no efficiency. Write 0.85 or 85%"),
        ("rpm 20 60\n200 0,7 0,8\n800 0.8 0.9", "'0,7' at 200 rpm is no efficiency. Write 0.85 or 85% in every cell"),
        ("rpm 20 60\n200 70 80\n800 0.8 0.9", "70 at 200 rpm is no efficiency from 0.05 to 0.99"),
        ("rpm 20 60\n1,200 0.7 0.8\n1,800 0.8 0.9", "'1,200' is no speed in rpm"),
        ("lb-ft 20 60\n200 0.7 0.8\n800 0.8 0.9", "'lb-ft' is no torque in N m"),
        ("rpm 60 20\n200 0.7 0.8\n800 0.8 0.9", "Torques do not rise: 20 N m follows 60"),
        ("rpm 20 60\n800 0.7 0.8\n800 0.8 0.9", "Speeds do not rise: 800 rpm follows 800"),
        ("rpm 0 60\n200 0.7 0.8\n800 0.8 0.9", "A torque lies outside 0 to 3,000 N m"),
        ("rpm 20\n200 0.7\n800 0.8", "1 torque in it. Give 2 to 60"),
        # 20/0.2 = 100 W a rad/s, 60/0.9 = 66.7: more torque for less power
        ("rpm 20 60\n200 0.2 0.9\n800 0.8 0.9", "At 200 rpm 60 N m would take less power than 20 N m"),
    ],
)
def test_what_is_wrong_is_refused_with_the_row_and_the_remedy(text: str, words: str) -> None:
    with pytest.raises(SpecError) as refused:
        part_from_spec("motor", {"efficiency_grid": text})
    (problem, *_) = refused.value.problems
    assert problem.field == "efficiency_grid"
    assert words in f"{problem.problem} {problem.remedy}"


@given(text=st.text("rpm 0123456789.,;%-\n\t", max_size=60))
@settings(max_examples=150)
def test_any_text_is_read_or_refused_and_what_is_kept_reads_as_itself(text: str) -> None:
    try:
        kept = read_grid(text).text
    except SpecError:
        return
    assert read_grid(kept).text == kept
