"""Money, dates and times as people write them, by the shop's locale and zone. For pages, documents and mail alike."""

from __future__ import annotations

import re
from copy import copy
from datetime import date, datetime, time
from decimal import Decimal
from functools import cache, lru_cache
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_interval, format_time
from babel.numbers import NumberPattern, format_currency, format_decimal, get_currency_symbol

from quoting.price import MINOR_DIGITS, minor_digits

FIGURES = 8192  # sums and days kept as they are written: long pages show the same over and over; our own choice
MOST_PLACES = 4  # cell prices run to a hundredth of a cent; see shop.models.exact.MoneyField
# Spaces around dashes and before AM that our font lacks or that must not break a line.
SPACES = str.maketrans({"\u2009": " ", "\u202f": "\u00a0"})


HARD = "\u00a0"  # keeps a code and its figure on one line
ISO_DAY = re.compile(r"\b\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])\b")
SUM = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) ([A-Z]{3})\b")  # ISO 4217
CODE_FIGURE = re.compile(r"(?<=[^\W\d_])(?=\d)")  # CLDR: a space between a sign that ends in a letter and the figure


@cache
def locale_of(tag: str) -> Locale:
    """The Babel locale of a tag such as en-US; American English for one that Babel lacks."""
    try:
        return Locale.parse(tag, sep="-" if "-" in tag else "_")
    except (UnknownLocaleError, ValueError):
        return Locale("en", "US")


@cache
def _money_pattern(tag: str, places: int) -> NumberPattern:
    """The locale's own way to write money, with so many decimal places."""
    pattern: NumberPattern = copy(locale_of(tag).currency_formats["standard"])
    pattern.frac_prec = (places, places)
    return pattern


@lru_cache(maxsize=FIGURES)
def _money(amount: Decimal, currency: str, tag: str, places: int) -> str:
    pattern = _money_pattern(tag, places)
    text = format_currency(amount, currency, format=pattern, locale=locale_of(tag), currency_digits=False)
    return CODE_FIGURE.sub(HARD, text.translate(SPACES))


def money(amount: Decimal | None, currency: str, tag: str, *, symbol: bool = True) -> str:
    """An amount: "$17,885.41"; without `symbol` "17,885.41". More places than the currency has are kept: "$3.845"."""
    if amount is None:
        return "not known"
    exact = -int(amount.normalize().as_tuple().exponent)
    text = _money(amount, currency, tag, max(minor_digits(currency), min(exact, MOST_PLACES)))
    sign = currency_sign(currency, tag)
    return text if symbol else text.replace(f"{sign}{HARD}", "").replace(sign, "").strip()


def whole_money(amount: Decimal | None, currency: str, tag: str) -> str:
    """An amount rounded to whole units for tabs and lists: "$17,885"."""
    return "not known" if amount is None else _money(amount, currency, tag, 0)


def currency_sign(currency: str, tag: str) -> str:
    """What stands before an amount: "$"."""
    return get_currency_symbol(currency, locale=locale_of(tag))


def sign_first(currency: str, tag: str) -> bool:
    """Whether the sign stands before the amount."""
    return _money(Decimal(1), currency, tag, 0).startswith(currency_sign(currency, tag))


def quantity(value: Decimal | float | int | None, tag: str, places: int = 3) -> str:
    """A count or measure without trailing zeros: "260", "1.5"."""
    if value is None:
        return "not known"
    return format_decimal(value, format="#,##0." + "#" * places, locale=locale_of(tag)).translate(SPACES)


def percent(rate: Decimal | float | None, tag: str) -> str:
    """A share as per cent with as many places as it has, up to four: "7.25 %"."""
    return "not known" if rate is None else f"{quantity(Decimal(str(rate)) * 100, tag, 4)}\u00a0%"


def day(value: date | None, tag: str) -> str:
    """A date with its year: "Sep 3, 2026"."""
    return "" if value is None else _day(value, tag)


@lru_cache(maxsize=FIGURES)
def _day(value: date, tag: str) -> str:
    return format_date(value, "medium", locale=locale_of(tag)).translate(SPACES)


def log_words(text: str, tag: str) -> str:
    """A log's words with its days and sums written out: "4550 USD, 2026-12-11" is "$4,550.00, Dec 11, 2026"."""

    def day_of(found: re.Match[str]) -> str:
        try:
            return day(date.fromisoformat(found[0]), tag)
        except ValueError:  # the 30th of February: typed by somebody
            return found[0]

    def sum_of(found: re.Match[str]) -> str:
        known = found[2] in MINOR_DIGITS
        return money(Decimal(found[1]), found[2], tag) if known else found[0]

    return SUM.sub(sum_of, ISO_DAY.sub(day_of, text))


def window(first: date | None, last: date | None, tag: str, today: date | None = None) -> str:
    """Two dates as a span: "Sep 3 – 21, 2026"; the year is left out when both lie in `today`'s."""
    if first is None or last is None:
        return "no date"
    skeleton = "MMMd" if today and first.year == last.year == today.year else "yMMMd"
    return format_interval(first, last, skeleton, locale=locale_of(tag)).translate(SPACES)


def clock(value: datetime, zone: str, tag: str) -> str:
    """A moment's time of day in the shop's zone: "10:42 AM"."""
    there = value.astimezone(ZoneInfo(zone))
    return _clock(time(there.hour, there.minute), tag)


@lru_cache(maxsize=FIGURES)
def _clock(value: time, tag: str) -> str:
    return format_time(value, "short", locale=locale_of(tag)).translate(SPACES)


def moment(value: datetime | None, zone: str, tag: str) -> str:
    """Date and time in the shop's zone: "Sep 3, 2026, 10:42 AM"."""
    if value is None:
        return ""
    return f"{day(value.astimezone(ZoneInfo(zone)).date(), tag)}, {clock(value, zone, tag)}"


def days_from(value: date | None, today: date) -> str:
    """How far a due date is: "late by 6 days", "due today", "in 3 days"."""
    if value is None:
        return "no date"
    away = (value - today).days
    if away == 0:
        return "due today"
    unit = "day" if abs(away) == 1 else "days"
    return f"late by {-away} {unit}" if away < 0 else f"in {away} {unit}"
