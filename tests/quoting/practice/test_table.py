"""The table of reported builds is whole, and stands in DEVELOPERS.md as it is."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.quoting.practice.reports import CHARGES, GEARS, RANGES, SPEEDS
from tests.quoting.practice.table import BEGIN, END, HEAD, rows, table

DEVELOPERS = Path(__file__).resolve().parents[3] / "DEVELOPERS.md"


def test_one_row_a_report() -> None:
    every = list(rows())
    assert len(every) == len(RANGES) + len(SPEEDS) + len(GEARS) + len(CHARGES)
    assert all(len(row) == len(HEAD) and all(row) for row in every)
    assert not any("|" in cell for row in every for cell in row)


def test_it_tells_what_contradicts_itself() -> None:
    a16 = [row for row in rows() if row[0] == "A16"]
    assert a16[0][2:4] == ("160 km", a16[0][3])
    assert "3.10 kWh × 92 % ÷ 160 km = 18 Wh/km" in a16[0][4]
    assert "contradict each other" in a16[1][4]


def test_developers_shows_it_as_it_is() -> None:
    """If this fails: put the output of `python -m tests.quoting.practice.table` in the place of its table."""
    assert DEVELOPERS.is_file(), "DEVELOPERS.md is missing"
    text = DEVELOPERS.read_text(encoding="utf-8")
    assert text.count(BEGIN) == text.count(END) == 1
    assert table() in text


def test_the_module_prints_it() -> None:
    command = [sys.executable, "-m", "tests.quoting.practice.table"]
    printed = subprocess.run(command, capture_output=True, text=True, check=True, cwd=DEVELOPERS.parent)
    assert printed.stdout == table()
