"""Cables, fuse, pre-charge and insulation."""

from __future__ import annotations

from quoting.wiring.cable import Leg, leg_of, legs_of
from quoting.wiring.conductors import (
    AMBIENT_C,
    TEN_SECOND_ALLOWANCE,
    ambient_factor,
    ampacity_a,
    at_temperature,
    ohm_per_m,
    parallel_ohm,
    solid_ohm_per_m,
)
from quoting.wiring.figures import wiring_figures
from quoting.wiring.joints import CLOSES_AT, DCDC_ROOM, LOADS, closing_step_a
from quoting.wiring.phase import phase_drop_v, phase_loss_w, phase_run_ohm, phase_voltage_v
from quoting.wiring.protection import (
    CLASS_B_ABOVE_V,
    DC_OHM_PER_V,
    FUSE_FACTOR,
    FUSE_TEN_SECOND_FACTOR,
    JOINED_OHM_PER_V,
    PrechargeTimes,
    adiabatic_k,
    cable_withstand_a2s,
    fuse_least_a,
    is_class_b,
    least_insulation_ohm,
    precharge_times,
    precharged_share,
    short_circuit_a,
    standard_fuse_a,
)

__all__ = [
    "AMBIENT_C",
    "CLASS_B_ABOVE_V",
    "CLOSES_AT",
    "DCDC_ROOM",
    "DC_OHM_PER_V",
    "FUSE_FACTOR",
    "FUSE_TEN_SECOND_FACTOR",
    "JOINED_OHM_PER_V",
    "LOADS",
    "TEN_SECOND_ALLOWANCE",
    "Leg",
    "PrechargeTimes",
    "adiabatic_k",
    "ambient_factor",
    "ampacity_a",
    "at_temperature",
    "cable_withstand_a2s",
    "closing_step_a",
    "fuse_least_a",
    "is_class_b",
    "least_insulation_ohm",
    "leg_of",
    "legs_of",
    "ohm_per_m",
    "parallel_ohm",
    "phase_drop_v",
    "phase_loss_w",
    "phase_run_ohm",
    "phase_voltage_v",
    "precharge_times",
    "precharged_share",
    "short_circuit_a",
    "solid_ohm_per_m",
    "standard_fuse_a",
    "wiring_figures",
]
