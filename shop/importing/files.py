"""A CSV or XLSX file as rows of text cells. What would compute something when opened is refused, not read.

Read with the standard library's csv and with openpyxl (which tablib reads and writes XLSX with) because both tell the
row and whether a cell holds a formula; tables are written with tablib.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import PurePath

from openpyxl import load_workbook
from openpyxl.cell.cell import Cell
from openpyxl.utils.exceptions import InvalidFileException

from shop.importing.problems import FileError, RowProblem

MOST_BYTES = 2_000_000  # about 20,000 rows; our own choice, so that a wrong file does not fill the memory
MOST_UNPACKED_BYTES = 40_000_000  # an XLSX is a zip: what it may unpack to
MOST_ROWS = 20_000
MOST_COLUMNS = 400
SEPARATORS = (",", ";", "\t")
FORMULA_STARTS = ("=", "@", "\t", "\r")
GUARDED = ("'=", "'+", "'-", "'@", "'\t", "'\r")  # how our own tables keep a spreadsheet from computing text
ZIP_MARK = b"PK\x03\x04"


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row with its number as a spreadsheet counts it, and its cells by column name."""

    number: int
    cells: dict[str, str]


@dataclass(frozen=True, kw_only=True)
class Table:
    """What a file holds. `comma_decimal`: parted by semicolons, so a comma is a decimal comma."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    problems: tuple[RowProblem, ...]
    comma_decimal: bool = False


Line = tuple[int, list[str], list[int]]  # row number, cells, indexes of cells that hold formulas


def read_table(content: bytes, filename: str) -> Table:
    """The rows of a file. Blank rows are passed over. Raises FileError, which says the remedy."""
    if len(content) > MOST_BYTES:
        raise FileError(f"The file has {len(content):,} bytes; {MOST_BYTES:,} is the most. Cut it into parts.")
    if not content.strip():
        raise FileError("The file is empty. Choose another, or start from the template.")
    if content.startswith(ZIP_MARK):
        return _table(_xlsx_lines(content), comma_decimal=False)
    if PurePath(filename).suffix.lower() in (".xls", ".ods", ".xlsm", ".xlsb", ".pdf"):
        raise FileError("Only CSV and XLSX files are read. Save it as one of these in your spreadsheet.")
    text = _decoded(content)
    separator = _separator(text)
    return _table(_csv_lines(text, separator), comma_decimal=separator == ";")


def _decoded(content: bytes) -> str:
    """UTF-8 with or without a byte-order mark, or the UTF-16 some spreadsheets write."""
    encoding = "utf-16" if content[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError as error:
        raise FileError(
            f"The file is not UTF-8 text (byte {error.start}). Save it as “CSV UTF-8”, or as XLSX."
        ) from error
    if "\x00" in text:
        raise FileError("The file is not a table of text. Choose a CSV or XLSX file.")
    return text


def _separator(text: str) -> str:
    """The separator the heading has most of."""
    heading = next((line for line in text.splitlines() if line.strip()), "")
    return max(SEPARATORS, key=heading.count)


def _csv_lines(text: str, separator: str) -> Iterator[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 1
    try:
        for cells in reader:
            yield number, cells, [index for index, cell in enumerate(cells) if cell.startswith(FORMULA_STARTS)]
            number = reader.line_num + 1
    except csv.Error as error:
        raise FileError(f"Row {number} cannot be read: {error}. Check its quotation marks.") from error


def _xlsx_lines(content: bytes) -> Iterator[Line]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            if sum(part.file_size for part in packed.infolist()) > MOST_UNPACKED_BYTES:
                raise FileError("The file unpacks to far more than a table of components. Save it afresh as XLSX.")
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=False)
        sheet = book.worksheets[0]
        sheet.reset_dimensions()  # a file may claim a million empty rows
        for number, cells in enumerate(sheet.iter_rows(max_col=MOST_COLUMNS), start=1):
            yield (
                number,
                [_cell_text(cell) for cell in cells],
                [index for index, cell in enumerate(cells) if cell.data_type == "f"],
            )
    except (zipfile.BadZipFile, InvalidFileException, KeyError, IndexError, ValueError, OSError) as error:
        if isinstance(error, FileError):
            raise
        raise FileError("The XLSX file cannot be read. Save it afresh, or as CSV UTF-8.") from error


def _cell_text(cell: Cell) -> str:
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime | date):
        return value.strftime("%Y-%m-%d")
    if isinstance(value, int | float):
        shown = value * 100 if "%" in (cell.number_format or "") else value
        return f"{shown:.12g}" if abs(shown) < 1e11 else f"{shown:f}".rstrip("0").rstrip(".")
    return str(value)


def _table(lines: Iterable[Line], *, comma_decimal: bool) -> Table:
    """Heading and rows. Cells beyond the heading, formulas, and columns named twice are problems."""
    heading: list[str] = []
    rows: list[Row] = []
    problems: list[RowProblem] = []
    for number, raw, formulas in lines:
        cells = [cell.strip() for cell in raw]
        if not any(cells):
            continue
        if not heading:
            heading = _heading(cells, number, problems)
            continue
        if len(rows) == MOST_ROWS:
            raise FileError(f"The file has more than {MOST_ROWS:,} rows. Cut it into parts.")
        problems.extend(_strays(number, cells, heading, formulas))
        named = {name: _unguarded(cell) for name, cell in zip(heading, cells, strict=False) if name}
        rows.append(Row(number=number, cells=named))
    if not heading:
        raise FileError("The file has no rows. Choose another, or start from the template.")
    return Table(
        columns=tuple(name for name in heading if name),
        rows=tuple(rows),
        problems=tuple(problems),
        comma_decimal=comma_decimal,
    )


def _heading(cells: list[str], number: int, problems: list[RowProblem]) -> list[str]:
    names = [cell.strip().lower().replace(" ", "_") for cell in cells]
    problems.extend(
        RowProblem(row=number, column=name, problem="This column stands twice.", remedy="Remove one of them.")
        for name in dict.fromkeys(names)
        if name and names.count(name) > 1
    )
    return names


def _strays(number: int, cells: list[str], heading: list[str], formulas: list[int]) -> Iterator[RowProblem]:
    for index in formulas:
        name = heading[index] if index < len(heading) and heading[index] else f"column {index + 1}"
        yield RowProblem(
            row=number,
            column=name,
            problem=f"It holds a formula: {cells[index][:40]}",
            remedy="Put its value in the cell instead (copy, then paste values).",
        )
    for index, cell in enumerate(cells):
        if cell and (index >= len(heading) or not heading[index]) and index not in formulas:
            yield RowProblem(
                row=number,
                column=f"column {index + 1}",
                problem=f"'{cell[:40]}' stands in a column without a heading.",
                remedy="Give the column its name, or empty it. Text with a separator in it needs quotation marks.",
            )


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith(GUARDED) else cell
