"""The boundary file: which authorities tax at a ZIP or ZIP+4. From 60 to more than 90 columns, as the state has it.

Counted from 0: 0 kind of row (A address, 4 ZIP+4, Z ZIP) · 1, 2 first and last day · 17, 18 lowest ZIP and extension ·
19, 20 highest · 22 state, FIPS · 23 whether the state taxes · 24 county · 25 place · 26 class of place
from 29 on in threes: where a district's code comes from, its code, its kind of authority

Rows by address are counted and left out: a ZIP+4 tells as much, and addresses are not matched by their spelling here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date

from shop.importing.problems import CellError, RowProblem
from shop.importing.sst_files import CITY, COUNTY, STATE, code_of, digits_of, span_of, sst_lines

LEAST_COLUMNS = 26
ADDRESS, PLUS_4, ZIP = "A", "4", "Z"
SPECIALS, SPECIAL = 29, 3
MOST_PROBLEMS = 200  # shown; the rest are counted


@dataclass(frozen=True, kw_only=True)
class ZipRow:
    """A range of ZIPs or extensions in one period, and the codes of the authorities that tax there."""

    state: str
    kind: str
    zip_low: str
    zip_high: str
    plus_low: str
    plus_high: str
    begin: date
    end: date | None
    codes: tuple[str, ...]


@dataclass
class ZipCount:
    """What was passed over while reading, and what is wrong: filled as rows are read."""

    addresses: int = 0
    elsewhere: int = 0
    wrong: int = 0
    problems: list[RowProblem] = field(default_factory=list)


def read_zips(content: bytes, filename: str, count: ZipCount, beginnings: Sequence[str] = ()) -> Iterator[ZipRow]:
    """Rows of a boundary file, one after the other; `beginnings` of ZIPs that are wanted, none for all.

    Raises FileError for what is no such file.
    """
    for number, cells in sst_lines(content, filename):
        kind = cells[0].upper()
        if kind == ADDRESS:
            count.addresses += 1
            continue
        try:
            row = _row(kind, cells)
        except CellError as error:
            count.wrong += 1
            if len(count.problems) < MOST_PROBLEMS:
                count.problems.append(RowProblem(row=number, column="", problem=error.problem, remedy=error.remedy))
            continue
        if beginnings and not any(_touches(row, beginning) for beginning in beginnings):
            count.elsewhere += 1
            continue
        yield row


def _touches(row: ZipRow, beginning: str) -> bool:
    """Whether a row's range holds a ZIP that begins so."""
    return row.zip_low <= beginning.ljust(5, "9") and row.zip_high >= beginning.ljust(5, "0")


def _row(kind: str, cells: Sequence[str]) -> ZipRow:
    if len(cells) < LEAST_COLUMNS:
        raise CellError(
            f"The row has {len(cells)} columns; a boundary file has at least {LEAST_COLUMNS}.",
            "Choose the state's boundary file.",
        )
    if kind not in (PLUS_4, ZIP):
        raise CellError(f"'{kind}' is no kind of row.", "It is A, 4 or Z.")
    begin, end = span_of(cells[1], cells[2])
    low, high = digits_of(cells[17], 5, "ZIP"), digits_of(cells[19] or cells[17], 5, "ZIP")
    plus_low = plus_high = ""
    if kind == PLUS_4:
        plus_low = digits_of(cells[18], 4, "ZIP extension")
        plus_high = digits_of(cells[20] or cells[18], 4, "ZIP extension")
    if high < low or plus_high < plus_low:
        raise CellError(f"The range from {low} {plus_low} to {high} {plus_high} is upside down.", "Ask the state.")
    state = digits_of(cells[22], 2, "state")
    return ZipRow(
        state=state,
        kind=kind,
        zip_low=low,
        zip_high=high,
        plus_low=plus_low,
        plus_high=plus_high,
        begin=begin,
        end=end,
        codes=tuple(_codes(state, cells)),
    )


def _codes(state: str, cells: Sequence[str]) -> Iterator[str]:
    """The stack, widest authority first."""
    yield code_of(state, STATE, state)
    for kind, cell in ((COUNTY, cells[24]), (CITY, cells[25])):
        if cell.strip("0"):
            yield code_of(state, kind, cell)
    for at in range(SPECIALS, len(cells) - SPECIAL + 1, SPECIAL):
        code, kind = cells[at + 1], cells[at + 2]
        if code.strip("0") and kind:
            yield code_of(state, kind, code)
