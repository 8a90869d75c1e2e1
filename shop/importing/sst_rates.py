"""The rate file: which rate each authority of a state has, from when to when. One row a period, nine columns or more.

1 state, FIPS · 2 kind of authority · 3 its code · 4 general rate, sold within the state · 5 sold into the state
6, 7 food and drugs · 8 first day · 9 last day, 29991231 open
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation

from shop.importing.problems import CellError, RowProblem
from shop.importing.sst_files import LEVELS, code_of, digits_of, span_of, sst_lines

COLUMNS = 9
NAMES = ("state", "kind", "code", "rate", "rate into", "food", "food into", "begin", "end")
MOST_PLACES = 6


@dataclass(frozen=True, kw_only=True)
class RateRow:
    """A period of one authority's general rate, as a fraction. `end` None is open."""

    row: int
    code: str
    level: str
    rate: Decimal
    begin: date
    end: date | None


@dataclass(frozen=True, kw_only=True)
class RateFile:
    """What a rate file holds: rows in its order, and what is wrong with others."""

    rows: tuple[RateRow, ...]
    problems: tuple[RowProblem, ...]


def read_rates(content: bytes, filename: str) -> RateFile:
    """Every row of a rate file. Raises FileError for what is none at all."""
    rows: list[RateRow] = []
    problems: list[RowProblem] = []
    for number, cells in sst_lines(content, filename):
        if len(cells) < COLUMNS:
            text = f"The row has {len(cells)} columns; a rate file has {COLUMNS}."
            problems.append(RowProblem(row=number, column="", problem=text, remedy="Choose the state's rate file."))
            continue
        wrong: list[RowProblem] = []
        made = _row(number, cells, wrong)
        problems.extend(wrong)
        if made is not None:
            rows.append(made)
    return RateFile(rows=tuple(rows), problems=tuple(problems))


def _row(number: int, cells: list[str], wrong: list[RowProblem]) -> RateRow | None:
    def refuse(column: str, error: CellError) -> None:
        wrong.append(RowProblem(row=number, column=column, problem=error.problem, remedy=error.remedy))

    try:
        state, kind = digits_of(cells[0], 2, "state"), digits_of(cells[1], 2, "kind of authority")
    except CellError as error:
        refuse("state", error)
        return None
    rate, span = None, None
    try:
        rate = _rate(cells[3])
    except CellError as error:
        refuse("rate", error)
    try:
        span = span_of(cells[7], cells[8])
    except CellError as error:
        refuse("begin", error)
    if not cells[2] or not cells[2].isalnum():
        refuse("code", CellError(f"'{cells[2]}' is no code of an authority.", "It has up to five letters or digits."))
        return None
    if rate is None or span is None:
        return None
    return RateRow(
        row=number,
        code=code_of(state, kind, cells[2]),
        level=LEVELS.get(kind, "district"),
        rate=rate,
        begin=span[0],
        end=span[1],
    )


def _rate(text: str) -> Decimal:
    try:
        rate = Decimal(text)
    except InvalidOperation as error:
        raise CellError(f"'{text}' is not a rate.", "It is a fraction: 0.04 is 4 %.") from error
    if not rate.is_finite() or not 0 <= rate < 1:
        raise CellError(f"{text} is not a rate from 0 to less than 1.", "It is a fraction: 0.04 is 4 %.")
    if rate != round(rate, MOST_PLACES):
        raise CellError(f"{text} has more than {MOST_PLACES} decimal places.", "Ask the state for the published rate.")
    return rate
