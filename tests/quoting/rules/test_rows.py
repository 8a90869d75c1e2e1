"""Every rule: silent on sound builds, silent exactly at its limit, speaking just past it."""

from __future__ import annotations

import pytest

from quoting.rules import all_rules
from tests.quoting.rules.bike import Bike
from tests.quoting.rules.row import Row
from tests.quoting.rules.tables import current, frame, people, talk, voltage

ROWS = [*voltage.ROWS, *current.ROWS, *talk.ROWS, *frame.ROWS, *people.ROWS]
# Notes that a sound build rightly carries.
ALWAYS_SAID = {"voltage-class-b", "held-speed", "vin", "reversible"}


def named(row: Row) -> str:
    return f"{row.rule}-{row.level}"


@pytest.mark.parametrize("rule", [rule.id for rule in all_rules()])
def test_silent_on_sound_builds(rule: str, bike: Bike) -> None:
    said = {*bike.levels(rule), *bike.mid().levels(rule)}
    assert said <= ({"note"} if rule in ALWAYS_SAID else set())


@pytest.mark.parametrize("row", [row for row in ROWS if row.at], ids=named)
def test_silent_at_the_limit(row: Row, bike: Bike) -> None:
    assert row.at is not None
    assert row.at(row.sound(bike)).levels(row.rule) == ()


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_speaks_just_past_it(row: Row, bike: Bike) -> None:
    found = row.past(row.sound(bike)).said(row.rule)
    assert row.level in {finding.level for finding in found}
    finding = next(finding for finding in found if finding.level == row.level)
    if row.value is not None:
        assert finding.value == pytest.approx(row.value, rel=1e-4)
        assert finding.margin is not None
        assert finding.margin < 1e-9
    if row.limit is not None:
        assert finding.limit == pytest.approx(row.limit, rel=1e-4)
    assert finding.level in next(rule.levels for rule in all_rules() if rule.id == row.rule)
    assert finding.explanation
    assert finding.source


def test_every_rule_and_level_has_a_row() -> None:
    tested = {(row.rule, row.level) for row in ROWS}
    assert {(rule.id, level) for rule in all_rules() for level in rule.levels} - tested == set()
