"""Cables, fuse, pre-charge and insulation of an option."""

from __future__ import annotations

import pytest

from quoting.request import PackPlan, PartLine
from quoting.result import BandPoint, RideFigures, WiringFigures
from quoting.setup import Setup
from quoting.wiring import (
    ampacity_a,
    ohm_per_m,
    parallel_ohm,
    precharged_share,
    standard_fuse_a,
    wiring_figures,
)
from tests.quoting.rules.bike import Bike
from tests.quoting.setups import BMS, CELL, CONTROLLER, MOTOR, line, pack_of, setup_with, working_text

CELLS = line("cell", CELL, 240)
DRIVE = (CELLS, line("motor", MOTOR), line("controller", CONTROLLER))
CABLE = {"circuit": "battery", "area_mm2": 35.0, "insulation_c": 90.0}


def wiring_of(setup: Setup, ride: RideFigures | None = None) -> WiringFigures:
    found = wiring_figures(setup, pack_of(setup), ride)
    assert found is not None
    return found


def test_without_a_pack_there_is_no_wiring_to_work_out() -> None:
    assert wiring_figures(setup_with(line("motor", MOTOR), plan=None), None, None) is None


def test_drop_and_loss_along_the_battery_cable() -> None:
    wiring = wiring_of(setup_with(*DRIVE, line("cable", CABLE, 3)))
    # steady current: 10 kW at 20 % charge: I = 20000/(70.2 + √(70.2² − 4·0.026·10000)) = 20000/132.5542 = 150.8817 A
    # 3 m of 35 mm2: 0.554 mΩ/m × 3 × (1 + 0.00393 × 55) = 2.02125 mΩ at 75 degC
    assert wiring.battery_cont_a == pytest.approx(150.8817, abs=1e-4)
    assert wiring.battery_drop_v == pytest.approx(0.30497, abs=1e-5)
    assert wiring.battery_loss_w == pytest.approx(46.015, abs=1e-3)
    assert wiring.battery_area_mm2 == 35.0
    assert "(assumed)" in working_text(wiring.workings, "battery_drop_v")


def test_conductors_side_by_side_share_the_length_and_carry_as_one() -> None:
    wiring = wiring_of(setup_with(*DRIVE, line("cable", {**CABLE, "area_mm2": "4 AWG"}, 6, conductors=2)))
    # two 4 AWG: 2 × 21.1506 = 42.301 mm2, as one 1 AWG (42.408): 145 A at 30 degC, × 0.91 at 40 degC = 131.95
    assert wiring.battery_area_mm2 == pytest.approx(42.301, abs=1e-3)
    assert wiring.battery_ampacity_a == pytest.approx(131.95, rel=0.002)
    # 6 m of conductor are two loops of 3 m: 1.02/58/42.301 × 3 × 1.21615 = 1.51680 mΩ
    assert wiring.battery_drop_v == pytest.approx(150.8817 * 1.51680e-3, abs=1e-4)


def test_the_makers_current_goes_before_the_table_and_grows_with_it_side_by_side() -> None:
    one = wiring_of(setup_with(*DRIVE, line("cable", {**CABLE, "ampacity_a": 180.0}, 3)))
    assert one.battery_ampacity_a == 180.0
    two = wiring_of(setup_with(*DRIVE, line("cable", {**CABLE, "ampacity_a": 180.0}, 6, conductors=2)))
    single, double = ampacity_a(35.0, 90.0, 30.0), ampacity_a(35.0, 90.0, 30.0, 2)
    assert single is not None
    assert double is not None
    assert 1.0 < double / single < 2.0
    assert two.battery_ampacity_a == pytest.approx(180.0 * double / single)


def test_cables_one_after_another_add_up_and_the_weakest_counts() -> None:
    thin = {**CABLE, "area_mm2": 16.0}
    wiring = wiring_of(setup_with(*DRIVE, line("cable", CABLE, 2), line("cable", thin, 1)))
    # (2 × 0.554 + 1 × 1.21) mΩ × 1.21615 = 2.81901 mΩ
    assert wiring.battery_drop_v == pytest.approx(150.8817 * 2.81901e-3, abs=1e-4)
    assert wiring.battery_area_mm2 == 16.0
    assert wiring.battery_ampacity_a == ampacity_a(16.0, 90.0)


@pytest.mark.parametrize(
    ("spec", "named"),
    [
        ({"circuit": "battery", "insulation_c": 90.0}, "section of cable"),
        ({"circuit": "battery", "area_mm2": 35.0}, "insulation temperature or maker's current of cable"),
    ],
)
def test_a_cable_without_its_figures_carries_nothing_known(spec, named: str) -> None:
    wiring = wiring_of(setup_with(*DRIVE, line("cable", spec, 3)))
    assert wiring.battery_ampacity_a is None
    assert named in wiring.missing


def test_no_cable_is_missing_not_fine() -> None:
    wiring = wiring_of(setup_with(*DRIVE))
    assert (wiring.battery_ampacity_a, wiring.battery_drop_v) == (None, None)
    assert {"battery cable", "phase cable", "pre-charge"} <= set(wiring.missing)


def test_the_fuse_is_a_quarter_over_the_steady_current_rounded_up() -> None:
    wiring = wiring_of(setup_with(*DRIVE))
    assert wiring.fuse_least_a == pytest.approx(188.602, abs=1e-3)  # 1.25 × 150.8817
    assert wiring.fuse_standard_a == 200.0
    assert (standard_fuse_a(200.0), standard_fuse_a(200.1), standard_fuse_a(2001.0)) == (200.0, 225.0, None)


def test_without_motor_power_the_held_speed_or_the_controller_gives_the_current() -> None:
    point = BandPoint(
        kmh=90.0, low_km=1, likely_km=1, high_km=1, battery_w=7200.0, wheel_need_w=1, wheel_peak_w=1, wheel_held_w=1
    )
    parts = (CELLS, line("controller", CONTROLLER))
    ride = RideFigures(held_kmh=91.0, band=(point,))
    assert wiring_of(setup_with(*parts), ride).battery_cont_a == pytest.approx(100.0)  # 7200 / 72
    assert wiring_of(setup_with(*parts)).battery_cont_a == 200.0
    bare = wiring_of(setup_with(CELLS))
    assert bare.battery_cont_a is None
    assert "motor continuous power or controller continuous battery current" in bare.missing


def test_phase_current_is_the_lower_of_motor_and_controller() -> None:
    phase = line("cable", {**CABLE, "circuit": "phase"}, 3)

    def parts(motor_a: float | None, controller_a: float | None) -> tuple[PartLine, ...]:
        return (
            CELLS,
            line("motor", {**MOTOR, "phase_cont_a": motor_a}),
            line("controller", {**CONTROLLER, "phase_cont_a": controller_a}),
            phase,
        )

    assert wiring_of(setup_with(*parts(150.0, 200.0))).phase_cont_a == 150.0
    assert wiring_of(setup_with(*parts(150.0, 120.0))).phase_cont_a == 120.0
    assert wiring_of(setup_with(*parts(None, 120.0))).phase_cont_a == 120.0
    unknown = wiring_of(setup_with(*parts(None, None)))
    assert unknown.phase_cont_a is None
    assert "continuous phase current of motor or controller" in unknown.missing


def test_phase_current_from_the_torque_constant_is_marked_assumed() -> None:
    motor = {**MOTOR, "kv_rpm_per_v": 10.0, "nominal_v": 72.0, "torque_nm_per_a": 0.8}
    wiring = wiring_of(setup_with(CELLS, line("motor", motor)))
    # 10 × 72 × 0.8 = 576 rpm = 60.319 rad/s; 8000 W / 60.319 = 132.629 N m; / 0.8 = 165.786 A
    assert wiring.phase_cont_a == pytest.approx(165.786, abs=1e-3)
    assert "(assumed)" in working_text(wiring.workings, "phase_cont_a")


def test_the_motors_own_lead_counts_when_the_maker_states_no_current() -> None:
    phase = line("cable", {**CABLE, "circuit": "phase"}, 3)
    thin = {**MOTOR, "phase_lead_mm2": 5.26}
    narrow = wiring_of(setup_with(CELLS, line("motor", thin), phase))
    # public practitioner report, case B32: the narrowest section decides; 10 AWG at 90 degC, 40 degC around: 40 × 0.91
    assert narrow.phase_area_mm2 == 5.26
    assert narrow.phase_ampacity_a == pytest.approx(36.4, rel=0.002)
    rated = wiring_of(setup_with(CELLS, line("motor", {**thin, "phase_cont_a": 120.0}), phase))
    assert rated.phase_area_mm2 == 35.0


def test_precharge_of_the_controllers_capacitors() -> None:
    parts = (line("controller", {**CONTROLLER, "capacitance_uf": 5000.0}), line("precharge", {"resistance_ohm": 50.0}))
    wiring = wiring_of(setup_with(CELLS, *parts))
    # R·C = 0.25 s; ln 20 = 2.99573, ln 100 = 4.60517; ½ × 0.005 × 84² = 17.64 J; 84²/50 = 141.12 W
    assert wiring.precharge_95_s == pytest.approx(0.748933, abs=1e-6)
    assert wiring.precharge_99_s == pytest.approx(1.151293, abs=1e-6)
    assert wiring.precharge_energy_j == pytest.approx(17.64)
    assert wiring.precharge_peak_w == pytest.approx(141.12)


def test_two_controllers_have_twice_the_capacitors() -> None:
    controllers = line("controller", {**CONTROLLER, "capacitance_uf": 5000.0}, 2)
    wiring = wiring_of(setup_with(CELLS, controllers, line("precharge", {"resistance_ohm": 50.0})))
    assert wiring.precharge_energy_j == pytest.approx(35.28)


@pytest.mark.parametrize(
    ("parts", "named"),
    [
        ((line("controller", CONTROLLER), line("precharge", {"resistance_ohm": 50.0})), "controller input capacitance"),
        ((line("controller", {"capacitance_uf": 5000.0}), line("precharge", {})), "pre-charge resistance"),
        ((line("bms", {**BMS, "has_precharge": True}),), "resistance of the battery management's pre-charge"),
        ((), "pre-charge"),
    ],
)
def test_a_precharge_that_cannot_be_worked_out_is_named(parts, named: str) -> None:
    wiring = wiring_of(setup_with(CELLS, *parts))
    assert wiring.precharge_95_s is None
    assert named in wiring.missing


def test_a_contactor_closed_too_early_meets_half_the_voltage() -> None:
    # Public practitioner report, case B11: 144 V, 7200 µF, 750 Ω; after 5.4 s (one time constant) 91 V
    assert 144 * precharged_share(5.4, 750.0, 7200e-6) == pytest.approx(91.0, abs=0.1)


def test_insulation_is_500_ohm_per_volt_of_the_full_pack() -> None:
    wiring = wiring_of(setup_with(CELLS))
    assert wiring.insulation_ohm == pytest.approx(42000.0)  # 84 × 500; public practitioner report, case B52
    assert "8.4 kΩ" in working_text(wiring.workings, "insulation_ohm")
    unknown = wiring_of(setup_with(line("cell", {"nominal_v": 3.6}, 20), plan=PackPlan(series=20, parallel=1)))
    assert unknown.insulation_ohm is None
    assert "pack full voltage" in unknown.missing


def test_parallel_conductors_and_sections_off_the_tables() -> None:
    assert parallel_ohm([2.0, 2.0]) == pytest.approx(1.0)
    assert parallel_ohm([1.0, 2.0, 2.0]) == pytest.approx(0.5)
    with pytest.raises(ValueError, match="no conductor"):
        parallel_ohm([])
    assert ohm_per_m(30.0) == pytest.approx(1.02 / 58 / 30)  # no standard section: stranded copper of that area
    assert ampacity_a(0.5, 90.0) is None
    assert ampacity_a(1.5, 75.0) is None
    assert ampacity_a(35.0, 59.0) is None
    assert ampacity_a(35.0, 200.0) == ampacity_a(35.0, 90.0)
    assert ampacity_a(300.0, 90.0, 30.0) == pytest.approx(430.0)  # above 500 kcmil counts as that


def test_contactor_connectors_and_converter_show_their_working() -> None:
    """84 V full and 21 mΩ: 0.05 × 84 / 0.021 = 200 A; 70 W of lamps, 4 W display, 8 W coil = 82 W of 13.8 V × 20 A."""
    bike = Bike().plus("charge plug", "connector", circuit="charge", cont_a=32, max_v=150)
    wiring = bike.facts().wiring
    assert wiring is not None
    assert wiring.contactor_step_a == pytest.approx(200.0)
    assert wiring.dcdc_load_w == pytest.approx(82.0)
    assert wiring.dcdc_output_w == pytest.approx(276.0)
    shown = {working.figure: working for working in wiring.workings}
    assert dict(shown["contactor_step_a"].inputs)["breaks"] == "2,000 A, 200 A at peak"
    # 119 A of 200 A in the battery plug, 16 A of 32 A in the charge plug
    assert dict(shown["connectors"].inputs) == {
        "plug": "battery: 119 A of 200 A",
        "charge plug": "charge: 16 A of 32 A",
    }
    assert shown["connectors"].result == "59 % of the hardest worked one"
    assert shown["dcdc_load_w"].result == "82 W of 221 W"


def test_a_converter_is_asked_for_the_shops_figure_at_least() -> None:
    lit = Bike().under(auxiliary_w=120.0).facts().wiring
    assert lit is not None
    assert lit.dcdc_load_w == pytest.approx(120.0)


def test_joints_without_their_specs_are_not_worked_out() -> None:
    bike = Bike().with_("cell", resistance_mohm=None).with_("lamps", load_w=None).with_("plug", cont_a=None)
    wiring = bike.facts().wiring
    assert wiring is not None
    assert (wiring.contactor_step_a, wiring.dcdc_load_w) == (None, None)
    assert {"contactor_step_a", "dcdc_load_w", "connectors"} & {working.figure for working in wiring.workings} == set()
