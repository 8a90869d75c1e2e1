"""The pack under load: sag, cut-offs, assumed efficiencies, heat."""

from __future__ import annotations

import pytest

from quoting.pack import (
    worst_point,
)
from quoting.request import PackPlan, Policies
from tests.quoting.setups import BMS, CELL, CONTROLLER, MOTOR, NO_LOADS, line, pack_of, setup_with, working_text


def test_powers_at_half_charge() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240)))
    # U = 20 × 3.69 = 73.8 V, R = 0.026: continuous 120 A (73.8 − 3.12) × 120; peak 240 A (73.8 − 6.24) × 240
    assert pack.cont_w == pytest.approx(8481.6)
    assert pack.peak_w == pytest.approx(16214.4)
    assert pack.ceiling_w == pytest.approx(52369.615, abs=1e-3)  # 73.8² / 0.104


def test_sag_at_three_states_of_charge_names_the_worst() -> None:
    setup = setup_with(line("cell", CELL, 240), line("motor", MOTOR), line("controller", CONTROLLER))
    pack = pack_of(setup)
    assert [(point.load, point.soc) for point in pack.sag] == [
        (load, soc) for load in ("continuous", "peak") for soc in (1.0, 0.5, 0.2)
    ]
    # continuous: 8 kW / 0.8 / 1.0 = 10 kW. At 50 %: I = 2·10000/(73.8 + √(73.8² − 4·0.026·10000)) = 20000/(73.8 +
    # √4406.44) = 20000/140.1811 = 142.673 A; loaded 73.8 − 3.7095 = 70.0905 V; per cell 142.673/12 = 11.8894 A
    half = pack.sag[1]
    assert half.power_w == pytest.approx(10000.0)
    assert half.current_a == pytest.approx(142.673, abs=1e-3)
    assert half.loaded_v == pytest.approx(70.0905, abs=1e-4)
    assert half.cell_a == pytest.approx(11.8894, abs=1e-4)
    # peak 20 kW at 20 %: U = 70.2; I = 40000/(70.2 + √(4928.04 − 2080)) = 40000/123.5670 = 323.711 A
    worst = worst_point(pack.sag)
    assert worst is not None
    assert (worst.load, worst.soc) == ("peak", 0.2)
    assert worst.current_a == pytest.approx(323.711, abs=1e-3)
    assert worst.loaded_v == pytest.approx(61.7835, abs=1e-4)
    assert "peak power at 20 % charge" in working_text(pack.workings, "sag")


def test_the_controllers_battery_limit_holds_the_current() -> None:
    controller = {**CONTROLLER, "battery_peak_a": 200.0}
    setup = setup_with(line("cell", CELL, 240), line("motor", MOTOR), line("controller", controller))
    low = pack_of(setup).sag[5]
    assert low.current_a == pytest.approx(200.0)
    assert low.loaded_v == pytest.approx(65.0)  # 70.2 − 200 × 0.026
    assert low.power_w == pytest.approx(13000.0)  # what it then gives, not the 20 kW asked


def test_a_power_the_pack_cannot_give_has_no_voltage() -> None:
    # 20s1p: R = 0.301, ceiling at 20 % 70.2²/1.204 = 4093 W, 10 kW asked, no controller to hold it
    setup = setup_with(line("cell", CELL, 20), line("motor", MOTOR), plan=PackPlan(series=20, parallel=1))
    pack = pack_of(setup)
    assert [point.loaded_v for point in pack.sag] == [None] * 6
    assert "cannot give" in working_text(pack.workings, "sag")


@pytest.mark.parametrize(
    ("parts", "volts", "by"),
    [
        ((), 50.0, "cells"),
        ((line("bms", BMS),), 56.0, "BMS"),  # 20 × 2.8
        ((line("bms", BMS), line("controller", {"low_cut_v": 57.0})), 57.0, "controller"),
        ((line("controller", {"low_cut_v": 48.0, "min_v": 51.0}),), 51.0, "controller"),
        ((line("controller", {"low_cut_v": 48.0}),), 50.0, "cells"),
    ],
)
def test_the_highest_cut_off_counts(parts, volts: float, by: str) -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240), *parts))
    assert pack.cut_v == pytest.approx(volts)
    assert pack.cut_by == by


def test_assumed_efficiencies_are_marked_and_stated_ones_are_not() -> None:
    bare = {"cont_kw": 8.0, "peak_kw": 16.0}
    assumed = pack_of(setup_with(line("cell", CELL, 240), line("motor", bare)))
    assert assumed.sag[0].power_w == pytest.approx(9163.803, abs=1e-3)  # 8000 / 0.90 / 0.97
    assert working_text(assumed.workings, "sag").count("(assumed)") == 2
    stated = pack_of(setup_with(line("cell", CELL, 240), line("motor", MOTOR), line("controller", CONTROLLER)))
    assert "(assumed)" not in working_text(stated.workings, "sag")


def test_stated_losses_go_before_the_best_efficiency() -> None:
    motor = {**MOTOR, "copper_loss_w": 800.0, "no_load_loss_w": 200.0}
    pack = pack_of(setup_with(line("cell", CELL, 240), line("motor", motor), line("controller", CONTROLLER)))
    assert pack.sag[0].power_w == pytest.approx(9000.0)  # 8000 + 800 + 200
    assert pack.sag[3].power_w == pytest.approx(19400.0)  # 16000 + 800 × 4 + 200


def test_heat_at_continuous_power() -> None:
    setup = setup_with(line("cell", CELL, 240), line("motor", MOTOR), line("controller", CONTROLLER))
    pack = pack_of(setup)
    # I = 142.673 A at half charge, R = 0.026: 529.24 W; 16.8 kg × 0.15 = 2.52 W/K: rise 210.02 K, settles at 230.0 degC
    # τ = 1000/0.15 = 6666.7 s; t = −6666.7 · ln(1 − 35/210.02) = 1215.6 s = 20.26 min
    assert pack.heat_steady_c == pytest.approx(230.02, abs=0.01)
    assert pack.heat_minutes == pytest.approx(20.26, abs=0.01)
    assert working_text(pack.workings, "heat_minutes").count("(assumed") == 2


def test_a_pack_that_stays_cool_has_no_minutes_and_a_hot_one_none_left() -> None:
    motor = {**MOTOR, "cont_kw": 2.0}
    parts = (line("cell", CELL, 240), line("motor", motor), line("controller", CONTROLLER))
    cool = pack_of(setup_with(*parts))
    # 2.5 kW: I = 5000/(73.8 + √5186.44) = 34.292 A, 30.575 W over 2.52 W/K = 12.13 K
    assert cool.heat_steady_c == pytest.approx(32.13, abs=0.01)
    assert cool.heat_minutes is None
    assert "settles" in working_text(cool.workings, "heat_minutes")
    hot = pack_of(setup_with(*parts, policies=Policies(auxiliary_w=0.0, warm_c=56.0)))
    assert hot.heat_minutes == 0.0


def test_the_lamps_count_in_the_demand() -> None:
    parts = (line("cell", CELL, 240), line("motor", MOTOR), line("controller", CONTROLLER))
    lit = pack_of(setup_with(*parts, policies=Policies(auxiliary_w=60.0)))
    dark = pack_of(setup_with(*parts, policies=NO_LOADS))
    assert lit.sag[0].power_w - dark.sag[0].power_w == pytest.approx(60.0)
