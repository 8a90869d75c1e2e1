"""The list of rules: ids, order, what each says of itself, and that a wrong entry cannot be made."""

from __future__ import annotations

import inspect
import re
import typing

import pytest

from quoting.parts import KINDS
from quoting.result import LEVELS
from quoting.rules import all_rules
from quoting.rules.registry import JOBS, READABLE, SUBJECTS, rule
from tests.quoting.rules.bike import Bike


def test_there_are_at_least_forty_five_rules_with_ids_of_one_form() -> None:
    ids = [entry.id for entry in all_rules()]
    assert len(ids) >= 45
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name) for name in ids)


def test_every_rule_says_what_it_holds_in_one_line() -> None:
    for entry in all_rules():
        assert entry.title
        assert entry.source
        assert entry.what.endswith(".")
        assert len(entry.what) < 130
        assert set(entry.levels) <= set(LEVELS)
        assert set(entry.jobs) <= set(JOBS)
        assert set(entry.kinds) <= set(KINDS)


def test_rules_come_by_subject() -> None:
    order = [SUBJECTS.index(entry.subject) for entry in all_rules()]
    assert order == sorted(order)
    assert set(SUBJECTS) == {entry.subject for entry in all_rules()}


def test_each_argument_has_the_type_of_the_field_it_reads() -> None:
    for entry in all_rules():
        hints = list(typing.get_type_hints(entry.function).values())
        arguments = hints[1 + bool(entry.each) : -1]
        for (subject, field), given in zip(entry.reads, arguments, strict=True):
            kept = typing.get_type_hints(READABLE[subject])[field]
            options = [arm for arm in typing.get_args(kept) if arm is not type(None)]
            wanted = options[0] if type(None) in typing.get_args(kept) else kept
            assert given == wanted, f"{entry.id}: {subject}.{field}"


def test_every_rule_is_a_function_of_its_own_of_at_most_sixty_lines() -> None:
    assert len({entry.function for entry in all_rules()}) == len(all_rules())
    for entry in all_rules():
        assert len(inspect.getsource(entry.function).splitlines()) <= 60, entry.id


def test_findings_come_stops_first_then_in_rule_order(bike: Bike) -> None:
    bad = bike.with_("controller", max_v=80, throttle_isolated=False).with_("fuse", dc_v=58).without("switches")
    found = bad.findings()
    levels = [LEVELS.index(finding.level) for finding in found]
    assert levels == sorted(levels)
    ids = [entry.id for entry in all_rules()]
    stops = [ids.index(finding.rule) for finding in found if finding.level == "stop"]
    assert stops == sorted(stops)
    assert len(stops) >= 4


@pytest.mark.parametrize(
    ("changes", "problem"),
    [
        ({"reads": ("controller.maximum_v",)}, "no field that can be read"),
        ({"reads": ("cell.diameter_mm",)}, "no field that can be read"),
        ({"reads": ("controller.max_v",)}, "must take 2 arguments"),
        ({"levels": ("alarm",)}, "levels"),
        ({"source": ""}, "names no source"),
        ({"subject": "weather"}, "subject"),
        ({"id": "gross-weight"}, "its id is taken"),
    ],
)
def test_a_wrong_entry_fails_at_once(changes: dict[str, typing.Any], problem: str) -> None:
    entry: dict[str, typing.Any] = {
        "id": "trial", "subject": "desk", "title": "Trial", "levels": ("note",), "source": "none", **changes,
    }  # fmt: skip

    def function(facts: object) -> None:
        """Holds nothing."""

    with pytest.raises(TypeError, match=problem):
        rule(entry.pop("id"), entry.pop("subject"), **entry)(function)
    assert "trial" not in {known.id for known in all_rules()}


def test_a_rule_without_a_docstring_is_refused() -> None:
    def function(facts: object) -> None:
        pass

    with pytest.raises(TypeError, match="docstring"):
        rule("trial", "desk", title="Trial", levels=("note",), source="none")(function)
