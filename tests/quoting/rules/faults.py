"""Faults reported by practitioners: the bike as it was, and repaired.

Source: public practitioner reports, group B, with the figures as reported; the rest of the bike is the sound build.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from quoting.request import Bay, PackPlan
from tests.quoting.rules.bike import Bike, Spec
from tests.quoting.rules.row import Change, spec

AWG_18_MM2, AWG_10_MM2 = 0.823, 5.261  # ASTM B258


@dataclass(frozen=True)
class Fault:
    """One report: the bike as it was, and repaired."""

    case: str
    rule: str
    level: str
    faulty: Change
    repaired: Change


def lfp(bike: Bike, series: int) -> Bike:
    """Iron phosphate cells, 3.65 V full."""
    bike = bike.with_("cell", chemistry="lfp", nominal_v=3.2, full_v=3.65, empty_v=2.5).packed(series=series)
    return bike.with_("bms", chemistries=["lfp"], series_high=30)


def pouches(bike: Bike, controller_a: float) -> Bike:
    """20s2p used pouch cells of 15 Ah: 3C is 45 A each, 90 A new, 60 A at two thirds health."""
    bike = bike.packed(parallel=2).with_("cell", capacity_ah=15, cont_a=45, health_percent=100 * 2 / 3)
    return bike.with_("controller", battery_cont_a=controller_a)


def strong(bike: Bike, cont_kw: float, controller_a: float) -> Bike:
    """A bike for the highway, which is wished for: motor of that continuous power, controller of that current."""
    bike = bike.with_(
        "motor", cont_kw=cont_kw, peak_kw=30, phase_cont_a=400, phase_peak_a=800, peak_torque_nm=400,
        demag_phase_a=1000, max_rpm=1500, kv_rpm_per_v=17,
    )  # fmt: skip
    bike = bike.with_("controller", battery_cont_a=controller_a, battery_peak_a=400, phase_cont_a=390, phase_peak_a=700)
    bike = bike.with_("bms", cont_a=350, peak_a=450).with_("fuse", rating_a=350).with_("plug", cont_a=350, peak_a=450)
    bike = bike.with_("battery cable", ampacity_a=350).with_("contactor", cont_a=350).with_("cell", cont_a=30)
    return bike.wishing(highway_km=20.0)


def weighing(bike: Bike, after_kg: float) -> Bike:
    """A donor of 181 kg that weighs so much when converted: what is removed makes up for what the parts weigh."""
    facts = bike.given(kerb_kg=181.0, removed_kg=80.0).facts()
    assert facts.weight is not None
    assert facts.weight.added_kg is not None
    return bike.given(kerb_kg=181.0, removed_kg=181.0 + facts.weight.added_kg - after_kg)


def geared(bike: Bike, box_ratio: float) -> Bike:
    """Sprockets of 13 and 69 teeth behind a box, 5,000 rpm, a wheel of about 1.42 m; 45 km/h are wished for."""
    bike = bike.mid().with_("motor", gear_ratio=box_ratio, kv_rpm_per_v=74).without("tire")
    bike = bike.with_("chain", motor_teeth=13, wheel_teeth=69).given(rear_tire="90/90-12")
    return bike.wishing(top_kmh=45.0)


def thin_leads(bike: Bike, area_mm2: float) -> Bike:
    """20 A in each phase, through leads of that section."""
    bike = bike.with_("controller", phase_cont_a=20, phase_peak_a=60)
    return bike.with_("motor", phase_cont_a=20, phase_lead_mm2=area_mm2)


def bay(length_mm: float) -> Change:
    """One bay of that length for a box of 440 × 250 × 330 mm."""
    return lambda bike: bike.given(bays=(Bay(name="Engine bay", length_mm=length_mm, width_mm=260, height_mm=340),))


def france(bike: Bike) -> Bike:
    """The country sheet of case B41: mass within 20 % of the donor's, power at most the engine's, 3 years old."""
    return bike.registered(code="fr", name="France", mass_share=0.20, power_share=1.0, least_age_years=3)


def blocks(bike: Bike, groups: int) -> Bike:
    """A pack of five blocks in series, four groups in each, with a block of another count beside them."""
    block: Spec = {
        **bike.slots["cell"][2], "cells_in_series": 4, "nominal_v": 14.4, "full_v": 16.8, "empty_v": 11.2,
        "mass_kg": 0.3, "length_mm": 80, "width_mm": 80, "height_mm": 80, "cont_a": 200, "peak_a": 350,
        "capacity_ah": 54, "charge_a": 54, "diameter_mm": None,
    }  # fmt: skip
    other = {**block, "cells_in_series": groups, "full_v": 4.2 * groups}
    bike = bike.without("cell").plus("blocks", "module", 5, **block).plus("second", "module", **other)
    return replace(bike, plan=replace(bike.plan or PackPlan(series=1, parallel=1), series=5, parallel=1))


def same(bike: Bike) -> Bike:
    return bike


FAULTS = [
    # 63/54.6 = 1.15, 63/50.4 = 1.25
    Fault(
        "B1",
        "pack-full-near-controller-max",
        "check",
        lambda b: b.packed(13).with_("controller", max_v=63),
        lambda b: b.packed(12).with_("controller", max_v=63),
    ),
    Fault("B2", "cell-full-voltage-doubtful", "stop", spec("cell", full_v=3.6), spec("cell", full_v=4.2)),
    # window 70 to 120 % of 72 V: 86.4 V; 21 × 4.2 V = 88.2 V; newer firmware up to 120 V
    Fault(
        "B3",
        "pack-full-over-controller-max",
        "stop",
        lambda b: b.packed(21).with_("controller", max_v=86.4),
        lambda b: b.packed(21).with_("controller", max_v=120),
    ),
    # 1.1 × 80 A = 88 A
    Fault(
        "B5",
        "bms-continuous-current",
        "check",
        lambda b: b.with_("controller", battery_cont_a=80).with_("bms", cont_a=80),
        lambda b: b.with_("controller", battery_cont_a=80).with_("bms", cont_a=88),
    ),
    Fault("B6", "cell-continuous-current", "stop", lambda b: pouches(b, 90), lambda b: pouches(b, 60)),
    # 14 × 4.2 V = 58.8 V
    Fault(
        "B7",
        "charger-end-voltage",
        "stop",
        lambda b: b.packed(14).with_("charger", end_v=84),
        lambda b: b.packed(14).with_("charger", end_v=58.8),
    ),
    # 87.6 V is 3.65 V a cell on 24 and 3.81 V on 23
    Fault(
        "B9",
        "charger-end-voltage",
        "stop",
        lambda b: lfp(b, 23).with_("charger", end_v=87.6),
        lambda b: lfp(b, 24).with_("charger", end_v=87.6),
    ),
    # 3 in series beside 4 in series
    Fault("B10", "packs-mixed", "stop", lambda b: blocks(b, 3), lambda b: blocks(b, 4).without("second")),
    # 750 Ω × 7200 µF = 5.4 s: 63 % after 5.4 s, 5RC = 27 s
    Fault(
        "B11",
        "precharge-time",
        "stop",
        lambda b: b.with_("controller", capacitance_uf=7200).with_("precharge", resistance_ohm=750, wait_s=5.4),
        lambda b: b.with_("controller", capacitance_uf=7200).with_("precharge", resistance_ohm=750, wait_s=27),
    ),
    # 1 kΩ for 72 V and 5 mF: 5RC = 25 s
    Fault(
        "B12",
        "precharge-time",
        "stop",
        spec("precharge", resistance_ohm=1000),
        spec("precharge", resistance_ohm=1000, wait_s=25),
    ),
    # 84² / 50 Ω = 141 W into a shorted stage
    Fault("B14", "precharge-into-short", "check", spec("precharge", power_w=10), spec("precharge", power_w=150)),
    Fault(
        "B15",
        "precharge-missing",
        "stop",
        lambda b: b.without("precharge"),
        lambda b: b.without("precharge").with_("bms", has_precharge=True),
    ),
    Fault("B17", "pack-full-over-fuse-dc", "stop", spec("fuse", dc_v=58), spec("fuse", dc_v=150)),
    Fault("B17", "fuse-breaking-capacity", "stop", spec("fuse", breaking_a=1000), spec("fuse", breaking_a=10000)),
    Fault("B18", "regen-overshoot", "check", spec("controller", regen_a=50), spec("controller", regen_a=0)),
    Fault(
        "B20",
        "regen-over-charge-limit",
        "stop",
        lambda b: b.with_("controller", regen_a=60).with_("bms", charge_a=30),
        lambda b: b.with_("controller", regen_a=30).with_("bms", charge_a=30),
    ),
    Fault("B22", "hub-torque-arms", "stop", lambda b: b.without("torque arms"), same),
    Fault("B22", "torque-arm-strength", "stop", spec("torque arms", torque_nm=40), spec("torque arms", torque_nm=250)),
    Fault(
        "B23",
        "hub-width",
        "stop",
        lambda b: b.with_("motor", dropout_mm=135).with_("torque arms", dropout_mm=100),
        lambda b: b.with_("motor", dropout_mm=135).with_("torque arms", dropout_mm=135),
    ),
    Fault(
        "B25",
        "throttle-signal",
        "stop",
        spec("controller", throttles=["pot"]),
        spec("controller", throttles=["hall", "pot"]),
    ),
    Fault("B25", "throttle-range-high", "check", spec("throttle", high_v=4.3), spec("throttle", high_v=3.6)),
    Fault("B26", "throttle-signal", "stop", spec("throttle", signal="pot", resistance_kohm=10), same),
    Fault(
        "B28", "throttle-does-not-close", "stop", spec("throttle", has_cutoff=False), spec("throttle", has_cutoff=True)
    ),
    Fault("B28", "kill-switch-missing", "stop", spec("switches", interlocks=["brake-cutoff", "side-stand"]), same),
    Fault("B29", "kill-switch-missing", "stop", lambda b: b.without("switches"), same),
    Fault("B29", "brake-cutoff-missing", "stop", lambda b: b.without("switches"), same),
    # A controller that holds 80 A for good on a bike whose motor would hold the highway.
    Fault("B31", "profile-not-held", "check", lambda b: strong(b, 20, 80), lambda b: strong(b, 20, 280)),
    # 20 A in 18 AWG is 24 A per mm², in 10 AWG 3.8 A per mm²
    Fault(
        "B32",
        "motor-lead-section",
        "stop",
        lambda b: thin_leads(b, AWG_18_MM2),
        lambda b: thin_leads(b, AWG_10_MM2),
    ),
    Fault(
        "B35",
        "pack-full-over-dcdc-max",
        "stop",
        spec("dcdc", input_low_v=36, input_high_v=60),
        spec("dcdc", input_low_v=45, input_high_v=105),
    ),
    Fault("B35", "dcdc-min-over-pack-empty", "stop", spec("dcdc", input_low_v=62), spec("dcdc", input_low_v=56)),
    Fault("B37", "donor-system-voltage", "check", lambda b: b.given(system_v=6), same),
    # 12 × 10 A = 120 A, 12 × 45 A = 540 A
    Fault(
        "B38",
        "cell-peak-current",
        "stop",
        spec("cell", capacity_ah=2, peak_a=10),
        spec("cell", capacity_ah=4.2, peak_a=45),
    ),
    Fault("B39", "bms-senses-no-groups", "stop", spec("bms", senses_each_group=False), same),
    # 249 kg before the rider; a rider of 80 kg with 10 kg of luggage makes it 339 kg
    Fault(
        "B40",
        "gross-weight",
        "stop",
        lambda b: weighing(b, 249).given(gvwr_kg=338),
        lambda b: weighing(b, 249).given(gvwr_kg=340),
    ),
    # mass within 20 % of the donor's
    Fault(
        "B41",
        "retrofit-mass",
        "check",
        lambda b: france(weighing(b, 249)),
        lambda b: france(weighing(b, 217)),
    ),
    Fault(
        "B41",
        "retrofit-power",
        "check",
        lambda b: france(b).given(engine_kw=9),
        lambda b: france(b).given(engine_kw=14),
    ),
    # 5,000 rpm × 1.42 m ÷ (14 × 69/13) is 5.7 km/h; a box of 1.75:1, 9.3:1 overall, reaches 45 km/h
    Fault("B42", "wish-top-speed", "check", lambda b: geared(b, 14), lambda b: geared(b, 1.75)),
    Fault("B45", "enclosure-in-bay", "stop", bay(408), bay(440)),
    # 15 A breaker carries 12 A for hours
    Fault(
        "B48",
        "wall-circuit-overloaded",
        "check",
        lambda b: b.wishing(circuit_v=120, circuit_a=15).with_("charger", input_a=14),
        lambda b: b.wishing(circuit_v=120, circuit_a=15).with_("charger", input_a=12),
    ),
    Fault("B49", "charging-below-cell-cold-limit", "stop", spec("bms", charge_low_c=-5), spec("bms", charge_low_c=2)),
    Fault("B51", "throttle-not-isolated", "check", spec("controller", throttle_isolated=False), same),
    Fault("B51", "dcdc-not-isolated", "stop", spec("dcdc", isolated=False), same),
    # 14 × 3.0 V = 42 V
    Fault(
        "B53",
        "low-cut-under-cell-floor",
        "check",
        lambda b: b.packed(14).with_("controller", low_cut_v=40),
        lambda b: b.packed(14).with_("controller", low_cut_v=42),
    ),
    Fault("B57", "profile-not-held", "check", lambda b: strong(b, 8, 280), lambda b: strong(b, 20, 280)),
]
