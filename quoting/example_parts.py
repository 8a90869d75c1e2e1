"""The parts of the example: invented, with round figures, one of each kind the job takes."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quoting.request import PartLine

DAY = date(2026, 3, 2)  # a Monday


def _part(code: str, kind: str, name: str, price: str, spec: dict[str, object], quantity: int = 1) -> PartLine:
    amount = Decimal(price)
    return PartLine(
        code=code,
        kind=kind,
        name=name,
        quantity=Decimal(quantity),
        unit_price=amount,
        unit_cost=(amount * Decimal("0.7")).quantize(Decimal("0.01")),
        priced_on=DAY,
        spec=spec,
        unit="m" if kind == "cable" else "piece",
    )


def drive_parts() -> tuple[PartLine, ...]:
    """Motor, controller, throttle and display."""
    motor: dict[str, object] = {
        "mount": "hub", "nominal_v": 72, "max_v": 96, "cont_kw": 8, "peak_kw": 16, "peak_s": 60, "kv_rpm_per_v": 18.5,
        "torque_nm_per_a": 0.62, "peak_torque_nm": 220, "max_rpm": 1500, "phase_cont_a": 180, "phase_peak_a": 420,
        "demag_phase_a": 700, "peak_efficiency": 0.9, "copper_loss_w": 700, "no_load_loss_w": 180,
        "rotor_sensor": "hall", "cooling": "air", "gear_ratio": 1, "phase_lead_mm2": 35, "dropout_mm": 190,
        "axle_mm": 16, "axle_flats_mm": 12, "brake_side": "right", "wheel_inch": 17, "mass_kg": 21,
    }  # fmt: skip
    controller: dict[str, object] = {
        "min_v": 48, "max_v": 104, "low_cut_v": 62, "battery_cont_a": 130, "battery_peak_a": 220, "phase_cont_a": 200,
        "phase_peak_a": 400, "regen_a": 0, "efficiency": 0.96, "modulation": 0.95, "capacitance_uf": 4000,
        "throttles": ["hall"], "rotor_sensors": ["hall"], "bus": "can", "bus_kbaud": 250,
        "interlocks": ["side-stand", "brake-cutoff", "kill-switch", "charge-inhibit"], "tested_motors": ["M-EX"],
        "throttle_isolated": True, "mass_kg": 4.2, "length_mm": 230, "width_mm": 160, "height_mm": 75,
    }  # fmt: skip
    throttle: dict[str, object] = {"signal": "hall", "low_v": 0.8, "high_v": 3.6, "has_cutoff": True, "mass_kg": 0.3}
    display: dict[str, object] = {
        "bus": "can",
        "bus_kbaud": 250,
        "supply_low_v": 9,
        "supply_high_v": 16,
        "load_w": 4,
        "mass_kg": 0.3,
    }
    return (
        _part("M-EX", "motor", "Hub motor 8 kW", "1890.00", motor),
        _part("C-EX", "controller", "Controller 220 A", "880.00", controller),
        _part("T-EX", "throttle", "Twist throttle, Hall", "48.00", throttle),
        _part("D-EX", "display", "Round display", "160.00", display),
    )


def storage_parts() -> tuple[PartLine, ...]:
    """Pack, its box and its management, and what charges it and feeds 12 V from it."""
    cell: dict[str, object] = {
        "chemistry": "nmc", "nominal_v": 3.6, "full_v": 4.2, "empty_v": 2.8, "capacity_ah": 4.5, "cont_a": 20,
        "peak_a": 35, "charge_a": 4.5, "resistance_mohm": 16, "diameter_mm": 21.4, "length_mm": 70.6, "mass_kg": 0.07,
        "charge_low_c": 0, "charge_high_c": 45, "health_percent": 100, "transport_tested": True,
    }  # fmt: skip
    bms: dict[str, object] = {
        "series_low": 14, "series_high": 24, "chemistries": ["nmc"], "max_v": 104, "cont_a": 250, "peak_a": 400,
        "charge_a": 60, "low_cell_v": 2.8, "high_cell_v": 4.25, "charge_low_c": 0, "charge_high_c": 45,
        "senses_each_group": True, "has_precharge": False, "bus": "can", "bus_kbaud": 250,
        "interlocks": ["charge-inhibit"], "mass_kg": 0.9, "length_mm": 165, "width_mm": 100, "height_mm": 30,
    }  # fmt: skip
    charger: dict[str, object] = {
        "end_v": 84, "start_v": 45, "power_w": 1300, "output_a": 16, "input_low_v": 100, "input_high_v": 250,
        "input_a": 12, "efficiency": 0.92, "bus": "can", "bus_kbaud": 250, "mass_kg": 3.4, "length_mm": 240,
        "width_mm": 120, "height_mm": 70,
    }  # fmt: skip
    dcdc: dict[str, object] = {
        "input_low_v": 45, "input_high_v": 105, "output_v": 13.8, "output_a": 20, "isolated": True, "mass_kg": 0.8,
        "length_mm": 130, "width_mm": 80, "height_mm": 45,
    }  # fmt: skip
    box: dict[str, object] = {
        "inner_length_mm": 460, "inner_width_mm": 250, "inner_height_mm": 160, "length_mm": 472, "width_mm": 262,
        "height_mm": 172, "sealed": True, "families": ["example-twin"], "mass_kg": 4.5,
    }  # fmt: skip
    return (
        _part("BX-EX", "enclosure", "Pack box, sealed", "260.00", box),
        _part("CELL-EX", "cell", "Cell 4.5 Ah", "5.40", cell, quantity=240),
        _part("B-EX", "bms", "Battery management 20s", "390.00", bms),
        _part("CH-EX", "charger", "Charger 1.3 kW, 84 V", "420.00", charger),
        _part("DC-EX", "dcdc", "DC-DC 13.8 V 20 A", "96.00", dcdc),
    )


def path_parts() -> tuple[PartLine, ...]:
    """What the current runs through, and what else the job needs."""
    contactor: dict[str, object] = {
        "max_v": 150,
        "cont_a": 300,
        "make_a": 600,
        "break_a": 3000,
        "coil_v": 12,
        "coil_w": 8,
        "mass_kg": 0.6,
    }
    box: dict[str, object] = {"length_mm": 90, "width_mm": 70, "height_mm": 75}
    fuse: dict[str, object] = {
        "rating_a": 200, "dc_v": 125, "breaking_a": 10000, "clearing_a2s": 150000, "mass_kg": 0.2,
    }  # fmt: skip
    precharge: dict[str, object] = {
        "resistance_ohm": 100,
        "power_w": 50,
        "pulse_j": 200,
        "wait_s": 2,
        "max_v": 150,
        "mass_kg": 0.1,
    }
    battery_cable: dict[str, object] = {
        "circuit": "battery",
        "area_mm2": 50,
        "insulation_c": 150,
        "max_v": 600,
        "ampacity_a": 300,
    }
    phase_cable: dict[str, object] = {
        "circuit": "phase",
        "area_mm2": 35,
        "insulation_c": 150,
        "max_v": 600,
        "ampacity_a": 240,
    }
    plug: dict[str, object] = {"circuit": "battery", "max_v": 150, "cont_a": 250, "peak_a": 400, "mass_kg": 0.3}
    switches: dict[str, object] = {"interlocks": ["kill-switch", "side-stand", "brake-cutoff"], "mass_kg": 0.3}
    lamp: dict[str, object] = {"load_w": 70, "supply_v": 12, "mass_kg": 1.5}
    axle: dict[str, object] = {
        "purpose": "axle", "families": ["example-twin"], "frame_kinds": ["cradle"], "reversible": True,
        "torque_nm": 320, "dropout_mm": 190, "mass_kg": 1.2,
    }  # fmt: skip
    tire: dict[str, object] = {"marking": "130/70-17", "end": "rear", "load_kg": 272, "speed_kmh": 210, "mass_kg": 5}
    return (
        _part("K-EX", "contactor", "Contactor 300 A", "140.00", contactor | box),
        _part("F-EX", "fuse", "Fuse 200 A, 125 V DC", "32.00", fuse),
        _part("P-EX", "precharge", "Pre-charge 100 ohm", "24.00", precharge),
        _part("W50-EX", "cable", "Battery cable 50 mm2", "14.00", battery_cable, quantity=3),
        _part("W35-EX", "cable", "Phase cable 35 mm2", "10.00", phase_cable, quantity=3),
        _part("X-EX", "connector", "Battery plug 250 A", "58.00", plug),
        _part("S-EX", "switch", "Switch set", "74.00", switches),
        _part("L-EX", "lamp", "Lamp set, 12 V", "180.00", lamp),
        _part("A-EX", "adapter", "Torque arms, pair", "160.00", axle),
        _part("TI-EX", "tire", "Rear tire 130/70-17", "120.00", tire),
    )
