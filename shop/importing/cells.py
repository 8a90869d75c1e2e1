"""One cell of a components table as a value: amounts exact, decimal commas read or refused, never guessed at."""

from __future__ import annotations

import math
import re
from datetime import date
from decimal import Decimal, InvalidOperation

from shop.importing.columns import AMOUNT, COUNT, DAY, DAYS, FIGURE, SHARE, YES_NO, Column
from shop.importing.problems import CellError

LEADING_NUMBER = re.compile(r"^\s*([-+]?[0-9][0-9.,\u00a0\u202f' ]*)(.*)$", re.DOTALL)
GROUPED = re.compile(r"^[-+]?\d{1,3}(,\d{3})+(\.\d+)?$")
PLAIN = re.compile(r"^[-+]?\d+(\.\d+)?$")
WITH_COMMA = re.compile(r"^[-+]?\d{1,3}(\.\d{3})*,\d+$|^[-+]?\d+,\d+$")
EITHER = re.compile(r"^[-+]?\d{1,3},\d{3}$")  # 1,234 is a thousand here and one and a bit there
YES, NO = frozenset({"yes", "y", "true", "1"}), frozenset({"no", "n", "false", "0"})
PLACES = {AMOUNT: 4, COUNT: 3, SHARE: 4}
MOST = 10**12  # amounts are kept as whole numbers of their smallest step in 64 bits, see shop.models.exact
MOST_DAYS = 32767  # PositiveSmallIntegerField


def plain_number(text: str, comma_decimal: bool) -> str:
    """The text with its leading number written plainly ("1,234.5 V" becomes "1234.5 V").

    `comma_decimal` is true in files parted by semicolons, where 12,5 means twelve and a half; elsewhere it is refused.
    Text without a leading number comes back as it is. Raises CellError for a number that could mean two things.
    """
    match = LEADING_NUMBER.match(text)
    if not match:
        return text
    figures = match.group(1).rstrip()
    rest = text[match.start(1) + len(figures) :].rstrip()
    bare = re.sub(r"[\u00a0\u202f' ]", "", figures)
    if PLAIN.match(bare):
        return bare + rest
    if comma_decimal and EITHER.match(bare):
        dot, none = bare.replace(",", "."), bare.replace(",", "")
        raise CellError(f"'{figures}' could mean {dot} or {none}.", f"Write {dot} or {none}.")
    if comma_decimal and WITH_COMMA.match(bare):
        return bare.replace(".", "").replace(",", ".") + rest
    if GROUPED.match(bare):
        return bare.replace(",", "") + rest
    if WITH_COMMA.match(bare):
        point = bare.replace(".", "").replace(",", ".")
        raise CellError(f"'{figures}' has a decimal comma.", f"Write it with a point: {point}.")
    return text


def cell_value(column: Column, text: str, comma_decimal: bool) -> Decimal | int | float | bool | date | str | None:
    """A cell as its column's value; None when empty. Raises CellError with the remedy."""
    text = text.strip()
    if not text:
        return None
    if column.sort in PLACES:
        bare = text.removesuffix("%") if column.sort == SHARE else text
        return _decimal(column.sort, plain_number(bare, comma_decimal))
    if column.sort == DAYS:
        return _days(plain_number(text, comma_decimal))
    if column.sort == DAY:
        return _day(text)
    if column.sort == YES_NO:
        return _yes_no(text)
    if column.sort == FIGURE:
        return _figure(plain_number(text, comma_decimal))
    return text


def _decimal(sort: str, text: str) -> Decimal:
    try:
        value = Decimal(text)
    except InvalidOperation as error:
        raise CellError(f"'{text}' is not a number.", "Write figures only, such as 1250.50.") from error
    if not value.is_finite():
        raise CellError(f"'{text}' is not a number.", "Write figures only, such as 1250.50.")
    if value < 0:
        raise CellError(f"{text} is below zero.", "Write zero or more.")
    if value > MOST:
        raise CellError(f"{text} is more than can be kept.", f"Check it; {MOST:,} is the most.")
    if value != round(value, PLACES[sort]):
        raise CellError(f"{text} has more than {PLACES[sort]} decimal places.", "Round it.")
    return (value / 100 if sort == SHARE else value).normalize() + 0


def _days(text: str) -> int:
    figures = text.removesuffix("days").removesuffix("d").strip()
    if not re.fullmatch(r"\d+(\.0+)?", figures) or float(figures) > MOST_DAYS:
        raise CellError(f"'{text}' is not a count of days.", f"Write a whole number from 0 to {MOST_DAYS}.")
    return int(float(figures))


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise CellError(f"'{text}' is not a date.", "Write it as year-month-day: 2026-03-31.") from error


def _yes_no(text: str) -> bool:
    word = text.lower()
    if word in YES or word in NO:
        return word in YES
    raise CellError(f"'{text}' is neither yes nor no.", "Write yes or no.")


def _figure(text: str) -> float:
    try:
        value = float(text.removesuffix("m").strip())
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise CellError(f"'{text}' is not a number.", "Write a number in meters, such as 0.66.")
    return value
