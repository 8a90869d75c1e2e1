"""VIN and frame numbers as typed at the counter: what is said about them and what to do."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.vin import VALUES, check_digit, check_vin

NA = "north america"
GOOD = "1G4AH59H45G118341"  # the sample of 49 CFR 565, place 10 is 5: 2005 or 2035


def test_a_right_vin_with_its_year_has_nothing_against_it() -> None:
    found = check_vin(GOOD, 2005, NA)
    assert (found.level, found.ok, found.years, found.expected) == ("", True, (2005, 2035), "4")


def test_spaces_dashes_and_small_letters_are_taken_away() -> None:
    assert check_vin(" 1g4ah59h4-5g118341 ", 2005, NA).normalized == GOOD


def test_without_a_year_both_years_are_offered_and_one_is_asked_for() -> None:
    found = check_vin(GOOD, None, NA)
    assert (found.level, found.ok, found.years) == ("check", False, (2005, 2035))
    assert "2005 or 2035" in found.message
    assert "Choose the model year" in found.remedy


def test_a_year_its_code_does_not_stand_for_is_a_check_at_home_and_a_note_elsewhere() -> None:
    assert check_vin(GOOD, 2006, NA).level == "check"
    assert check_vin(GOOD, 2006, "other").level == "note"


def test_a_wrong_check_digit_stops_in_north_america_and_names_the_right_one() -> None:
    found = check_vin("1G4AH59H55G118341", 2005, NA)
    assert (found.level, found.expected) == ("stop", "4")
    assert "place 9 is 5" in found.message


def test_a_wrong_check_digit_is_a_check_for_a_bike_made_there_but_sold_elsewhere() -> None:
    assert check_vin("1G4AH59H55G118341", 2005, "other").level == "check"


def test_outside_north_america_the_check_digit_does_not_bind() -> None:
    foreign = "VG4AH59H55G118341"  # V: made in Europe; V weighs 8 × 5, so the right digit would be another
    found = check_vin(foreign, 2005, "other")
    assert (found.level, found.ok) == ("note", True)


def test_a_letter_that_is_never_used_offers_the_number_it_was_misread_for() -> None:
    found = check_vin("1G4AH59H45GII8341", 2005, NA)
    assert found.level == "stop"
    assert "I is never part of a VIN" in found.message
    assert f"Is it {GOOD}?" in found.remedy
    assert check_vin("1G4AH59H45GIQ8341", 2005, "other").level == "check"


@pytest.mark.parametrize(
    ("text", "year", "market", "level"),
    [
        ("1G4AH59H45G11834", 2005, NA, "stop"),  # 16 characters
        ("1G4AH59H45G11834", 2005, "other", "check"),
        ("1G4AH59H45G11834", None, NA, "check"),
        ("1G4AH59H45G1183411", 2005, NA, "stop"),  # 18
        ("", 2005, NA, "check"),
        ("1G4AH59H45G11834!", 2005, NA, "stop"),
        ("0" * 17, None, NA, "stop"),
        ("0" * 17, 2005, "other", "stop"),
        ("0000", 1975, NA, "stop"),
    ],
)
def test_what_is_no_vin_is_held_up(text: str, year: int | None, market: str, level: str) -> None:
    found = check_vin(text, year, market)
    assert (found.level, found.ok) == (level, False)
    assert found.remedy


def test_a_place_10_that_is_no_year_code_stops_in_north_america() -> None:
    vin = "1G4AH59H_0G118341"
    vin = vin.replace("_", check_digit(vin.replace("_", "0")))
    assert check_vin(vin, 2005, NA).level == "stop"
    assert "no model-year code" in check_vin(vin, 2005, NA).message


@pytest.mark.parametrize("text", ["EX400-001979", "FR12345", "12345"])
def test_a_frame_number_from_before_1981_is_taken_with_a_note(text: str) -> None:
    found = check_vin(text, 1979, NA)
    assert (found.level, found.ok, found.normalized) == ("note", True, text)


@pytest.mark.parametrize("text", ["1234", "123456789012345678"])
def test_a_frame_number_too_short_or_too_long_is_a_check(text: str) -> None:
    assert check_vin(text, 1979, NA).level == "check"


@given(body=st.text(alphabet=sorted(VALUES), min_size=17, max_size=17), place=st.integers(0, 16), data=st.data())
def test_any_single_wrong_character_of_another_value_is_caught(body: str, place: int, data: st.DataObject) -> None:
    right = body[:8] + check_digit(body) + body[9:]
    other = data.draw(st.sampled_from(sorted(VALUES)))
    wrong = right[:place] + other + right[place + 1 :]
    same_value = VALUES[other] == VALUES[right[place]]
    caught = check_digit(wrong) != wrong[8]
    if place == 8:
        assert caught == (other != right[8])
    else:
        assert caught == (not same_value)
