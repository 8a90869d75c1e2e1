"""Tables with fixed columns, such as counts and past purchases: written out, read back, what every column means."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from difflib import get_close_matches

from tablib import Databook, Dataset

from shop.importing.cells import cell_value
from shop.importing.columns import Column
from shop.importing.files import Row, Table
from shop.importing.problems import CellError, RowProblem
from shop.importing.written import CSV, XLSX, guarded

Cell = str | Decimal | date | None
Values = dict[str, object]


@dataclass(frozen=True, kw_only=True)
class Change:
    """One thing a file would change, as it is shown: of what, which value, now and then."""

    row: int
    name: str
    code: str
    label: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.row} {self.code} {self.label}: {self.before} to {self.after}"


def sheet_file(
    title: str, heading: Sequence[str], rows: Iterable[Sequence[Cell]], form: str, columns: Iterable[Column] = ()
) -> bytes:
    """A table. In XLSX a second sheet explains `columns` when they are given; a CSV has no second sheet."""
    sheet = Dataset(headers=heading, title=title)
    for row in rows:
        sheet.append([_written(value, form) for value in row])
    if form == CSV:
        text: str = sheet.export(CSV)
        return text.encode("utf-8-sig")  # with a byte-order mark, so that spreadsheets read it as UTF-8
    explained = Dataset(headers=["column", "label", "what to write"], title="help")
    for column in columns:
        explained.append([column.name, column.label, column.help])
    content: bytes = Databook([sheet, explained] if len(explained) else [sheet]).export(
        XLSX, escape=True, column_width=18
    )
    return content


def _written(value: Cell, form: str) -> Cell:
    if value is None:
        return ""
    if isinstance(value, Decimal):
        return value.normalize() + 0 if form == XLSX else f"{value.normalize():f}"
    if isinstance(value, date):
        return value.isoformat()
    return guarded(value)


def heading_problems(table: Table, columns: Iterable[Column], needed: Collection[str]) -> list[RowProblem]:
    """Columns nobody knows, and those that are missing."""
    names = [column.name for column in columns]
    found = []
    for name in table.columns:
        if name not in names:
            close = get_close_matches(name, names, n=1)
            remedy = f"Did you mean {close[0]}? Else remove it." if close else "Remove it; the template has every name."
            found.append(RowProblem(row=1, column=name, problem="No column is called so.", remedy=remedy))
    for name in needed:
        if name not in table.columns:
            remedy = "Start from the template: its first row has every name."
            found.append(RowProblem(row=1, column=name, problem="The column is missing.", remedy=remedy))
    return found


def row_values(row: Row, columns: Iterable[Column], comma_decimal: bool) -> tuple[Values, list[RowProblem]]:
    """The cells of a row that its file has, as values, and what is wrong with the others."""
    found: Values = {}
    wrong = []
    for column in columns:
        if column.name in row.cells:
            try:
                found[column.name] = cell_value(column, row.cells[column.name], comma_decimal)
            except CellError as error:
                wrong.append(problem_at(row.number, column.name, error.problem, error.remedy))
    return found, wrong


def fingerprint_of(content: bytes, *found: object) -> str:
    """Another one when the file, or what was found in it (changes, problems), is another."""
    return hashlib.sha256(content + "\n".join(map(str, found)).encode()).hexdigest()[:32]


def problem_at(row: int, column: str, problem: str, remedy: str) -> RowProblem:
    return RowProblem(row=row, column=column, problem=problem, remedy=remedy)


def said(number: Decimal | None) -> str:
    """A quantity as it is shown."""
    return "" if number is None else f"{number.normalize():f}"
