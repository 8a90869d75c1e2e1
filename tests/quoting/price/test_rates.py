from datetime import date
from decimal import Decimal

import pytest

from quoting.price import in_force, place_problems, rate_problems
from quoting.request import Authority, DatedRate, TaxPlace
from tests.quoting.price.quotes import authority, place, rate

D = Decimal


def dated(begin: str, end: str | None, value: str = "0.04", tax_class: str = "parts") -> DatedRate:
    last = None if end is None else date.fromisoformat(end)
    return DatedRate(tax_class=tax_class, rate=D(value), begin=date.fromisoformat(begin), end=last)


def fields(*rates: DatedRate) -> list[str]:
    return [problem.field for problem in rate_problems(rates)]


def test_both_ends_of_a_rate_are_included() -> None:
    quarter = dated("2026-04-01", "2026-06-30")
    days = ["2026-03-31", "2026-04-01", "2026-06-30", "2026-07-01"]
    assert [in_force(quarter, date.fromisoformat(day)) for day in days] == [False, True, True, False]
    assert in_force(dated("2026-04-01", None), date(2999, 12, 31))


def test_rates_that_follow_day_by_day_are_fine_in_any_order() -> None:
    assert fields(dated("2026-07-01", None), dated("2026-01-01", "2026-06-30")) == []


def test_an_overlap_of_one_day_is_found() -> None:
    problems = rate_problems([dated("2026-01-01", "2026-07-01"), dated("2026-07-01", None)])
    assert [str(p) for p in problems] == [
        "rates.2.begin: parts from 2026-07-01 overlaps rate 1, which holds to 2026-07-01. "
        "End the earlier rate the day before this one begins."
    ]


def test_a_gap_of_one_day_is_found() -> None:
    problems = rate_problems([dated("2026-01-01", "2026-06-29"), dated("2026-07-01", None)])
    assert [str(p) for p in problems] == [
        "rates.2.begin: parts has no rate from 2026-06-30 to 2026-06-30. Close the gap, or enter 'not taxed' for it."
    ]


def test_an_open_rate_overlaps_whatever_begins_later() -> None:
    assert fields(dated("2026-01-01", None), dated("2027-01-01", "2027-12-31")) == ["rates.2.begin"]


def test_a_short_rate_inside_a_long_one_hides_no_overlap_and_makes_no_gap() -> None:
    long, short, later = (
        dated("2026-01-01", "2026-12-31"),
        dated("2026-02-01", "2026-02-28"),
        dated("2027-01-01", None),
    )
    assert fields(long, short, later) == ["rates.2.begin"]


def test_classes_do_not_disturb_each_other() -> None:
    assert fields(dated("2026-01-01", None), dated("2026-01-01", None, tax_class="freight")) == []


def test_the_last_day_there_is_may_end_a_rate() -> None:
    assert fields(dated("2026-01-01", "9999-12-31"), dated("2025-01-01", "2025-12-31")) == []


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        (rate("parts", "7.25"), "rates.1.rate"),
        (rate("parts", "-0.01"), "rates.1.rate"),
        (rate("parts", "NaN"), "rates.1.rate"),
        (rate("parts", "0.05", taxed=False), "rates.1.rate"),
        (rate("labour", "0.05"), "rates.1.tax_class"),
        (rate("parts", "0.05", end=date(2019, 1, 1)), "rates.1.end"),
        (rate("parts", "0.05", cap=D(0)), "rates.1.cap"),
        (rate("parts", "0.05", threshold=D(-1)), "rates.1.threshold"),
    ],
)
def test_a_value_out_of_range_is_named(wrong: DatedRate, field: str) -> None:
    assert fields(wrong) == [field]


def test_a_class_nobody_entered_is_named_when_required() -> None:
    (problem,) = rate_problems([rate("parts", "0.05")], required=("parts", "repair_labor"))
    assert problem.problem == "nothing is entered for repair labor."
    assert problem.remedy == "Enter its rate, or state that it is not taxed."


def test_a_whole_place_is_fine() -> None:
    assert place_problems(place(authority("State", "0.06"), authority("City", "0.01", level="city"))) == ()


def test_a_place_without_authorities_or_with_one_twice_is_refused() -> None:
    assert [p.field for p in place_problems(TaxPlace(code="X", name="X"))] == ["authorities"]
    twice = place(authority("State", "0.06"), authority("State", "0.01"))
    assert [p.field for p in place_problems(twice)] == ["authorities.2.name"]


def test_a_places_problems_name_authority_and_rate() -> None:
    bad = Authority(name="City", level="city", rates=(rate("parts", "8"),))
    assert [p.field for p in place_problems(place(bad), required=("parts",))] == ["authorities.1.rates.1.rate"]


def test_caps_are_refused_where_prices_include_tax() -> None:
    capped = Authority(name="State", level="state", rates=(rate("parts", "0.05", cap=D(100)),))
    (problem,) = place_problems(place(capped, mode="included"), required=())
    assert "caps and thresholds of State cannot be used" in problem.problem


def test_an_unknown_mode_is_refused() -> None:
    (problem,) = place_problems(place(authority("State", "0.06"), mode="both"))
    assert problem.field == "tax_place.mode"
