"""Faults reported by practitioners: each is found, and silent once repaired.

Source: public practitioner reports, group B, with the figures as reported; the rest of the bike is the sound build.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from quoting.request import Bay
from quoting.result import ProfileRange
from tests.quoting.rules.bike import Bike
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


def held(kmh: float) -> Change:
    """A highway at 105 km/h wished for, on a bike that holds `kmh`."""
    highway = ProfileRange(
        profile="highway", label="Highway", mean_kmh=100, fastest_kmh=105, wh_per_km=95, low_km=60, likely_km=70,
        high_km=80, cold_km=50, aged_km=55, possible=kmh >= 105, limit="" if kmh >= 105 else "continuous power",
    )  # fmt: skip
    return lambda bike: bike.wishing(highway_km=50.0).saying("ride", profiles=(highway,), held_kmh=kmh, top_kmh=120.0)


def bay(length_mm: float) -> Change:
    """One bay of that length for a box of 440 × 250 × 330 mm."""
    return lambda bike: bike.given(bays=(Bay(name="Engine bay", length_mm=length_mm, width_mm=260, height_mm=340),))


def france(bike: Bike) -> Bike:
    """The country sheet of case B41: mass within 20 % of the donor's, power at most the engine's, 3 years old."""
    return bike.registered(code="fr", name="France", mass_share=0.20, power_share=1.0, least_age_years=3)


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
    Fault("B10", "packs-mixed", "stop", lambda b: b.plus("second", "cell", **b.slots["cell"][2]), same),
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
    Fault("B14", "precharge-into-short", "note", spec("precharge", power_w=10), spec("precharge", power_w=150)),
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
    Fault(
        "B31",
        "controller-phase-continuous-over-motor",
        "note",
        spec("controller", phase_cont_a=250),
        spec("controller", phase_cont_a=160),
    ),
    # 20 A in 18 AWG is 24 A per mm², in 10 AWG 3.8 A per mm²
    Fault(
        "B32",
        "motor-lead-section",
        "stop",
        lambda b: b.with_("motor", phase_lead_mm2=AWG_18_MM2).saying("wiring", phase_cont_a=20.0),
        lambda b: b.with_("motor", phase_lead_mm2=AWG_10_MM2).saying("wiring", phase_cont_a=20.0),
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
    # 544 kg less 363 kg leaves 181 kg
    Fault(
        "B40",
        "gross-weight",
        "stop",
        lambda b: b.given(gvwr_kg=544).saying("weight", laden_kg=363.0 + 182),
        lambda b: b.given(gvwr_kg=544).saying("weight", laden_kg=363.0 + 181),
    ),
    # mass within 20 % of the donor's
    Fault(
        "B41",
        "retrofit-mass",
        "check",
        lambda b: france(b).saying("weight", before_kg=181.0, after_kg=249.0),
        lambda b: france(b).saying("weight", before_kg=181.0, after_kg=217.0),
    ),
    Fault(
        "B41",
        "retrofit-power",
        "check",
        lambda b: france(b).given(engine_kw=9),
        lambda b: france(b).given(engine_kw=14),
    ),
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
    Fault("B57", "profile-not-held", "check", held(97), held(106)),
]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.case}-{fault.rule}")
def test_a_reported_fault_is_found(fault: Fault, bike: Bike) -> None:
    assert fault.level in fault.faulty(bike).levels(fault.rule)


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.case}-{fault.rule}")
def test_a_repaired_fault_is_silent(fault: Fault, bike: Bike) -> None:
    repaired = fault.repaired(bike)
    assert repaired.levels(fault.rule) == ()
    assert repaired.lacking(fault.rule) == ()


def test_b6_names_the_sixty_amps(bike: Bike) -> None:
    (finding,) = pouches(bike, 90).said("cell-continuous-current")
    assert finding.limit == pytest.approx(60)
    assert any("60 A or less" in way.text for way in finding.ways_out)


def test_b26_gives_the_resistors_for_a_potentiometer_on_a_hall_input(bike: Bike) -> None:
    """0.7 to 4.0 V at 5 V: 3.3 V over 10 kΩ is 0.33 mA; 0.7 V/0.33 mA = 2.1 kΩ below, 1.0 V/0.33 mA = 3.0 kΩ above."""
    (finding,) = bike.with_("throttle", signal="pot", resistance_kohm=10).said("throttle-signal")
    assert any("2.1 kΩ below and 3.0 kΩ above" in way.text for way in finding.ways_out)


def test_b42_shows_the_ratio_that_would_reach_the_speed(bike: Bike) -> None:
    """13/69 behind 14:1 is 74.31:1; 5000 rpm × 1.45 m is 5.855 km/h; 45 km/h takes 74.31 × 5.855/45 = 9.67:1."""
    slow = bike.mid().wishing(top_kmh=45.0).saying("ride", top_kmh=5.855, overall_ratio=14 * 69 / 13)
    (finding,) = slow.said("wish-top-speed")
    assert any("9.67 to 1" in way.text for way in finding.ways_out)


def test_b52_asks_for_forty_two_kiloohms_at_84_volts(bike: Bike) -> None:
    (finding,) = bike.said("voltage-class-b")
    assert "42.0 kΩ" in finding.explanation


@pytest.mark.parametrize("build", [Bike, lambda: Bike().mid(), lambda: lfp(Bike(), 23).with_("charger", end_v=83.95)])
def test_sound_builds_raise_no_alarm(build: Callable[[], Bike]) -> None:
    """No stop, and at most two checks."""
    bike = build()
    if bike.slots["cell"][2]["chemistry"] == "lfp":  # 23 × 2.5 V = 57.5 V empty, 2.8 V × 23 = 64.4 V to end the ride
        bike = bike.with_("controller", low_cut_v=64.5).with_("bms", low_cell_v=2.6, high_cell_v=3.7)
    levels = [finding.level for finding in replace(bike).findings()]
    assert levels.count("stop") == 0
    assert levels.count("check") <= 2
