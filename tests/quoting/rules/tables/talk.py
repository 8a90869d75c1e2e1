"""Rows for charging, throttle, interfaces and the low-voltage side."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from tests.quoting.rules.bike import Bike
from tests.quoting.rules.row import Row, spec


def pot(bike: Bike) -> Bike:
    """A potentiometer throttle on a controller that takes one."""
    return bike.with_("throttle", signal="pot", resistance_kohm=5).with_("controller", throttles=["pot"])


def at_wall(bike: Bike) -> Bike:
    """Charged from 120 V, 15 A: 12 A for hours."""
    return bike.wishing(circuit_v=120, circuit_a=15)


ROWS = [
    # 84 V × 1.005 = 84.42 V, × 0.995 = 83.58 V; 72 V is nominal
    Row("charger-end-voltage", "stop", spec("charger", end_v=84.43), spec("charger", end_v=84.42), 84.43, 84.42),
    Row("charger-end-voltage", "check", spec("charger", end_v=83.57), spec("charger", end_v=83.58), 83.57, 83.58),
    Row("charger-end-voltage", "stop", spec("charger", end_v=72), spec("charger", end_v=84), 72, 83.58),
    Row(
        "charger-end-voltage",
        "stop",
        spec("charger", end_v=None, end_low_v=85, end_high_v=100),
        spec("charger", end_v=None, end_low_v=84, end_high_v=100),
        85,
        84.42,
    ),
    Row("charger-start-over-empty", "check", spec("charger", start_v=56.1), spec("charger", start_v=56), 56.1, 56),
    # 12 × 4.5 A = 54 A
    Row("charge-current-over-cells", "stop", spec("charger", output_a=54.1), spec("charger", output_a=54), 54.1, 54),
    Row("charge-current-over-bms", "stop", spec("bms", charge_a=15.9), spec("bms", charge_a=16), 16, 15.9),
    Row("charging-below-cell-cold-limit", "stop", spec("bms", charge_low_c=-1), spec("bms", charge_low_c=0), -1, 0),
    Row(
        "charging-below-cell-cold-limit",
        "check",
        spec("bms", charge_low_c=-5),
        spec("bms", charge_low_c=0),
        -5,
        0,
        spec("cell", charge_low_c=-10),
    ),
    Row("charging-above-cell-hot-limit", "stop", spec("bms", charge_high_c=46), spec("bms", charge_high_c=45), 46, 45),
    Row(
        "charging-above-cell-hot-limit",
        "note",
        spec("cell", charge_high_c=39),
        spec("cell", charge_high_c=40),
        39,
        40,
        spec("bms", charge_high_c=38),
    ),
    Row(
        "motor-cooling-missing",
        "check",
        spec("motor", cooling="liquid"),
        lambda b: b.with_("motor", cooling="liquid").plus("pump", "lamp", cools="liquid", load_w=20, supply_v=12),
    ),
    # a fan does not move liquid, and a lamp that does not say cools nothing
    Row(
        "motor-cooling-missing",
        "check",
        lambda b: b.with_("motor", cooling="liquid").plus("fan", "lamp", cools="forced-air", load_w=20, supply_v=12),
        lambda b: b.with_("motor", cooling="forced-air").plus(
            "fan", "lamp", cools="forced-air", load_w=20, supply_v=12
        ),
    ),
    # 80 % of 15 A = 12 A
    Row(
        "wall-circuit-overloaded",
        "check",
        spec("charger", input_a=12.1),
        spec("charger", input_a=12),
        12.1,
        12,
        at_wall,
    ),
    Row(
        "wall-circuit-overloaded", "stop", spec("charger", input_a=15.1), spec("charger", input_a=12), 15.1, 12, at_wall
    ),
    Row(
        "charger-input-voltage", "stop", lambda b: b.wishing(circuit_v=99), lambda b: b.wishing(circuit_v=100), 99, 100
    ),
    Row(
        "charger-input-voltage",
        "stop",
        lambda b: b.wishing(circuit_v=251),
        lambda b: b.wishing(circuit_v=250),
        251,
        250,
    ),
    Row(
        "charge-inhibit-missing",
        "check",
        lambda b: b.with_("bms", interlocks=[]).with_("controller", interlocks=["brake-cutoff"]),
        lambda b: b.with_("bms", interlocks=[]).with_("controller", interlocks=["charge-inhibit"]),
    ),
    Row(
        "throttle-signal", "stop", spec("controller", throttles=["pot"]), spec("controller", throttles=["pot", "hall"])
    ),
    Row("throttle-range-high", "check", spec("throttle", high_v=4.01), spec("throttle", high_v=4.0), 4.01, 4.0),
    Row("throttle-range-low", "check", spec("throttle", low_v=0.69), spec("throttle", low_v=0.7), 0.69, 0.7),
    # 5 kΩ and 20 % = 6 kΩ
    Row(
        "throttle-resistance",
        "check",
        spec("throttle", resistance_kohm=6.1),
        spec("throttle", resistance_kohm=6),
        6.1,
        5,
        pot,
    ),
    Row("throttle-does-not-close", "stop", spec("throttle", has_cutoff=False)),
    Row("rotor-sensor", "stop", spec("motor", rotor_sensor="resolver"), spec("motor", rotor_sensor="hall")),
    Row("pair-not-run-before", "check", spec("controller", tested_motors=["another"])),
    Row(
        "pair-not-run-before",
        "note",
        lambda b: replace(b.with_("controller", tested_motors=[]), option={"contingency_rate": Decimal("0.05")}),
    ),
    Row("display-bus", "stop", spec("display", bus="uart"), spec("display", bus="none")),
    Row("display-bus", "stop", spec("display", bus_kbaud=500), spec("display", bus_kbaud=250)),
    Row("charger-bus", "check", spec("bms", bus="none"), spec("charger", bus="none")),
    Row("charger-bus", "check", spec("charger", bus_kbaud=125), spec("charger", bus_kbaud=250)),
    Row("bms-bus", "note", spec("controller", bus="uart"), spec("bms", bus="none")),
    Row("kill-switch-missing", "stop", lambda b: b.without("switches")),
    Row("brake-cutoff-missing", "stop", spec("switches", interlocks=["kill-switch", "side-stand"])),
    Row("brake-cutoff-unread", "stop", spec("controller", interlocks=["charge-inhibit"])),
    Row("side-stand-missing", "check", spec("switches", interlocks=["kill-switch", "brake-cutoff"])),
    Row("side-stand-unread", "check", spec("controller", interlocks=["brake-cutoff"])),
    # 13.8 V is 1.25 × 11.04 V and 0.95 × 14.53 V
    Row("lamp-voltage", "stop", spec("lamps", supply_v=11), spec("lamps", supply_v=11.04), 13.8, 13.75),
    Row("lamp-voltage", "check", spec("lamps", supply_v=15), spec("lamps", supply_v=14.52), 13.8, 14.25),
    Row("donor-system-voltage", "check", lambda b: b.given(system_v=6), lambda b: b.given(system_v=12)),
    # 13.8 V × 20 A = 276 W, 80 % = 220.8 W, with 4 W display and 8 W coil
    Row("dcdc-overloaded", "check", spec("lamps", load_w=208.9), spec("lamps", load_w=208.8), 220.9, 220.8),
    Row("dcdc-overloaded", "stop", spec("lamps", load_w=264.1), spec("lamps", load_w=208.8), 276.1, 220.8),
    Row(
        "display-supply",
        "stop",
        spec("display", supply_low_v=24, supply_high_v=60),
        spec("display", supply_low_v=56, supply_high_v=84),
    ),
    Row("dcdc-not-isolated", "stop", spec("dcdc", isolated=False)),
    # 14 × 4.2 V = 58.8 V is not above 60 V
    Row("dcdc-not-isolated", "check", spec("dcdc", isolated=False), None, None, None, lambda b: b.packed(series=14)),
    Row("throttle-not-isolated", "check", spec("controller", throttle_isolated=False)),
    # standards: 14 in series 58.8 V is class A, 15 in series 63.0 V is class B
    Row(
        "voltage-class-b",
        "note",
        lambda b: b.packed(series=15),
        lambda b: b.packed(series=14),
        63.0,
        60.0,
        lambda b: b.packed(series=14),
    ),
]
