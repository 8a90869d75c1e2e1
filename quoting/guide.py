"""What every kind of component is described by: fields, units, limits, and which rules and figures need them.

Made from the dataclasses in quoting.parts and from what the rules say they read. `FIGURES_READ` is written by hand and
held against the figures themselves by a test.
"""

from __future__ import annotations

import inspect
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from quoting.parts import KINDS, Kind, SpecField, spec_fields
from quoting.rules import all_rules

BOX = ("length_mm", "width_mm", "height_mm")
BOXED = ("charger", "dcdc", "bms", "contactor", "controller", "enclosure")
# What may stand in a field that has neither limits nor words to choose from, by category.
WRITTEN = {"yes_no": "yes or no", "list": "words, comma between", "text": "text", "grid": "rows of figures"}
UNWEIGHED = ("tire", "wheel", "brake")  # they replace their like and count nothing


def _box(*kinds: str) -> tuple[str, ...]:
    return tuple(f"{kind}.{side}" for kind in kinds for side in BOX)


def _each(kind: str, *names: str) -> tuple[str, ...]:
    return tuple(f"{kind}.{name}" for name in names)


CABLE = _each("cable", "circuit", "area_mm2", "insulation_c", "ampacity_a")
STORE = (
    "chemistry", "nominal_v", "full_v", "empty_v", "capacity_ah", "cont_a", "peak_a", "charge_a", "resistance_mohm",
    "health_percent", "mass_kg", *BOX,
)  # fmt: skip
# Set of figures -> the specs it is worked out from.
FIGURES_READ: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "the pack": (
            *_each("cell", *STORE, "diameter_mm"),
            *_each("module", *STORE, "cells_in_series"),
            *_each("bms", "charge_a", "cont_a", "peak_a", "low_cell_v"),
            *_each("controller", "battery_cont_a", "battery_peak_a", "low_cut_v", "min_v", "efficiency"),
            *_each(
                "motor", "cont_kw", "peak_kw", "peak_efficiency", "copper_loss_w", "no_load_loss_w", "efficiency_grid",
                "peak_torque_nm", "max_rpm", "kv_rpm_per_v", "nominal_v",
            ),
            *_each("enclosure", "mass_kg", "inner_length_mm", "inner_width_mm", "inner_height_mm"),
            *_each("connector", "circuit", "cont_a", "peak_a"),
            "contactor.cont_a",
            "fuse.rating_a",
            *CABLE,
            *_box(*BOXED),
        ),
        "the weight": (
            *(f"{kind}.mass_kg" for kind in KINDS if kind not in (*UNWEIGHED, "cell", "module", "enclosure")),
            "adapter.purpose",
            "cable.area_mm2",
            "motor.mount",
        ),
        "the ride": (
            *_each(
                "motor", "mount", "nominal_v", "cont_kw", "peak_kw", "peak_s", "kv_rpm_per_v", "torque_nm_per_a",
                "peak_torque_nm", "max_rpm", "phase_cont_a", "phase_peak_a", "demag_phase_a", "peak_efficiency",
                "copper_loss_w", "no_load_loss_w", "efficiency_grid", "gear_ratio",
            ),
            *_each(
                "controller", "battery_cont_a", "battery_peak_a", "phase_cont_a", "phase_peak_a", "low_cut_v",
                "regen_a", "efficiency", "modulation",
            ),
            *_each("cell", "cont_a", "charge_low_c", "health_percent"),
            *_each("module", "cont_a", "charge_low_c", "health_percent"),
            *_each("bms", "cont_a", "charge_a", "charge_low_c", "low_cell_v"),
            *_each("final_drive", "motor_teeth", "wheel_teeth", "efficiency"),
            *_each("tire", "end", "marking"),
        ),
        "the wiring": (
            *CABLE,
            *_each("controller", "capacitance_uf", "phase_cont_a"),
            *_each("motor", "phase_cont_a", "phase_lead_mm2"),
            "precharge.resistance_ohm",
            "bms.has_precharge",
            *_each("contactor", "max_v", "cont_a", "make_a", "break_a", "coil_v", "coil_w"),
            *_each("connector", "circuit", "cont_a"),
            *_each("dcdc", "output_v", "output_a"),
            "charger.output_a",
            "display.load_w",
            "lamp.load_w",
        ),
        "charging": (
            *_each(
                "charger", "power_w", "output_a", "input_low_v", "input_high_v", "input_a", "efficiency",
            ),
            *_each("connector", "circuit", "cont_a"),
            *CABLE,
        ),
    }
)  # fmt: skip


@dataclass(frozen=True)
class FieldGuide:
    """A spec field: rules that need it always, rules that look at it in some cases, figures worked out from it."""

    field: SpecField
    needed_by: tuple[str, ...]
    looked_at_by: tuple[str, ...]
    figures: tuple[str, ...]

    @property
    def range_words(self) -> str:
        """Limits with their unit, the words to choose from, or what may be written."""
        field = self.field
        if field.choices:
            return ", ".join(field.choices)
        if field.low is not None and field.high is not None:
            return f"{field.low:,g} to {field.high:,g} {field.unit}".strip()
        return WRITTEN[field.category]

    @property
    def only_for_people(self) -> bool:
        """Nothing is worked out from it: it stands on the data sheet for people to read."""
        return not (self.needed_by or self.looked_at_by or self.figures)


@dataclass(frozen=True)
class KindGuide:
    """A kind of component, what it is in one line, and its fields."""

    kind: Kind
    about: str
    fields: tuple[FieldGuide, ...]


@cache
def kinds_guide() -> tuple[KindGuide, ...]:
    """Every kind with every field, in the order forms show them."""
    needed, looked_at = _by_field()
    return tuple(
        KindGuide(
            kind=kind,
            about=(inspect.getdoc(kind.part_type) or "").splitlines()[0],
            fields=tuple(
                FieldGuide(
                    field=field,
                    needed_by=needed.get(name := f"{kind.code}.{field.name}", ()),
                    looked_at_by=looked_at.get(name, ()),
                    figures=tuple(figures for figures, names in FIGURES_READ.items() if name in names),
                )
                for field in spec_fields(kind.part_type)
            ),
        )
        for kind in KINDS.values()
    )


def _by_field() -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]]]:
    """Rules by "kind.field": those that need it, and those that look at it in some cases."""
    needed: dict[str, list[str]] = {}
    looked_at: dict[str, list[str]] = {}
    for rule in all_rules():
        for found, reads in ((needed, rule.reads), (looked_at, rule.may_read)):
            for subject, field in reads:
                for kind in ("cell", "module") if subject == "cell" else (subject,):
                    found.setdefault(f"{kind}.{field}", []).append(rule.id)
    return ({name: tuple(ids) for name, ids in needed.items()}, {name: tuple(ids) for name, ids in looked_at.items()})
