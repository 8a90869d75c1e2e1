"""Money and dates as people write them. Patterns are Unicode CLDR's, read through Babel."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from shop import written

NBSP = "\u00a0"


@pytest.mark.parametrize(
    ("amount", "currency", "locale", "expected"),
    [
        ("17885.41", "USD", "en-US", "$17,885.41"),
        ("17885.4", "USD", "en-US", "$17,885.40"),
        ("3.845", "USD", "en-US", "$3.845"),  # a cell's price keeps its tenth of a cent
        ("-12", "USD", "en-US", "-$12.00"),
        ("17885.41", "EUR", "de-DE", f"17.885,41{NBSP}€"),
        ("17885.41", "EUR", "fr-FR", f"17{NBSP}885,41{NBSP}€"),
        ("17885", "JPY", "ja-JP", "￥17,885"),
        ("1234567", "INR", "en-IN", "₹12,34,567.00"),
        ("5", "USD", "xx-YY", "$5.00"),
    ],
)
def test_money(amount, currency, locale, expected):
    assert written.money(Decimal(amount), currency, locale) == expected


def test_money_without_its_sign_and_in_whole_units():
    assert written.money(Decimal("17885.41"), "USD", "en-US", symbol=False) == "17,885.41"
    assert written.money(Decimal("17885.41"), "EUR", "de-DE", symbol=False) == "17.885,41"
    assert written.whole_money(Decimal("17885.41"), "USD", "en-US") == "$17,885"
    assert written.money(None, "USD", "en-US") == "not known"


def test_which_side_the_sign_stands_on():
    assert written.sign_first("USD", "en-US")
    assert not written.sign_first("EUR", "de-DE")


def test_quantities_and_shares_drop_trailing_zeros():
    assert written.quantity(Decimal("260.000"), "en-US") == "260"
    assert written.quantity(Decimal("1.500"), "de-DE") == "1,5"
    assert written.percent(Decimal("0.0725"), "en-US") == f"7.25{NBSP}%"
    assert written.percent(None, "en-US") == "not known"


def test_windows_leave_out_what_is_plain():
    today = date(2026, 5, 14)
    assert written.window(date(2026, 9, 3), date(2026, 9, 21), "en-US", today) == "Sep 3 – 21"
    assert written.window(date(2026, 12, 3), date(2027, 1, 9), "en-US", today) == "Dec 3, 2026 – Jan 9, 2027"
    assert written.window(None, date(2026, 9, 21), "en-US", today) == "no date"


def test_moments_are_told_in_the_shops_zone():
    # 2026-07-01 02:30 UTC is 22:30 the evening before in New York (UTC−4 in summer).
    late = datetime(2026, 7, 1, 2, 30, tzinfo=UTC)
    assert written.moment(late, "America/New_York", "en-US") == f"Jun 30, 2026, 10:30{NBSP}PM"


@pytest.mark.parametrize(
    ("due", "expected"),
    [
        (date(2026, 5, 8), "late by 6 days"),
        (date(2026, 5, 13), "late by 1 day"),
        (date(2026, 5, 14), "due today"),
        (date(2026, 5, 15), "in 1 day"),
        (None, "no date"),
    ],
)
def test_how_far_a_date_is(due, expected):
    assert written.days_from(due, date(2026, 5, 14)) == expected


@pytest.mark.parametrize(
    ("currency", "amount", "text", "bare"),
    [
        ("KWD", "4618.975", "KWD\u00a04,618.975", "4,618.975"),
        ("KWD", "-4618.975", "-KWD\u00a04,618.975", "-4,618.975"),
        ("CHF", "12", "CHF\u00a012.00", "12.00"),
        ("USD", "12", "$12.00", "12.00"),
        ("JPY", "1200", "¥1,200", "1,200"),
    ],
)
def test_a_currency_written_in_letters_stands_apart_from_its_figure(currency, amount, text, bare):
    """CLDR, currency spacing: a no-break space between a sign that ends in a letter and a digit."""
    assert written.money(Decimal(amount), currency, "en-US") == text
    assert written.money(Decimal(amount), currency, "en-US", symbol=False) == bare


def test_a_log_is_read_in_the_shops_own_days_and_sums():
    said = "4550 USD, place 8, 2026-12-11 to 2027-01-20"
    assert written.log_words(said, "en-US") == "$4,550.00, place 8, Dec 11, 2026 to Jan 20, 2027"
    assert written.log_words("12.5 EUR each", "en-IE") == "€12.50 each"


def test_what_only_looks_like_a_day_or_a_sum_stays():
    said = "controller 72 V 300 A, set for 20 NMC; 2026-02-30; P-2026-11-05b; 1.5.2 USD"
    assert written.log_words(said, "en-US") == said
