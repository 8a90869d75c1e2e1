"""One cell at a time: figures as people and spreadsheets write them."""

from datetime import date
from decimal import Decimal

import pytest

from shop.importing.cells import cell_value, plain_number
from shop.importing.columns import DESK, OFFER, Column
from shop.importing.problems import CellError

COLUMNS = {column.name: column for column in (*DESK, *OFFER)}


def value(name: str, text: str, comma_decimal: bool = False) -> object:
    return cell_value(COLUMNS[name], text, comma_decimal)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("72", "72"),
        ("72 V", "72 V"),
        ("1,234.5 W", "1234.5 W"),  # a comma before three figures parts thousands
        ("12,345", "12345"),
        ("1 234", "1234"),
        ("-20 degC", "-20 degC"),
        ("4 AWG", "4 AWG"),
        ("1/0 AWG", "1/0 AWG"),
        ("hall", "hall"),
        ("", ""),
    ],
)
def test_a_point_is_the_decimal_point(text, plain):
    assert plain_number(text, comma_decimal=False) == plain


@pytest.mark.parametrize("text", ["12,5", "3,05 A", "1.234,50", "0,8"])
def test_a_decimal_comma_is_refused_with_the_figure_to_write(text):
    with pytest.raises(CellError) as refused:
        plain_number(text, comma_decimal=False)
    assert "decimal comma" in refused.value.problem
    assert refused.value.remedy.startswith("Write it with a point: ")


def test_the_remedy_for_a_decimal_comma_is_the_same_number():
    with pytest.raises(CellError, match=r"1234\.50"):
        plain_number("1.234,50", comma_decimal=False)


@pytest.mark.parametrize(
    ("text", "plain"), [("12,5", "12.5"), ("1.234,50", "1234.50"), ("3,05 A", "3.05 A"), ("12.5", "12.5"), ("7", "7")]
)
def test_in_a_file_parted_by_semicolons_a_comma_is_the_decimal_comma(text, plain):
    assert plain_number(text, comma_decimal=True) == plain


def test_there_a_number_that_may_be_two_things_is_refused():
    with pytest.raises(CellError) as refused:
        plain_number("1,234", comma_decimal=True)
    assert refused.value.problem == "'1,234' could mean 1.234 or 1234."


def test_amounts_are_exact():
    assert value("unit_cost", "3.0525") == Decimal("3.0525")
    assert value("unit_cost", "1,250.50") == Decimal("1250.5")
    assert value("unit_cost", "") is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("3.05251", "more than 4 decimal places"),
        ("-1", "below zero"),
        ("about 3", "not a number"),
        ("nan", "not a number"),
        ("1e400", "more than can be kept"),
        ("1000000000001", "more than can be kept"),
    ],
)
def test_wrong_amounts_say_why(text, said):
    with pytest.raises(CellError, match=said):
        value("unit_cost", text)


def test_per_cent_is_kept_as_a_share():
    assert value("markup_percent", "35") == Decimal("0.35")
    assert value("markup_percent", "35 %") == Decimal("0.35")
    assert value("duty_percent", "2.5") == Decimal("0.025")


def test_days_yes_and_dates():
    assert value("lead_days", "45") == 45
    assert value("lead_days", "45 days") == 45
    assert value("discontinued", "Yes") is True
    assert value("discontinued", "0") is False
    assert value("priced_on", "2026-03-31") == date(2026, 3, 31)


@pytest.mark.parametrize(
    ("name", "text", "remedy"),
    [
        ("lead_days", "4.5", "Write a whole number"),
        ("lead_days", "99999", "from 0 to 32767"),
        ("discontinued", "maybe", "Write yes or no"),
        ("priced_on", "31.3.2026", "year-month-day"),
        ("priced_on", "2026-02-30", "year-month-day"),
        ("x_m", "far back", "in meters"),
        ("x_m", "nan", "in meters"),
        ("x_m", "1e400", "in meters"),
    ],
)
def test_what_cannot_be_read_says_what_to_write(name, text, remedy):
    with pytest.raises(CellError) as refused:
        value(name, text)
    assert remedy in refused.value.remedy


def test_text_stays_text():
    assert cell_value(Column(name="notes", label="Notes", sort="text", help=""), " 12,5 or so ", False) == "12,5 or so"
