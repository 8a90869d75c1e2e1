"""The table of findings: one row a rule, with what it holds and its source."""

from __future__ import annotations

import re
import subprocess
import sys

from quoting.rules import all_rules
from quoting.rules.listing import findings_table


def test_one_row_a_rule_in_order() -> None:
    rows = re.findall(r"^\| `([^`]+)` \|", findings_table(), flags=re.MULTILINE)
    assert rows == [rule.id for rule in all_rules()]


def test_a_row_tells_levels_what_and_source() -> None:
    row = next(line for line in findings_table().splitlines() if "`gross-weight`" in line)
    assert row.split(" | ")[1:3] == ["weight", "stop"]
    assert "gross weight rating" in row
    assert "49 CFR 567.4" in row


def test_the_module_prints_it() -> None:
    printed = subprocess.run([sys.executable, "-m", "quoting.rules"], capture_output=True, text=True, check=True)
    assert printed.stdout == findings_table()
