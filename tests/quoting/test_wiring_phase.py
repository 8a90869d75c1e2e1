"""What the phase cables lose, as figures, in words, and as a rule."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from quoting.result import WiringFigures
from quoting.setup import Setup
from quoting.wiring import phase_voltage_v, wiring_figures
from tests.quoting.rules.bike import Bike
from tests.quoting.setups import CELL, CONTROLLER, MOTOR, line, pack_of, setup_with, working_text

CABLE = {"circuit": "phase", "area_mm2": 35.0, "insulation_c": 90.0}
# 150 A in the motor's leads; the controller says nothing of phases.
RATED = {**MOTOR, "phase_cont_a": 150.0}
# 35 mm² class 5: 0.554 mΩ/m × (1 + 0.00393 × 55) = 0.673748 mΩ/m at 75 degC
MOHM_PER_M = 0.673748


def wiring_of(*lines, motors: int = 1) -> WiringFigures:
    setup: Setup = setup_with(
        line("cell", CELL, 240), line("motor", RATED, motors), line("controller", CONTROLLER), *lines
    )
    found = wiring_figures(setup, pack_of(setup), None)
    assert found is not None
    return found


def test_drop_between_two_phases_and_heat_in_three() -> None:
    wiring = wiring_of(line("cable", CABLE, 3.6))
    # 3.6 m are 1.2 m a phase: 0.808498 mΩ; √3 × 150 A × 0.808498 mΩ = 0.21006 V; 3 × 150² × 0.808498 mΩ = 54.574 W
    assert wiring.phase_cont_a == 150.0
    assert wiring.phase_drop_v == pytest.approx(0.21006, abs=1e-5)
    assert wiring.phase_loss_w == pytest.approx(54.574, abs=1e-3)
    text = working_text(wiring.workings, "phase_drop_v")
    assert "1.2 m a phase" in text
    assert "(assumed)" in text
    assert "not counted" in text


def test_two_conductors_a_phase_halve_it() -> None:
    # 7.2 m, two side by side: 1.2 m a phase, half the resistance
    wiring = wiring_of(line("cable", CABLE, 7.2, conductors=2))
    assert wiring.phase_drop_v == pytest.approx(0.21006 / 2, abs=1e-5)
    assert wiring.phase_loss_w == pytest.approx(54.574 / 2, abs=1e-3)
    assert "1.2 m a phase, 2 side by side" in working_text(wiring.workings, "phase_drop_v")


def test_a_line_for_each_phase_is_the_same_as_one_line_for_all() -> None:
    apart = wiring_of(*(line("cable", CABLE, 1.2) for _ in range(3)))
    assert apart.phase_drop_v == pytest.approx(0.21006, abs=1e-5)


def test_two_motors_share_the_cable_on_the_quote() -> None:
    # 7.2 m for two motors: 1.2 m a phase each; the same drop, twice the heat
    wiring = wiring_of(line("cable", CABLE, 7.2), motors=2)
    assert wiring.phase_drop_v == pytest.approx(0.21006, abs=1e-5)
    assert wiring.phase_loss_w == pytest.approx(2 * 54.574, abs=1e-3)


@pytest.mark.parametrize("spec", [{**CABLE, "area_mm2": None}, {**CABLE, "circuit": "battery"}])
def test_without_section_or_phase_cable_nothing_is_worked_out(spec) -> None:
    wiring = wiring_of(line("cable", {name: value for name, value in spec.items() if value is not None}, 3.6))
    assert (wiring.phase_drop_v, wiring.phase_loss_w) == (None, None)
    assert {"section of cable", "phase cable"} & set(wiring.missing)


def test_voltage_the_motor_gets() -> None:
    """72 V at 95 % voltage use: the wave between two phases peaks at 68.4 V, a sine of 48.366 V rms."""
    assert phase_voltage_v(72.0, 0.95) == pytest.approx(48.366, abs=1e-3)


# The sound bike: 3 m of phase cable, 1 m a phase, 160 A. 3 % of 48.366 V is 1.45099 V, reached with 5.2358 mΩ a phase:
# with 35 mm² 5.2358/0.673748 = 7.7712 m a phase, 23.314 m on the quote.
def test_the_rule_follows_the_length_of_the_run() -> None:
    bike = Bike()
    assert bike.line("phase cable", quantity=Decimal("23.3")).levels("phase-cable-drop") == ()
    (found,) = bike.line("phase cable", quantity=Decimal("23.4")).said("phase-cable-drop")
    assert found.level == "check"
    assert found.limit == pytest.approx(1.45099, abs=1e-4)
    assert found.value == pytest.approx(math.sqrt(3) * 160 * 7.8 * MOHM_PER_M / 1000, abs=1e-4)
    assert {way.kind for way in found.ways_out} == {"act"}
    assert "between two phases" in found.explanation


def test_a_section_that_is_not_known_is_never_a_pass() -> None:
    assert "wiring.phase_drop_v" in Bike().with_("phase cable", area_mm2=None).lacking("phase-cable-drop")
    assert "controller.modulation" in Bike().with_("controller", modulation=None).lacking("phase-cable-drop")
    assert Bike().without("phase cable").lacking("phase-cable-drop") == ()
