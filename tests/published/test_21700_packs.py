"""Packs of 21700 cells: arithmetic on distributors' public data sheets (3.6 V, 4.2 V, 2.5 V, 70 g, 10 A taken).

The table is worked from series × parallel; 15 mΩ a cell is the DC figure used throughout.
"""

from __future__ import annotations

import pytest

from quoting.pack import current_at_power
from quoting.request import PackPlan
from tests.quoting.setups import CELL, line, pack_of, setup_with


@pytest.mark.parametrize(
    ("series", "parallel", "cell_ah", "ah", "volts", "wh", "mass_kg", "cont_a", "mohm"),
    [
        (20, 8, 5.0, 40.0, 72.0, 2880, 11.20, 80, 37.50),
        (20, 10, 4.0, 40.0, 72.0, 2880, 14.00, 100, 30.00),
        (20, 12, 5.0, 60.0, 72.0, 4320, 16.80, 120, 25.00),
        (21, 12, 5.0, 60.0, 75.6, 4536, 17.64, 120, 26.25),
        (22, 12, 5.0, 60.0, 79.2, 4752, 18.48, 120, 27.50),
        (20, 14, 5.0, 70.0, 72.0, 5040, 19.60, 140, 21.43),
    ],
)
def test_packs(series, parallel, cell_ah, ah, volts, wh, mass_kg, cont_a, mohm) -> None:
    cells = line("cell", {**CELL, "capacity_ah": cell_ah}, series * parallel)
    weightless_box = line("enclosure", {"mass_kg": 0.0})
    plan = PackPlan(series=series, parallel=parallel, link_mohm=0.0)
    pack = pack_of(setup_with(cells, weightless_box, plan=plan))
    assert pack.cells == series * parallel
    assert pack.capacity_ah == pytest.approx(ah)
    assert pack.nominal_v == pytest.approx(volts)
    assert pack.energy_wh == pytest.approx(wh)
    assert pack.mass_kg == pytest.approx(mass_kg)
    assert pack.cont_a == pytest.approx(cont_a)
    assert pack.resistance_ohm == pytest.approx(mohm / 1000, abs=5e-6)


@pytest.mark.parametrize(("volts", "amps"), [(72.0, 208.3), (64.0, 234.4)])
def test_current_for_15_kilowatts_without_resistance(volts: float, amps: float) -> None:
    assert current_at_power(volts, 0.0, 15000.0) == pytest.approx(amps, abs=0.05)


def test_a_4_amp_hour_twenty_by_ten_against_the_small_battery_limit() -> None:
    # 49 CFR 173.185(c): relief ends at 100 Wh a battery and 20 Wh a cell; this pack is 28.8 times the former
    cells = line("cell", {**CELL, "capacity_ah": 4.0}, 200)
    pack = pack_of(setup_with(cells, plan=PackPlan(series=20, parallel=10)))
    assert pack.energy_wh is not None
    assert pack.energy_wh / 100 == pytest.approx(28.8)
    assert pack.energy_wh / pack.cells == pytest.approx(14.4)
