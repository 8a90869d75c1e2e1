"""Rules of thumb of the trade, electrics. Common practice, no source; the tolerance stands at each.

Those of the road are in tests/quoting/ride/test_common_practice.py.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from quoting.charging import Circuit, charge_figures
from quoting.pack import smallest_parallel
from quoting.parts import Cell
from quoting.request import PackPlan, Wishes
from quoting.show import awg_name
from quoting.units import awg_area_mm2
from quoting.wiring import parallel_ohm, solid_ohm_per_m
from tests.quoting.rules.bike import Bike
from tests.quoting.setups import CELL, line, pack_of, setup_with

POWER_CELL = Cell(
    chemistry="nmc", nominal_v=3.6, full_v=4.2, empty_v=2.5, capacity_ah=4.0, cont_a=30.0, peak_a=35.0,
    resistance_mohm=12.0, health_percent=100.0,
)  # fmt: skip


# Common practice, no source: 22 in series of 4 Ah power cells, 26 kW peak: about 4 kWh is the smallest pack. ±15 %.
# At 20 % charge 22 × 3.5 V = 77 V rested; 12 in parallel: 22 mΩ, 377 A at 68.7 V, 31 A a cell; 22 × 12 × 3.6 × 4 Wh.
def test_four_kilowatt_hours_of_power_cells_is_the_least_for_26_kw() -> None:
    parallel = smallest_parallel(22, POWER_CELL, 26_000.0, 10_000.0, 0.2)
    assert parallel is not None
    energy_wh = 22 * parallel * 3.6 * 4.0
    assert energy_wh == pytest.approx(4000, rel=0.15)
    # Said of it: cells that hold 20 A and give 25 A for a moment need more.
    weak = replace(POWER_CELL, cont_a=20.0, peak_a=25.0)
    weaker = smallest_parallel(22, weak, 26_000.0, 10_000.0, 0.2)
    assert weaker is not None
    assert weaker > parallel


# Common practice, no source: the two conductors of a split phase joined into one: two 4 AWG are one 1 AWG. ±1 %.
def test_two_4_awg_are_one_1_awg() -> None:
    joined_mm2 = 2 * awg_area_mm2("4")
    assert joined_mm2 == pytest.approx(awg_area_mm2("1"), rel=0.01)
    assert awg_name(joined_mm2) == "1"
    four, one = solid_ohm_per_m(awg_area_mm2("4"), 20.0), solid_ohm_per_m(awg_area_mm2("1"), 20.0)
    assert parallel_ohm([four, four]) == pytest.approx(one, rel=0.01)


# Common practice, no source: the leads of a 15 kW hub motor of the 72 V class are checked by phase current. A battery
# current of 210 A goes through 25 mm² at 8.4 A per mm²; the phases carry 320 A, 12.8 A per mm².
def test_phase_leads_of_a_15_kw_hub_are_checked_by_phase_current() -> None:
    bike = Bike().with_("motor", cont_kw=15, peak_kw=30, phase_cont_a=320, phase_peak_a=700, phase_lead_mm2=25)
    bike = bike.with_("controller", battery_cont_a=210, phase_cont_a=320, phase_peak_a=650)
    wiring = bike.facts().wiring
    assert wiring is not None
    assert wiring.phase_cont_a == pytest.approx(320)
    (found,) = bike.said("motor-lead-section")
    assert found.value == pytest.approx(320)
    assert found.limit == pytest.approx(25 * 10)  # 10 A per mm²
    assert bike.with_("motor", phase_lead_mm2=32).levels("motor-lead-section") == ()
    assert "stop" in bike.with_("phase cable", ampacity_a=250).levels("phase-cable-current")


# Common practice, no source: a 2.5 kW charger on a household 15 A, 120 V circuit is limited to 1.44 kW. Exact.
def test_a_2_5_kw_charger_on_a_household_circuit_gives_1_44_kw() -> None:
    setup = setup_with(
        line("cell", {**CELL, "charge_a": 5.0}, 240),
        line("charger", {"power_w": 2500.0, "output_a": 35.0, "efficiency": 0.92}),
        plan=PackPlan(series=20, parallel=12),
        wishes=Wishes(circuit_v=120.0, circuit_a=15.0),
    )
    charge = charge_figures(setup, pack_of(setup))
    assert charge is not None
    (case,) = charge.cases
    assert case.ac_w == pytest.approx(1440.0)
    assert case.limited_by == "wall circuit"
    assert Circuit(240.0, 30.0).continuous_w > 2500.0 / 0.92
