"""Rows for voltage, cut-offs and regeneration. The sound pack: 84.0 V full, 72.0 V nominal, 56.0 V empty, 21 mΩ."""

from __future__ import annotations

from quoting.result import SagPoint
from tests.quoting.rules.bike import Bike
from tests.quoting.rules.row import Row, spec


def sagging(bike: Bike, cut_v: float, soc: float = 0.5, load: str = "peak", loaded_v: float | None = 61.0) -> Bike:
    """A pack of 74 V pulled down to 61 V by 620 A, against a cut-off."""
    point = SagPoint(soc=soc, load=load, power_w=14000, open_v=74, loaded_v=loaded_v, current_a=620, cell_a=52)
    return bike.saying("pack", sag=(point,), cut_v=cut_v, cut_by="controller")


FULL = [
    Row(f"pack-full-over-{name}", "stop", spec(slot, **{fld: 83.9}), spec(slot, **{fld: 84.0}), 84.0, 83.9)
    for name, slot, fld in (
        ("controller-max", "controller", "max_v"),
        ("motor-max", "motor", "max_v"),
        ("bms-max", "bms", "max_v"),
        ("contactor-max", "contactor", "max_v"),
        ("fuse-dc", "fuse", "dc_v"),
        ("precharge-max", "precharge", "max_v"),
        ("dcdc-max", "dcdc", "input_high_v"),
        ("connector-max", "plug", "max_v"),
        ("cable-max", "battery cable", "max_v"),
    )
]
ROWS = [
    *FULL,
    # 4.20 V × 1.01 = 4.242 V is the most for NMC
    Row("cell-full-voltage-doubtful", "check", spec("cell", full_v=4.25), spec("cell", full_v=4.242), 4.25, 4.20),
    # the nominal figure entered as the full one
    Row("cell-full-voltage-doubtful", "stop", spec("cell", full_v=3.6), spec("cell", full_v=3.61), 3.6, 3.6),
    # 14 rpm/V × 84 V × 0.95 = 1117.2 rpm
    Row("motor-overspeed", "check", spec("motor", max_rpm=1117), spec("motor", max_rpm=1117.2), 1117.2, 1117),
    # the ride ends at the higher of 56 V empty and the 61 V set; 72 V is nominal
    Row("controller-min-over-pack", "check", spec("controller", min_v=61.1), spec("controller", min_v=61), 61.1, 61),
    Row("controller-min-over-pack", "stop", spec("controller", min_v=72), spec("controller", min_v=61), 72, 61),
    # 20 × 3.0 V = 60 V
    Row(
        "low-cut-under-cell-floor",
        "check",
        spec("controller", low_cut_v=59.9),
        spec("controller", low_cut_v=60),
        59.9,
        60,
    ),
    # 20 × 2.85 V = 57 V; the controller must be above it
    Row("low-cut-after-bms", "check", spec("controller", low_cut_v=57), spec("controller", low_cut_v=57.1), 57, 57),
    Row("bms-low-cut-under-cell-empty", "stop", spec("bms", low_cell_v=2.79), spec("bms", low_cell_v=2.8), 2.79, 2.8),
    Row("bms-high-cut-off-full", "check", spec("bms", high_cell_v=4.19), spec("bms", high_cell_v=4.2), 4.19, 4.2),
    Row("bms-high-cut-off-full", "stop", spec("bms", high_cell_v=4.31), spec("bms", high_cell_v=4.3), 4.31, 4.3),
    # 56 V empty; the controller stops at 61 V
    Row("dcdc-min-over-pack-empty", "check", spec("dcdc", input_low_v=61), spec("dcdc", input_low_v=56), 61, 56),
    Row("dcdc-min-over-pack-empty", "stop", spec("dcdc", input_low_v=61.1), spec("dcdc", input_low_v=56), 61.1, 56),
    Row("sag-under-cut-off", "stop", lambda b: sagging(b, 61.1), lambda b: sagging(b, 61.0), 61.0, 61.1),
    Row(
        "sag-under-cut-off",
        "check",
        lambda b: sagging(b, 61.1, soc=0.2),
        lambda b: sagging(b, 61.0, soc=0.2),
        61.0,
        61.1,
    ),
    Row("sag-under-cut-off", "stop", lambda b: sagging(b, 50, loaded_v=None)),
    Row("bms-series-range", "stop", spec("bms", series_high=19), spec("bms", series_high=20), 20, 19),
    Row("bms-series-range", "stop", spec("bms", series_low=21), spec("bms", series_low=20), 20, 21),
    Row("bms-chemistry", "stop", spec("bms", chemistries=["lfp"]), spec("bms", chemistries=["lfp", "nmc"])),
    Row("bms-senses-no-groups", "stop", spec("bms", senses_each_group=False)),
    # 1.2 × 84 V = 100.8 V
    Row(
        "pack-full-near-controller-max",
        "check",
        spec("controller", max_v=100.7),
        spec("controller", max_v=100.8),
        100.7,
        100.8,
    ),
    # 84 V + 20 A × 0.021 Ω = 84.42 V; 20 × 4.221 V = 84.42 V
    Row("regen-overshoot", "check", spec("bms", high_cell_v=4.22), spec("bms", high_cell_v=4.221), 84.42, 84.4),
    Row("regen-overshoot", "stop", spec("controller", max_v=84.4), spec("controller", max_v=84.42), 84.42, 84.4),
    # the least of 12 × 4.5 A = 54 A and the battery management's 60 A
    Row("regen-over-charge-limit", "stop", spec("controller", regen_a=54.1), spec("controller", regen_a=54), 54.1, 54),
    Row("regen-over-charge-limit", "stop", spec("bms", charge_a=19.9), spec("bms", charge_a=20), 20, 19.9),
]
