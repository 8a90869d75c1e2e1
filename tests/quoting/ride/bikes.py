"""Invented bikes for the ride tests: a hub-motor twin, changed field by field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from quoting.parts import part_from_spec
from quoting.request import Donor, Option, PartLine, Policies, Wishes
from quoting.result import PackFigures, RideFigures, WeightFigures
from quoting.ride import ride_figures
from quoting.setup import Fitted, Setup

HUB: Mapping[str, object] = {
    "mount": "hub", "nominal_v": 72, "cont_kw": 12, "peak_kw": 24, "peak_s": 60, "kv_rpm_per_v": 16.0,
    "peak_torque_nm": 280, "torque_nm_per_a": 0.7, "phase_cont_a": 200, "phase_peak_a": 450, "max_rpm": 1500,
    "peak_efficiency": 0.92, "gear_ratio": 1,
}  # fmt: skip
MID: Mapping[str, object] = {
    "mount": "mid", "nominal_v": 72, "cont_kw": 10, "peak_kw": 22, "peak_s": 90, "kv_rpm_per_v": 70,
    "peak_torque_nm": 80, "max_rpm": 6000, "peak_efficiency": 0.92,
}  # fmt: skip
CONTROLLER: Mapping[str, object] = {
    "battery_cont_a": 200, "battery_peak_a": 380, "phase_cont_a": 250, "phase_peak_a": 450, "regen_a": 0,
    "efficiency": 0.97, "modulation": 0.95, "min_v": 45,
}  # fmt: skip
CELL: Mapping[str, object] = {"cont_a": 25, "charge_low_c": 0}
BMS: Mapping[str, object] = {"cont_a": 300, "peak_a": 450, "charge_a": 60, "low_cell_v": 2.8, "charge_low_c": 0}
DRIVE: Mapping[str, object] = {"motor_teeth": 14, "wheel_teeth": 70}
PACK = PackFigures(
    series=20, parallel=14, cells=280, series_cells=20, chemistry="nmc", nominal_v=72.0, full_v=84.0, empty_v=56.0,
    capacity_ah=56.0, energy_wh=4032.0, usable_wh=3709.0, resistance_ohm=0.024, cont_a=300.0, cont_limit="BMS",
    peak_a=450.0, peak_limit="BMS", charge_a=60.0,
)  # fmt: skip
DONOR = Donor(
    family="twin-500", label="Twin 500", rear_tire="130/70-17", cda_m2=0.6, crr=0.015, wheelbase_m=1.4, cg_height_m=0.6
)
WEIGHT = WeightFigures(laden_kg=270.0, rear_laden_kg=145.0, front_laden_kg=125.0)
POLICIES, NO_WISHES = Policies(), Wishes()


def setup_with(
    parts: Mapping[str, Mapping[str, object]],
    donor: Donor | None = DONOR,
    units: str = "us",
    policies: Policies = POLICIES,
    wishes: Wishes = NO_WISHES,
    quantities: Mapping[str, int] | None = None,
) -> Setup:
    """A setup of the given kinds and specs; quantities 1 unless given."""
    fitted = []
    for kind, spec in parts.items():
        count = Decimal((quantities or {}).get(kind, 1))
        line = PartLine(code=kind, kind=kind, name=kind, quantity=count, unit_price=Decimal(1), spec=spec)
        fitted.append(Fitted(line, part_from_spec(kind, spec)))
    option = Option(key="a", label="A", parts=tuple(item.line for item in fitted))
    return Setup(
        option=option,
        donor=donor,
        wishes=wishes,
        policies=policies,
        job="conversion",
        units=units,
        fitted=tuple(fitted),
    )


def hub_setup(**changes: object) -> Setup:
    """The hub bike; `motor`, `controller`, `bms` update a spec, anything else goes to setup_with."""
    parts: dict[str, Mapping[str, object]] = {"motor": HUB, "controller": CONTROLLER, "cell": CELL, "bms": BMS}
    for kind in tuple(parts):
        if kind in changes:
            parts[kind] = {**parts[kind], **changes.pop(kind)}  # type: ignore[dict-item]
    return setup_with(parts, **changes)  # type: ignore[arg-type]


def mid_setup(**changes: object) -> Setup:
    """The mid-motor bike with a chain."""
    parts: dict[str, Mapping[str, object]] = {
        "motor": MID, "controller": CONTROLLER, "cell": CELL, "bms": BMS, "final_drive": DRIVE,
    }  # fmt: skip
    for kind in tuple(parts):
        if kind in changes:
            parts[kind] = {**parts[kind], **changes.pop(kind)}  # type: ignore[dict-item]
    return setup_with(parts, **changes)  # type: ignore[arg-type]


def ride(setup: Setup, pack: PackFigures | None = PACK, weight: WeightFigures | None = WEIGHT) -> RideFigures:
    """Ride figures that must be there."""
    figures = ride_figures(setup, pack, weight)
    assert figures is not None
    return figures


def pack_like(**changes: object) -> PackFigures:
    """The pack with some figures changed."""
    return replace(PACK, **changes)  # type: ignore[arg-type]


def known(value: float | None) -> float:
    """A figure that must be there."""
    assert value is not None
    return value
