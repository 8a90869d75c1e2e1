"""Rows for current, fuse, cables, contactor and pre-charge."""

from __future__ import annotations

from tests.quoting.rules.bike import Bike
from tests.quoting.rules.row import Row, says, spec

AWG_1_0_MM2 = 53.4751  # ASTM B258; NEC 2023 table 310.16: 170 A at 90 degC, × 0.91 at 40 degC = 154.7 A


def by_table(bike: Bike) -> Bike:
    """Battery cable of 1/0 AWG without its maker's figure."""
    return bike.with_("battery cable", ampacity_a=None, area_mm2=AWG_1_0_MM2, insulation_c=90)


def joined(bike: Bike, rating_a: float) -> Bike:
    """Two battery conductors of 25 mm² side by side, rated 60 A each by their maker, behind a fuse."""
    bike = bike.with_("battery cable", area_mm2=25, ampacity_a=60).line("battery cable", conductors=2)
    return bike.with_("fuse", rating_a=rating_a)


ROWS = [
    # 12 × 20 A = 240 A
    Row(
        "cell-continuous-current",
        "stop",
        spec("controller", battery_cont_a=240.1),
        spec("controller", battery_cont_a=240),
        240.1,
        240,
    ),
    # 12 × 20 A × 0.50 = 120 A; × 0.49 = 117.6 A
    Row(
        "cell-continuous-current", "stop", spec("cell", health_percent=49), spec("cell", health_percent=50), 120, 117.6
    ),
    # 12 × 35 A = 420 A
    Row(
        "cell-peak-current",
        "stop",
        spec("controller", battery_peak_a=421),
        spec("controller", battery_peak_a=420),
        421,
        420,
    ),
    # 1.1 × 120 A = 132 A
    Row("bms-continuous-current", "check", spec("bms", cont_a=131.9), spec("bms", cont_a=132), 131.9, 132),
    Row("bms-continuous-current", "stop", spec("bms", cont_a=119.9), spec("bms", cont_a=132), 119.9, 132),
    Row("bms-peak-current", "stop", spec("bms", peak_a=199), spec("bms", peak_a=200), 199, 200),
    Row(
        "controller-phase-demagnetises",
        "stop",
        spec("motor", demag_phase_a=380),
        spec("motor", demag_phase_a=380.1),
        380,
        380,
    ),
    Row(
        "controller-phase-over-motor-peak",
        "check",
        spec("motor", phase_peak_a=379),
        spec("motor", phase_peak_a=380),
        380,
        379,
    ),
    # 0.75 × 400 A = 300 A
    Row(
        "controller-phase-short-of-motor",
        "note",
        spec("controller", phase_peak_a=299),
        spec("controller", phase_peak_a=300),
        299,
        300,
    ),
    Row(
        "controller-phase-continuous-over-motor",
        "note",
        spec("controller", phase_cont_a=181),
        spec("controller", phase_cont_a=180),
        181,
        180,
    ),
    # 160 A over 10 A a mm² = 16 mm²; over 20 A a mm² = 8 mm²
    Row("motor-lead-section", "check", spec("motor", phase_lead_mm2=15.9), spec("motor", phase_lead_mm2=16), 160, 159),
    Row("motor-lead-section", "stop", spec("motor", phase_lead_mm2=7.9), spec("motor", phase_lead_mm2=16), 160, 79),
    Row(
        "pack-heats-in-use",
        "note",
        says("pack", heat_minutes=29.0, heat_steady_c=70.0),
        says("pack", heat_minutes=30.0, heat_steady_c=70.0),
        29,
        30,
    ),
    # 1.25 × 140 A = 175 A
    Row(
        "fuse-under-steady-current",
        "check",
        says("wiring", battery_cont_a=141.0),
        says("wiring", battery_cont_a=140.0),
        175,
        176.25,
    ),
    Row(
        "fuse-under-steady-current",
        "stop",
        says("wiring", battery_cont_a=176.0),
        says("wiring", battery_cont_a=140.0),
        175,
        220,
    ),
    # 2 × 175 A = 350 A
    Row(
        "fuse-under-peak-current",
        "check",
        spec("controller", battery_peak_a=351),
        spec("controller", battery_peak_a=350),
        351,
        350,
    ),
    # 84 V / 0.021 Ω = 4000 A
    Row("fuse-breaking-capacity", "stop", spec("fuse", breaking_a=3999), spec("fuse", breaking_a=4000), 3999, 4000),
    Row("fuse-over-cable", "stop", spec("fuse", rating_a=251), spec("fuse", rating_a=250), 251, 250),
    # by the table a check up to 1.5 × 154.7 A = 232.05 A
    Row("fuse-over-cable", "check", spec("fuse", rating_a=232), spec("fuse", rating_a=154.6), 232, 154.7, by_table),
    Row("fuse-over-cable", "stop", spec("fuse", rating_a=233), spec("fuse", rating_a=154.6), 233, 154.7, by_table),
    # IEC 60364-4-43: 115² × 16² = 3.386e6 A²s with PVC
    Row(
        "fuse-clearing-over-cable",
        "stop",
        spec("fuse", clearing_a2s=3.390e6),
        spec("fuse", clearing_a2s=3.380e6),
        3.390e6,
        None,
        spec("battery cable", area_mm2=16, insulation_c=75),
    ),
    Row(
        "battery-cable-current",
        "stop",
        says("wiring", battery_cont_a=251.0),
        says("wiring", battery_cont_a=250.0),
        251,
        250,
    ),
    Row(
        "battery-cable-current",
        "check",
        says("wiring", battery_cont_a=155.0),
        says("wiring", battery_cont_a=154.6),
        155,
        154.7,
        by_table,
    ),
    Row(
        "phase-cable-current", "stop", says("wiring", phase_cont_a=201.0), says("wiring", phase_cont_a=200.0), 201, 200
    ),
    Row(
        "charge-cable-current",
        "stop",
        spec("charge cable", ampacity_a=15.9),
        spec("charge cable", ampacity_a=16),
        16,
        15.9,
    ),
    # the same cable's table value as a phase cable, and 10 AWG at 90 degC, 40 A × 0.91 = 36.4 A, as a charge cable
    Row(
        "phase-cable-current",
        "check",
        says("wiring", phase_cont_a=155.0),
        says("wiring", phase_cont_a=154.6),
        155,
        154.7,
        spec("phase cable", ampacity_a=None, area_mm2=AWG_1_0_MM2, insulation_c=90),
    ),
    Row(
        "charge-cable-current",
        "check",
        spec("charger", output_a=36.5),
        spec("charger", output_a=36.3),
        36.5,
        36.4,
        spec("charge cable", ampacity_a=None, area_mm2="10 AWG", insulation_c=90),
    ),
    # 1.5 × 250 A = 375 A
    Row(
        "battery-cable-peak",
        "check",
        spec("controller", battery_peak_a=376),
        spec("controller", battery_peak_a=375),
        376,
        375,
    ),
    # 3 % of 72 V = 2.16 V
    Row(
        "battery-cable-drop",
        "check",
        says("wiring", battery_drop_v=2.17),
        says("wiring", battery_drop_v=2.16),
        2.17,
        2.16,
    ),
    # 3 % of 0.95 × 72 V / √2 = 48.366 V is 1.45099 V between two phases
    Row(
        "phase-cable-drop",
        "check",
        says("wiring", phase_drop_v=1.4515),
        says("wiring", phase_drop_v=1.4509),
        1.4515,
        1.45099,
    ),
    Row(
        "cable-sections-differ",
        "check",
        lambda b: b.plus(
            "second cable", "cable", circuit="battery", area_mm2=35, insulation_c=150, max_v=600, ampacity_a=200
        ),
        lambda b: b.plus(
            "second cable", "cable", circuit="battery", area_mm2=50, insulation_c=150, max_v=600, ampacity_a=250
        ),
    ),
    # two of 60 A carry less than 120 A together, so each counts for less than 60 A
    Row("parallel-cable-outlives-fuse", "note", lambda b: joined(b, 60), lambda b: joined(b, 30), 60),
    Row(
        "connector-current",
        "stop",
        says("wiring", battery_cont_a=201.0),
        says("wiring", battery_cont_a=200.0),
        201,
        200,
    ),
    Row(
        "connector-current",
        "stop",
        spec("plug", circuit="charge", cont_a=15),
        spec("plug", circuit="charge", cont_a=16),
        16,
        15,
    ),
    Row("connector-peak", "check", spec("plug", peak_a=199), spec("plug", peak_a=200), 200, 199),
    Row(
        "contactor-continuous",
        "stop",
        says("wiring", battery_cont_a=251.0),
        says("wiring", battery_cont_a=250.0),
        251,
        250,
    ),
    Row("contactor-breaking", "check", spec("contactor", break_a=199), spec("contactor", break_a=200), 200, 199),
    # 5 % × 84 V / 0.021 Ω = 200 A
    Row("contactor-making", "check", spec("contactor", make_a=199), spec("contactor", make_a=200), 200, 199),
    # 13.8 V is 120 % of 11.5 V and 80 % of 17.25 V
    Row("contactor-coil-voltage", "stop", spec("contactor", coil_v=11.4), spec("contactor", coil_v=11.5)),
    Row("contactor-coil-voltage", "stop", spec("contactor", coil_v=17.3), spec("contactor", coil_v=17.25)),
    # from 56 V empty to 84 V full is within 80 to 120 % of 70 V, and not of 69 V
    Row("contactor-coil-voltage", "stop", spec("contactor", coil_v=69), spec("contactor", coil_v=70)),
    Row(
        "precharge-missing",
        "stop",
        lambda b: b.without("precharge"),
        lambda b: b.without("precharge").with_("bms", has_precharge=True),
    ),
    # 50 Ω × 5 mF = 0.25 s: 95 % after 3.00 × 0.25 = 0.749 s, 99 % after 4.605 × 0.25 = 1.151 s
    Row("precharge-time", "note", spec("precharge", wait_s=1.15), spec("precharge", wait_s=1.152), 1.15, 1.1513),
    Row("precharge-time", "stop", spec("precharge", wait_s=0.74), spec("precharge", wait_s=1.152), 0.74, 0.7489),
    # ½ × 5 mF × 84² = 17.64 J
    Row("precharge-energy", "stop", spec("precharge", pulse_j=17.6), spec("precharge", pulse_j=17.64), 17.64, 17.6),
    # 84² / 50 Ω = 141.12 W
    # 84² V² / 50 Ω = 141.12 W; for 2 s 282.24 J
    Row(
        "precharge-into-short", "check", spec("precharge", power_w=141), spec("precharge", power_w=141.12), 141.12, 141
    ),
    Row(
        "precharge-into-short",
        "check",
        spec("precharge", power_w=10, pulse_j=282.2),
        None,
        141.12,
        10,
    ),
    Row("precharge-into-short", "note", spec("precharge", power_w=141, pulse_j=282.24), None, 141.12, 141),
]
