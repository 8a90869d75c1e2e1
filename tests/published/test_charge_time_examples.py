"""Charge time: t = ΔSoC × C / I, a published calculator's formula and example; wall-limited time by definition.

The calculator's page gives 20 Ah at 2 A, 70 % of capacity: 7.0 h, and a constant-voltage tail of about a quarter of the
constant-current time for a full charge.
"""

from __future__ import annotations

import pytest

from quoting.charging import ChargedPack, charge_h, constant_current_h, constant_power_h


def test_published_example() -> None:
    assert constant_current_h(0.7, 20.0, 2.0) == pytest.approx(7.0)


def test_wall_limited_example() -> None:
    # 4.32 kWh from 10 to 80 %, 3.3 kW from the wall, 0.93: 3.024/3.069 = 0.9853 h; 3.2516 kWh from the wall
    assert constant_power_h(0.7, 4320.0, 3300.0, 0.93) == pytest.approx(0.9853, abs=5e-5)
    assert pytest.approx(3.2516, abs=5e-4) == 0.9853 * 3.3


def test_slice_by_slice_agrees_with_the_closed_forms() -> None:
    pack = ChargedPack(
        chemistry="nmc", full_v=84.0, empty_v=50.0, series_cells=20, capacity_ah=60.0, resistance_ohm=0.026
    )
    assert charge_h(pack, 0.1, 0.8, 20.0, 1e6) == pytest.approx(constant_current_h(0.7, 60.0, 20.0))
    # by power the rested voltage of the curve (74.6 V on the mean from 10 to 80 %) stands for the nominal 72 V
    assert charge_h(pack, 0.1, 0.8, 1e6, 3069.0) == pytest.approx(0.9853 * 74.6 / 72.0, rel=0.01)


def test_the_tail_of_a_half_c_charge_is_about_a_quarter_of_the_whole() -> None:
    cell = ChargedPack(chemistry="nmc", full_v=4.2, empty_v=2.5, series_cells=1, capacity_ah=5.0, resistance_ohm=0.025)
    whole_h = charge_h(cell, 0.0, 1.0, 2.5, 1e6)
    assert whole_h / constant_current_h(1.0, 5.0, 2.5) == pytest.approx(1.25, abs=0.12)
