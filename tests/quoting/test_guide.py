"""The guide to spec fields: complete, and true to what rules and figures look at."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from quoting.charging import charge_figures
from quoting.guide import FIGURES_READ, kinds_guide
from quoting.pack import pack_figures
from quoting.parts import KINDS, Part
from quoting.request import PackPlan
from quoting.ride import ride_figures
from quoting.rules import all_rules
from quoting.rules.registry import outcome
from quoting.setup import Setup, setup_of
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures
from tests.quoting.rules.bike import CELL, Bike
from tests.quoting.rules.test_rows import ROWS

GRID = "rpm 20 200; 100 0.8 0.6; 1300 0.9 0.85"
CODES = {kind.part_type: kind.code for kind in KINDS.values()}
FIELDS = {part_type: {field.name for field in dataclasses.fields(part_type)} for part_type in CODES}
MODULE = {
    **{name: value for name, value in CELL.items() if name != "diameter_mm"}, "cells_in_series": 10, "nominal_v": 36,
    "full_v": 42, "empty_v": 28, "capacity_ah": 54, "cont_a": 240, "peak_a": 420, "charge_a": 54, "mass_kg": 9,
    "length_mm": 350, "width_mm": 150, "height_mm": 100,
}  # fmt: skip


@pytest.fixture
def looked_at(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Which fields of parts were looked at since it was last cleared, as "kind.field"."""
    seen: set[str] = set()
    plain: Callable[..., Any] = Part.__getattribute__

    def look(self: Part, name: str) -> Any:
        kind = type(self)
        if kind in CODES and name in FIELDS[kind]:
            seen.add(f"{CODES[kind]}.{name}")
        return plain(self, name)

    monkeypatch.setattr(Part, "__getattribute__", look)
    return seen


WORK: dict[str, Callable[[Setup, dict[str, Any]], Any]] = {
    "the pack": lambda setup, made: pack_figures(setup),
    "the weight": lambda setup, made: weight_figures(setup, made["the pack"]),
    "the ride": lambda setup, made: ride_figures(setup, made["the pack"], made["the weight"]),
    "the wiring": lambda setup, made: wiring_figures(setup, made["the pack"], made["the ride"]),
    "charging": lambda setup, made: charge_figures(setup, made["the pack"]),
}


def modules(bike: Bike) -> Bike:
    """The bike on four modules of ten in series."""
    plan = PackPlan(series=2, parallel=2, bays=("Engine bay",))
    return replace(bike.without("cell").plus("modules", "module", 4, **MODULE), plan=plan)


def bikes() -> list[Bike]:
    """Sound builds and builds that lack what figures then work out another way."""
    bike = Bike()
    return [
        bike,
        bike.mid(),
        modules(bike),
        bike.plus("seat", "bodywork", mass_kg=3).plus("bolts", "hardware", mass_kg=1),
        bike.with_("motor", torque_nm_per_a=None, kv_rpm_per_v=None),
        bike.with_("motor", efficiency_grid=GRID, peak_torque_nm=None, max_rpm=None),
        bike.with_("battery cable", ampacity_a=None),
        bike.with_("charger", power_w=None),
        bike.with_("cell", diameter_mm=None, width_mm=22, height_mm=70),
        bike.plus("charge plug", "connector", circuit="charge", cont_a=30, max_v=150),
    ]


def test_every_field_of_every_kind_is_explained() -> None:
    guide = kinds_guide()
    assert [each.kind.code for each in guide] == list(KINDS)
    for each in guide:
        assert {field.field.name for field in each.fields} == FIELDS[each.kind.part_type]
        assert each.about.endswith(".")
        for field in each.fields:
            assert field.field.label, field
            assert field.field.help, f"{each.kind.code}.{field.field.name} has no help"
            assert field.range_words
            if field.field.category in ("number", "whole"):
                assert field.field.low is not None
                assert field.field.high is not None
                assert field.field.low < field.field.high


def test_the_guide_names_the_rules() -> None:
    guide = {
        f"{kind.kind.code}.{field.field.name}": field for kind in kinds_guide() for field in kind.fields
    }  # fmt: skip
    assert "pack-full-over-controller-max" in guide["controller.max_v"].needed_by
    assert guide["controller.max_v"].range_words == "10 to 1,000 V"
    assert "cell-continuous-current" in guide["module.cont_a"].needed_by
    assert "dcdc-overloaded" in guide["lamp.load_w"].looked_at_by
    assert guide["cell.resistance_mohm"].figures == ("the pack",)
    assert guide["motor.efficiency_grid"].figures == ("the pack", "the ride")
    assert guide["motor.efficiency_grid"].range_words == "rows of figures"
    assert [guide[name].needed_by for name in ("motor.cooling", "brake.brake_kind", "bms.charge_high_c")] == [
        ("motor-cooling-missing",), ("brake-kind-differs",), ("charging-above-cell-hot-limit",),
    ]  # fmt: skip


def test_no_field_is_there_for_nothing() -> None:
    """What nothing looks at: the outside size of parts that are not placed, the mass of what replaces its like."""
    idle = {field.field.name for kind in kinds_guide() for field in kind.fields if field.only_for_people}
    assert idle == {"length_mm", "width_mm", "height_mm", "mass_kg"}


def test_rules_look_at_what_they_say_and_at_nothing_else(looked_at: set[str]) -> None:
    """On every build of the rules' own table."""
    tables = [row.past(row.sound(Bike())) for row in ROWS] + [row.at(row.sound(Bike())) for row in ROWS if row.at]
    found: dict[str, set[str]] = {rule.id: set() for rule in all_rules()}
    for facts in [bike.facts() for bike in (*bikes(), *tables)]:
        for rule in all_rules():
            looked_at.clear()
            outcome(rule, facts)
            found[rule.id] |= looked_at
    for rule in all_rules():
        said = {f"{subject}.{field}" for subject, field in (*rule.reads, *rule.may_read)}
        said |= {f"module.{field}" for subject, field in (*rule.reads, *rule.may_read) if subject == "cell"}
        assert found[rule.id] - said == set(), rule.id
        assert {f"{subject}.{field}" for subject, field in rule.may_read} - found[rule.id] == set(), rule.id


def test_figures_are_worked_out_from_what_the_guide_says(looked_at: set[str]) -> None:
    found: dict[str, set[str]] = {name: set() for name in FIGURES_READ}
    for bike in bikes():
        request = bike.request()
        setup = setup_of(request, request.options[0])
        figures: dict[str, Any] = {}
        for name, work in WORK.items():
            looked_at.clear()
            figures[name] = work(setup, figures)
            found[name] |= looked_at
    assert {name: sorted(fields) for name, fields in found.items()} == {
        name: sorted(set(fields)) for name, fields in FIGURES_READ.items()
    }
