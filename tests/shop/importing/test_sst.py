"""Tax files that are wrong, zipped, narrowed; every row is told with its remedy."""

from __future__ import annotations

import io
import zipfile

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.importing.problems import FileError
from shop.importing.sst_rates import read_rates
from shop.importing.sst_zips import ZipCount, read_zips
from tests.shop.importing.sst import RATES, zip_row


def zipped(*files: tuple[str, str]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as made:
        for name, text in files:
            made.writestr(name, text)
    return packed.getvalue()


def test_a_zipped_file_is_read() -> None:
    plain, packed = read_rates(RATES.encode(), "r.csv"), read_rates(zipped(("r.csv", RATES)), "r.zip")
    assert plain == packed
    assert len(plain.rows) == 5


@pytest.mark.parametrize(
    ("content", "name", "words"),
    [
        (b"  \n", "r.csv", "empty"),
        (b"x", "r.xlsx", "CSV file as the state publishes it"),
        (b"PK\x03\x04rubbish", "r.zip", "damaged"),
        (zipped(("a.csv", "1"), ("b.csv", "2")), "r.zip", "2 CSV files"),
        (b"\xff\xfe\xfa,1", "r.csv", "not UTF-8"),
    ],
)
def test_what_is_no_such_file_is_refused_with_the_remedy(content: bytes, name: str, words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_rates(content, name)


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("98,45,98,0.05,0.05,,,20200101", "", "8 columns"),
        ("Georgia,45,98,0.05,0.05,,,20200101,29991231", "state", "no state"),
        ("98,45,9 8,0.05,0.05,,,20200101,29991231", "code", "no code"),
        ("98,45,98,5 %,0.05,,,20200101,29991231", "rate", "not a rate"),
        ("98,45,98,4,0.05,,,20200101,29991231", "rate", "from 0 to less than 1"),
        ("98,45,98,0.05,0.05,,,20200230,29991231", "begin", "not a day"),
        ("98,45,98,0.05,0.05,,,20200101,20190101", "begin", "before"),
    ],
)
def test_a_wrong_rate_row_is_named(row: str, column: str, words: str) -> None:
    read = read_rates(f"{RATES}{row}\n".encode(), "r.csv")
    (problem,) = read.problems
    assert (problem.row, problem.column, words in problem.problem) == (6, column, True)
    assert problem.remedy
    assert len(read.rows) == 5


def test_zip_rows_are_narrowed_and_address_rows_counted() -> None:
    text = "\n".join(
        [
            zip_row("A", ""),
            zip_row("Z", "98001"),
            zip_row("Z", "97001", "97999"),
            zip_row("4", "98001", plus=("1", "9")),
        ]
    )
    count = ZipCount()
    rows = list(read_zips(text.encode(), "b.csv", count, ("980",)))
    assert [(row.kind, row.zip_low) for row in rows] == [("Z", "98001"), ("4", "98001")]
    assert (count.addresses, count.elsewhere, count.wrong) == (1, 1, 0)
    assert [row.zip_low for row in read_zips(text.encode(), "b.csv", ZipCount(), ("9750",))] == ["97001"]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("Z,20240101,29991231", "3 columns"),
        (zip_row("Q", "98001"), "no kind of row"),
        (zip_row("Z", "98O01"), "no ZIP"),
        (zip_row("4", "98001", plus=("9", "1")), "upside down"),
        (zip_row("Z", "98001", begin="2024"), "not a day"),
    ],
)
def test_a_wrong_zip_row_is_named(row: str, words: str) -> None:
    count = ZipCount()
    assert list(read_zips(row.encode(), "b.csv", count)) == []
    assert (count.wrong, words in count.problems[0].problem, count.problems[0].row) == (1, True, 1)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_in_words(content: bytes) -> None:
    for read in (lambda: read_rates(content, "r.csv"), lambda: list(read_zips(content, "b.csv", ZipCount()))):
        try:
            read()
        except FileError as refused:
            assert str(refused)  # noqa: PT017 - either is fine
