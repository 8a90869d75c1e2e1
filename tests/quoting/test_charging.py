"""Charging times and what limits them."""

from __future__ import annotations

import pytest

from quoting.charging import ChargedPack, Circuit, charge_figures, charge_h, pilot_amps
from quoting.request import Wishes
from quoting.result import ChargeFigures
from quoting.setup import Setup
from tests.quoting.setups import BMS, CELL, line, pack_of, setup_with

CELLS = line("cell", CELL, 240)
CHARGER = {
    "power_w": 3000.0,
    "output_a": 40.0,
    "input_a": 16.0,
    "input_low_v": 90.0,
    "input_high_v": 264.0,
    "efficiency": 0.9,
}
PACK = ChargedPack(chemistry="nmc", full_v=84.0, empty_v=50.0, series_cells=20, capacity_ah=60.0, resistance_ohm=0.026)


def charging_of(setup: Setup) -> ChargeFigures:
    found = charge_figures(setup, pack_of(setup))
    assert found is not None
    return found


def test_the_usual_circuits_of_each_set_of_units() -> None:
    parts = (CELLS, line("charger", CHARGER))
    assert [case.circuit for case in charging_of(setup_with(*parts, units="us")).cases] == ["120 V 15 A", "240 V 30 A"]
    assert [case.circuit for case in charging_of(setup_with(*parts, units="metric")).cases] == ["230 V 16 A"]


def test_the_customers_circuit_goes_before_the_usual_ones() -> None:
    setup = setup_with(CELLS, line("charger", CHARGER), wishes=Wishes(circuit_v=230.0, circuit_a=10.0))
    (case,) = charging_of(setup).cases
    assert case.circuit == "230 V 10 A"
    assert case.ac_w == pytest.approx(1840.0)  # 230 × 10 × 0.8
    assert case.limited_by == "wall circuit"
    # 1656 W into 73.8 V at half charge: I·(73.8 + 0.026·I) = 1656: I = 22.265 A
    assert case.dc_a == pytest.approx(22.265, abs=1e-3)


@pytest.mark.parametrize(
    ("charger", "parts", "limited_by", "ac_w"),
    [
        # 120 V: the circuit gives 120 × 15 × 0.8 = 1440 W
        ({}, (), "wall circuit", 1440.0),
        ({"input_a": 8.0}, (), "charger input", 960.0),  # 120 × 8
        ({"power_w": 720.0}, (), "charger output", 800.0),  # 720 / 0.9
    ],
)
def test_the_wall_side_limits(charger, parts, limited_by: str, ac_w: float) -> None:
    case = charging_of(setup_with(CELLS, line("charger", {**CHARGER, **charger}), *parts, units="us")).cases[0]
    assert (case.limited_by, case.ac_w) == (limited_by, pytest.approx(ac_w))  # type: ignore[comparison-overlap]


@pytest.mark.parametrize(
    ("parts", "limited_by", "dc_a"),
    [
        ((), "cells", 30.0),  # 12 × 2.5
        ((line("bms", {**BMS, "charge_a": 20.0}),), "BMS", 20.0),
        ((line("connector", {"circuit": "charge", "cont_a": 15.0}),), "charge connector", 15.0),
        ((line("cable", {"circuit": "charge", "ampacity_a": 12.0}, 1),), "charge cable", 12.0),
        ((line("connector", {"circuit": "battery", "cont_a": 15.0}),), "cells", 30.0),
    ],
)
def test_the_pack_side_limits(parts, limited_by: str, dc_a: float) -> None:
    case = charging_of(setup_with(CELLS, line("charger", CHARGER), *parts, units="us")).cases[1]
    assert (case.limited_by, case.dc_a) == (limited_by, dc_a)


def test_a_current_limit_lowers_what_is_drawn_from_the_wall() -> None:
    parts = (CELLS, line("charger", CHARGER), line("bms", {**BMS, "charge_a": 10.0}))
    case = charging_of(setup_with(*parts, units="us")).cases[1]
    # 10 A at half charge: of 3000 W the charger could drive 40.08 A; 3333 W × 10/40.08 = 831.6 W
    assert case.ac_w == pytest.approx(831.6, abs=0.5)
    assert case.full_h > 6.0  # 60 Ah at 10 A and a taper


def test_two_chargers_give_twice_until_something_else_limits() -> None:
    one = charging_of(setup_with(CELLS, line("charger", {**CHARGER, "power_w": 600.0}), units="us")).cases[1]
    two = charging_of(setup_with(CELLS, line("charger", {**CHARGER, "power_w": 600.0}, 2), units="us")).cases[1]
    assert one.most_h / two.most_h == pytest.approx(2.0, rel=0.01)


def test_a_circuit_the_charger_cannot_take_gives_no_case() -> None:
    charger = {**CHARGER, "input_low_v": 200.0}
    assert [case.circuit for case in charging_of(setup_with(CELLS, line("charger", charger), units="us")).cases] == [
        "240 V 30 A"
    ]


def test_no_pack_no_charger_and_missing_figures() -> None:
    assert charge_figures(setup_with(line("charger", CHARGER), plan=None), None) is None
    assert charging_of(setup_with(CELLS)).missing == ("charger",)
    cell = {name: value for name, value in CELL.items() if name != "charge_a"}
    lacking = charging_of(setup_with(line("cell", cell, 240), line("charger", CHARGER)))
    assert (lacking.cases, lacking.missing) == ((), ("charge current of cells and battery management",))
    powerless = charging_of(setup_with(CELLS, line("charger", {"efficiency": 0.9})))
    assert (powerless.cases, powerless.missing) == ((), ("charger output power",))
    bare = charging_of(setup_with(line("cell", {**CELL, "chemistry": None}, 240), line("charger", CHARGER)))
    assert (bare.cases, bare.missing) == ((), ("pack chemistry",))
    plug = line("connector", {"circuit": "charge"}, name="inlet")
    assert "continuous current of inlet" in charging_of(setup_with(CELLS, line("charger", CHARGER), plug)).missing


def test_output_power_follows_from_output_current_and_efficiency_is_assumed_aloud() -> None:
    figures = charging_of(setup_with(CELLS, line("charger", {"output_a": 10.0}), units="us"))
    assert figures.cases[1].dc_a == pytest.approx(10.0)
    assert "90 % (assumed)" in str(figures.workings[0])


def test_constant_current_alone_takes_capacity_over_current() -> None:
    # far below the end voltage nothing tapers: 60 % of 60 Ah at 6 A is 6 h
    assert charge_h(PACK, 0.2, 0.8, 6.0, 1e6) == pytest.approx(6.0, rel=1e-9)


def test_the_taper_at_the_top_slows_the_last_part() -> None:
    # At 60 A (1C) twice 26 mΩ lifts the pack by 3.12 V: it meets 84 V where the cells rest at 4.044 V, 0.864 of charge;
    # from there the current falls with what is left, and ends at 3 A (5 % of 60 Ah).
    below = charge_h(PACK, 0.8, 0.86, 60.0, 1e6)
    above = charge_h(PACK, 0.94, 1.0, 60.0, 1e6)
    assert below == pytest.approx(0.06, rel=1e-6)
    assert above > 2 * below
    # the last 6 % in closed form: cells rise 1.2 V per unit of charge there, 24 V the pack; over 0.052 Ω the current is
    # 461.5·(1 − s) A down to 3 A at s = 0.9935: t = 60/461.5·ln(0.06/0.0065) + 60·0.0065/3 = 0.2889 + 0.13 = 0.419 h
    assert above == pytest.approx(0.419, rel=0.02)


def test_lead_acid_takes_more_charge_than_it_gives() -> None:
    lead = ChargedPack(
        chemistry="lead", full_v=14.4, empty_v=10.5, series_cells=6, capacity_ah=50.0, resistance_ohm=0.0
    )
    assert charge_h(lead, 0.2, 0.8, 5.0, 1e6) == pytest.approx(0.6 * 50 / 5 / 0.85)


def test_a_circuit_may_give_four_fifths_for_hours() -> None:
    assert Circuit(120.0, 15.0).continuous_w == 1440.0


@pytest.mark.parametrize("duty", [0.0, 2.9, 5.0, 7.0, 7.5, 97.1, 100.0])
def test_a_post_that_offers_nothing_by_duty_alone(duty: float) -> None:
    assert pilot_amps(duty) is None
