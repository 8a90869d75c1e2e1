"""Files as the Streamlined Sales Tax states publish them: comma separated, without a heading, often zipped.

What is known of the layout comes from a state's published file description and from public parsers of the files; the
Technology Guide itself was not at hand. So nothing is asserted of the number of columns but the least that is read, a
byte-order mark may stand in front, and codes may have lost their leading zeros.
"""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from datetime import date, datetime
from pathlib import PurePath

from shop.importing.problems import CellError, FileError

MOST_BYTES = 30_000_000  # as uploaded; our own choice, so that a wrong file does not fill the memory
MOST_UNPACKED_BYTES = 600_000_000
OPEN_FROM = date(2999, 12, 31)  # 29991231 stands for "no end" (a state's published file description)
ZIP_MARK = b"PK\x03\x04"

# Kinds of authority by the code in the rate file's second column (same source), the least width of their own codes
# (FIPS: a county has three digits, a place five; INCITS 31 and 38), and our words for the level.
STATE, COUNTY, CITY, DISTRICT = "45", "00", "01", "63"
LEVELS = {STATE: "state", COUNTY: "county", CITY: "city", DISTRICT: "district"}
WIDTHS = {STATE: 2, COUNTY: 3, CITY: 5}
WIDTH = 5


def sst_lines(content: bytes, filename: str) -> Iterator[tuple[int, list[str]]]:
    """Each row with its number, blank rows passed over. Raises FileError, which says the remedy."""
    if len(content) > MOST_BYTES:
        raise FileError(f"The file has {len(content):,} bytes; {MOST_BYTES:,} is the most. Zip it.")
    if not content.strip():
        raise FileError("The file is empty. Choose another.")
    if PurePath(filename).suffix.lower() in (".xls", ".xlsx", ".ods", ".pdf"):
        raise FileError("Choose the CSV file as the state publishes it, or its ZIP.")
    binary = _unzipped(content) if content.startswith(ZIP_MARK) else io.BytesIO(content)
    text = io.TextIOWrapper(binary, encoding="utf-8-sig", newline="")
    reader = csv.reader(text)
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield reader.line_num, [cell.strip() for cell in cells]
    except UnicodeDecodeError as error:
        raise FileError(f"The file is not UTF-8 text (byte {error.start}). Choose the CSV as published.") from error
    except csv.Error as error:
        raise FileError(
            f"Row {reader.line_num} cannot be read as CSV: {error}. Choose the file as published."
        ) from error


def _unzipped(content: bytes) -> io.BufferedReader:
    try:
        packed = zipfile.ZipFile(io.BytesIO(content))
        names = [item for item in packed.infolist() if item.filename.lower().endswith((".csv", ".txt"))]
        if len(names) != 1:
            raise FileError(f"The ZIP holds {len(names)} CSV files. Zip the one that is to be read.")
        if names[0].file_size > MOST_UNPACKED_BYTES:
            raise FileError("The file in the ZIP is larger than any state's. Choose the one as published.")
        return io.BufferedReader(packed.open(names[0]))  # type: ignore[arg-type]
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError) as error:
        raise FileError("The ZIP is damaged or locked. Download it again.") from error


def code_of(state: str, kind: str, code: str) -> str:
    """An authority's code as we keep it: state, kind and own code, leading zeros put back: "13-00-005"."""
    return f"{state.zfill(2)}-{kind.zfill(2)}-{code.upper().zfill(WIDTHS.get(kind.zfill(2), WIDTH))}"


def day_of(text: str) -> date:
    """A day written YYYYMMDD. Raises CellError."""
    with suppress(ValueError):
        if len(text) == len("20260131"):
            return datetime.strptime(text, "%Y%m%d").date()  # noqa: DTZ007 - a day has no zone
    raise CellError(f"'{text}' is not a day.", "It is written as year, month, day: 20260131.")


def span_of(begin: str, end: str) -> tuple[date, date | None]:
    """A period, its end None when it is open. Raises CellError."""
    first, last = day_of(begin), day_of(end)
    if last < first:
        raise CellError(f"{end} is before {begin}.", "Ask the state; the period ends before it begins.")
    return first, None if last >= OPEN_FROM else last


def digits_of(text: str, width: int, what: str) -> str:
    """Digits with their leading zeros put back. Raises CellError."""
    if not text.isascii() or not text.isdigit() or len(text) > width:
        raise CellError(f"'{text}' is no {what}.", f"It has up to {width} digits.")
    return text.zfill(width)
