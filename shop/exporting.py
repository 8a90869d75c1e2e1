"""Tables as CSV, written line by line, and as XLSX. Text that a spreadsheet would compute is kept from it."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from tablib import Databook, Dataset

from shop.importing.written import guarded

MOST_XLSX_ROWS = 50_000  # an XLSX is made in memory; our own choice. A CSV has no such limit.
Cell = str | Decimal | date | int | None
TYPES = {
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


class _Line:
    """A file that gives back what is written to it, for the csv writer."""

    def write(self, text: str) -> str:
        return text


def csv_lines(headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Iterator[str]:
    """A table line by line, with a byte-order mark, so that spreadsheets read it as UTF-8."""
    writer = csv.writer(_Line())
    yield "\ufeff" + str(writer.writerow(headings))
    for row in rows:
        yield str(writer.writerow([_text(cell) for cell in row]))


def xlsx_file(title: str, headings: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """A table with numbers and days as such."""
    sheet = Dataset(headers=list(headings), title=title[:31])
    for row in rows:
        sheet.append([guarded(cell) if isinstance(cell, str) else "" if cell is None else cell for cell in row])
    content: bytes = Databook([sheet]).export("xlsx", escape=True, column_width=18)
    return content


def _text(cell: Cell) -> str:
    """Amounts with a point and without grouping, days as year-month-day, text guarded."""
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    if isinstance(cell, date):
        return cell.isoformat()
    return guarded(cell) if isinstance(cell, str) else str(cell)
