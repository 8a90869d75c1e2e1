"""Files as they come: byte-order marks, separators, spreadsheets, formulas, and files that are none."""

import io
import zipfile
from datetime import date

import pytest

from shop.importing import files
from shop.importing.files import MOST_BYTES, read_table
from shop.importing.problems import FileError
from tests.shop.importing.made_files import csv_file, xlsx_file


def cells(content: bytes, filename: str = "parts.csv") -> list[dict[str, str]]:
    return [row.cells for row in read_table(content, filename).rows]


def test_a_plain_csv():
    table = read_table(csv_file("code,name", "A-1,Fuse", 'A-2,"Fuse, slow"'), "parts.csv")
    assert table.columns == ("code", "name")
    assert [row.cells for row in table.rows] == [{"code": "A-1", "name": "Fuse"}, {"code": "A-2", "name": "Fuse, slow"}]
    assert [row.number for row in table.rows] == [2, 3]
    assert table.problems == ()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_byte_order_marks(encoding):
    assert cells("code,name\nA-1,Ω fuse".encode(encoding)) == [{"code": "A-1", "name": "Ω fuse"}]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_separators(separator):
    content = csv_file(separator.join(("code", "name")), separator.join(("A-1", "Fuse")))
    assert cells(content) == [{"code": "A-1", "name": "Fuse"}]
    assert read_table(content, "parts.csv").comma_decimal == (separator == ";")


def test_blank_lines_are_passed_over_and_row_numbers_stay_the_spreadsheets():
    table = read_table(csv_file("", "code,name", "", "A-1,Fuse", ",", "A-2,Fuse"), "parts.csv")
    assert [row.number for row in table.rows] == [4, 6]


def test_a_cell_over_two_lines_counts_both():
    table = read_table(b'code,notes\nA-1,"one\ntwo"\nA-2,three', "parts.csv")
    assert [(row.number, row.cells["notes"]) for row in table.rows] == [(2, "one\ntwo"), (4, "three")]


def test_headings_may_be_written_with_capitals_and_blanks():
    assert cells(csv_file("Code, List Price ", "A-1,5")) == [{"code": "A-1", "list_price": "5"}]


def test_short_rows_are_filled_up_and_long_ones_told():
    table = read_table(csv_file("code,name", "A-1", "A-2,Fuse,loose"), "parts.csv")
    assert table.rows[0].cells == {"code": "A-1"}
    assert [(problem.row, problem.column) for problem in table.problems] == [(3, "column 3")]
    assert "quotation marks" in table.problems[0].remedy


def test_a_column_named_twice_is_told():
    table = read_table(csv_file("code,name,name", "A-1,a,b"), "parts.csv")
    assert [(problem.column, problem.problem) for problem in table.problems] == [("name", "This column stands twice.")]


@pytest.mark.parametrize("formula", ["=1+1", "=HYPERLINK(A1)", "@SUM(A1)"])
def test_formulas_in_text_are_refused(formula):
    table = read_table(csv_file("code,name", f"A-1,{formula}"), "parts.csv")
    assert [(problem.row, problem.column) for problem in table.problems] == [(2, "name")]
    assert "formula" in table.problems[0].problem


def test_formulas_in_a_workbook_are_refused_whatever_value_they_hold():
    table = read_table(xlsx_file([["code", "list_price"], ["A-1", "=2*3"]]), "parts.xlsx")
    assert [(problem.row, problem.column) for problem in table.problems] == [(2, "list_price")]


def test_what_we_guarded_ourselves_comes_back_as_it_was():
    assert cells(csv_file("code,name", "A-1,'=loud horn")) == [{"code": "A-1", "name": "=loud horn"}]
    assert cells(csv_file("code,name", "A-1,'s-Gravenhage")) == [{"code": "A-1", "name": "'s-Gravenhage"}]


def test_workbook_cells_numbers_dates_and_yes():
    content = xlsx_file(
        [
            ["code", "list_price", "markup_percent", "priced_on", "discontinued", "rating_a"],
            [1001, 0.1 + 0.2, 0.35, date(2026, 3, 31), True, 225],
            [None, None, None, None, None, None],
            ["A-2", 1250.5, 35, "2026-03-31", None, 1e-3],
        ],
        formats={"C2": "0.0%"},
    )
    assert cells(content, "parts.xlsx") == [
        {
            "code": "1001",
            "list_price": "0.3",  # 0.1 + 0.2 as floats is 0.30000000000000004
            "markup_percent": "35",  # shown as 35 %
            "priced_on": "2026-03-31",
            "discontinued": "yes",
            "rating_a": "225",
        },
        {
            "code": "A-2",
            "list_price": "1250.5",
            "markup_percent": "35",
            "priced_on": "2026-03-31",
            "discontinued": "",
            "rating_a": "0.001",
        },
    ]


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "parts.csv", "is empty"),
        (b"  \n \n", "parts.csv", "is empty"),
        (b",,\n,,", "parts.csv", "has no rows"),
        (b"caf\xe9,b", "parts.csv", "not UTF-8"),
        (b"a,b\x00c", "parts.csv", "not a table"),
        (b"\xd0\xcf\x11\xe0 old workbook", "parts.xls", "Only CSV and XLSX"),
        (b"PK\x03\x04 cut off", "parts.xlsx", "cannot be read"),
        (b'code,name\nA-1,"never closed\n', "parts.csv", "Row 2 cannot be read"),
    ],
)
def test_files_that_cannot_be_read_say_what_to_do(content, name, said):
    with pytest.raises(FileError, match=said):
        read_table(content, name)


def test_too_large_a_file_is_not_looked_into():
    with pytest.raises(FileError, match="2,000,000 is the most"):
        read_table(b"x" * (MOST_BYTES + 1), "parts.csv")


def test_a_workbook_that_unpacks_to_too_much_is_refused(monkeypatch):
    monkeypatch.setattr(files, "MOST_UNPACKED_BYTES", 10_000)
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 1_000_000)
    assert len(stream.getvalue()) < 10_000
    with pytest.raises(FileError, match="unpacks to far more"):
        read_table(stream.getvalue(), "parts.xlsx")


def test_too_many_rows(monkeypatch):
    monkeypatch.setattr(files, "MOST_ROWS", 2)
    with pytest.raises(FileError, match="more than 2 rows"):
        read_table(csv_file("code", "A-1", "A-2", "A-3"), "parts.csv")
