"""Cases from public practitioner reports that the figures must agree with, or refuse to believe."""

from __future__ import annotations

import pytest

from quoting.charging import Circuit, charge_figures
from quoting.pack import pack_figures
from quoting.request import PackPlan
from quoting.weight import weight_figures
from tests.quoting.setups import CELL, donor_with, line, pack_of, setup_with


def test_used_pouch_pack_takes_longer_to_charge_than_claimed() -> None:
    # Public practitioner report, case A20: 20s2p of 15 Ah used cells, 1.4 kWh as rated by the builder (about 65 %
    # left), 432 W charger, "2.5 h". 1.4 kWh / 0.432 kW = 3.25 h before any taper.
    cell = {**CELL, "capacity_ah": 15.0, "health_percent": 65.0, "charge_a": 15.0, "resistance_mohm": 4.0}
    setup = setup_with(
        line("cell", cell, 40),
        line("charger", {"power_w": 432.0, "output_a": 6.0}),
        plan=PackPlan(series=20, parallel=2),
    )
    pack = pack_of(setup)
    assert pack.energy_wh == pytest.approx(1404.0)  # 72 V × 2 × 15 Ah × 0.65
    charge = charge_figures(setup, pack)
    assert charge is not None
    assert 3.2 < charge.cases[0].full_h < 3.7


def test_three_kilowatt_hours_at_three_kilowatts_is_not_three_hours() -> None:
    # Public practitioner report, case A16: 28s of 30 Ah, about 105 V, 3.1 kWh, 3 kW charger, "3 h": half of it.
    cell = {**CELL, "capacity_ah": 30.0, "nominal_v": 3.75, "charge_a": 30.0, "resistance_mohm": 2.0}
    setup = setup_with(
        line("cell", cell, 28), line("charger", {"power_w": 3000.0}), plan=PackPlan(series=28, parallel=1)
    )
    pack = pack_of(setup)
    assert pack.energy_wh == pytest.approx(3150.0)
    charge = charge_figures(setup, pack)
    assert charge is not None
    assert 1.05 < charge.cases[0].full_h < 1.6  # 3.15 kWh / 3 kW and a taper at one C


def test_amps_per_cell_before_the_cells_are_bought() -> None:
    # Public practitioner report, cases A23 and B38: 28s12p of 4.2 Ah, 100.8 V nominal, 117.6 V full, 50.4 Ah, 5.08 kWh;
    # 100 A are 8.3 A a cell.
    cell = {**CELL, "capacity_ah": 4.2, "cont_a": 45.0}
    parts = (line("cell", cell, 336), line("controller", {"battery_cont_a": 100.0, "battery_peak_a": 100.0}))
    pack = pack_of(setup_with(*parts, plan=PackPlan(series=28, parallel=12)))
    assert pack.nominal_v == pytest.approx(100.8)
    assert pack.full_v == pytest.approx(117.6)
    assert pack.capacity_ah == pytest.approx(50.4)
    assert pack.energy_wh == pytest.approx(5080.3, abs=0.1)
    assert pack.cont_limit == "controller"
    assert pack.cont_a is not None
    assert pack.cont_a / pack.parallel == pytest.approx(8.3, abs=0.05)


def test_load_left_is_gross_rating_less_running_weight() -> None:
    # Public practitioner report, case B40: 544 kg on the plate less 363 kg running weight leaves 181 kg.
    donor = donor_with(kerb_kg=400.0, removed_kg=100.0, gvwr_kg=544.0)
    setup = setup_with(line("motor", {"mount": "hub", "mass_kg": 63.0}), plan=None, donor=donor)
    weight = weight_figures(setup, pack_figures(setup))
    assert weight is not None
    assert weight.payload_kg == pytest.approx(181.0)


def test_a_night_on_a_household_socket() -> None:
    # Public practitioner report, cases B48 and D3: a 15 A breaker at 120 V is 12 A, 1.44 kW, for hours; a night of 8 h
    # at 0.9 is 9 to 10.4 kWh.
    assert Circuit(120.0, 15.0).continuous_w == 1440.0
    assert 9000 < Circuit(120.0, 15.0).continuous_w * 8 * 0.9 < 10400


def test_a_third_more_energy_not_two_thirds() -> None:
    # Public practitioner report, case D13: from 4.4 to 6 kWh is 36 % more energy, not the 60 % hoped for.
    small = pack_of(setup_with(line("cell", CELL, 240), plan=PackPlan(series=20, parallel=12)))
    large = pack_of(setup_with(line("cell", CELL, 320), plan=PackPlan(series=20, parallel=16)))
    assert small.energy_wh is not None
    assert large.energy_wh is not None
    assert large.energy_wh / small.energy_wh == pytest.approx(16 / 12)
