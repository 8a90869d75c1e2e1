"""Whatever is uploaded is read, or refused in words: nothing else comes of it."""

from __future__ import annotations

import csv
import io

from hypothesis import given
from hypothesis import strategies as st

from quoting.parts import KINDS
from shop.importing.columns import all_columns
from shop.importing.files import ZIP_MARK, read_table
from shop.importing.problems import FileError
from shop.importing.wanted import read_wanted
from shop.importing.written import guarded

NAMES = [column.name for column in all_columns()]
CELLS = st.one_of(
    st.sampled_from(["", "72", "72 V", "1,5", "1.234,5", "=1+1", "yes", "4 AWG", "2026-03-01", "-5", "1e400", *KINDS]),
    st.text(max_size=12),
)


def refusal(content: bytes, filename: str) -> str:
    """What is said of a file that cannot be read; empty when it can."""
    try:
        read_table(content, filename)
    except FileError as error:
        return str(error)
    return ""


@given(st.binary(max_size=300))
def test_any_bytes(content):
    said = refusal(content, "parts.csv")
    assert not said or said.endswith(".")


@given(st.binary(max_size=300))
def test_any_bytes_that_pretend_to_be_a_workbook(content):
    assert refusal(ZIP_MARK + content, "parts.xlsx").endswith(".")


@given(
    st.lists(st.sampled_from(NAMES), min_size=1, max_size=8, unique=True).flatmap(
        lambda heading: st.tuples(
            st.just(["code", "kind", *(name for name in heading if name not in ("code", "kind"))]),
            st.lists(st.lists(CELLS, min_size=2, max_size=10), max_size=4),
        )
    ),
    st.sampled_from([",", ";", "\t"]),
)
def test_any_table_is_read_or_every_problem_has_its_place_and_remedy(table, separator):
    heading, rows = table
    text = io.StringIO()
    csv.writer(text, delimiter=separator).writerows([heading, *rows])
    try:
        found = read_wanted(read_table(text.getvalue().encode(), "parts.csv"), ["north-yard"], {"72": "motor"})
    except FileError:
        return
    for problem in found.problems:
        assert problem.row >= 1
        assert problem.column
        assert problem.problem
        assert problem.remedy


@given(st.text(max_size=20))
def test_guarded_text_never_starts_a_formula_and_comes_back(text):
    safe = guarded(text)
    assert not safe.startswith(("=", "+", "-", "@", "\t", "\r"))
    if safe != text:
        assert safe == f"'{text}"
