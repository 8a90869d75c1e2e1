"""What a pack holds, gives and is limited by."""

from __future__ import annotations

import pytest

from quoting.pack import (
    pack_figures,
    pack_open_v,
)
from quoting.request import PackPlan
from tests.quoting.setups import BMS, CELL, CONTROLLER, MOTOR, line, pack_of, setup_with, working_text


def test_energy_voltages_and_resistance_of_series_and_parallel() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240)))
    assert (pack.series, pack.parallel, pack.cells, pack.series_cells) == (20, 12, 240, 20)
    assert pack.nominal_v == pytest.approx(72.0)  # 20 × 3.6
    assert pack.full_v == pytest.approx(84.0)  # 20 × 4.2
    assert pack.empty_v == pytest.approx(50.0)  # 20 × 2.5
    assert pack.capacity_ah == pytest.approx(60.0)  # 12 × 5
    assert pack.energy_wh == pytest.approx(4320.0)  # 72 × 60
    assert pack.usable_wh == pytest.approx(3974.4)  # × 0.92, the shop setting
    assert pack.resistance_ohm == pytest.approx(0.026)  # 20/12 × 15 mΩ + 1 mΩ
    assert pack.short_circuit_a == pytest.approx(3230.769, abs=1e-3)  # 84 / 0.026
    assert pack.mass_kg == pytest.approx(21.84)  # 240 × 0.07 × 1.3, no box on the quote
    assert pack.missing == ("motor",)
    assert "assumed" in working_text(pack.workings, "mass_kg")


def test_a_pack_box_on_the_quote_counts_instead_of_the_assumed_share() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240), line("enclosure", {"mass_kg": 6.0})))
    assert pack.mass_kg == pytest.approx(22.8)  # 240 × 0.07 + 6
    assert "assumed" not in working_text(pack.workings, "mass_kg")


def test_modules_scale_by_series_and_parallel_and_bring_their_own_cells() -> None:
    module = {
        "chemistry": "nmc",
        "cells_in_series": 10,
        "nominal_v": 36.0,
        "full_v": 42.0,
        "empty_v": 30.0,
        "capacity_ah": 40.0,
        "resistance_mohm": 12.0,
        "cont_a": 120.0,
        "peak_a": 240.0,
        "mass_kg": 10.0,
    }
    pack = pack_of(setup_with(line("module", module, 2), plan=PackPlan(series=2, parallel=1, link_mohm=0.0)))
    assert (pack.cells, pack.series_cells) == (2, 20)
    assert pack.energy_wh == pytest.approx(2880.0)  # 2 × 36 V × 40 Ah
    assert pack.resistance_ohm == pytest.approx(0.024)
    assert pack_open_v(pack, 0.5) == pytest.approx(73.8)  # 20 cells × 3.69 V
    assert (pack.cont_a, pack.cont_limit) == (120.0, "modules")
    assert "assumed" in working_text(pack.workings, "energy_wh")  # health not stated


def test_one_module_alone_needs_no_plan_and_two_do() -> None:
    module = {"nominal_v": 72.0, "capacity_ah": 50.0, "cells_in_series": 20}
    alone = pack_of(setup_with(line("module", module), plan=None))
    assert (alone.series, alone.parallel, alone.energy_wh) == (1, 1, 3600.0)
    two = pack_of(setup_with(line("module", module, 2), plan=None))
    assert two.energy_wh is None
    assert two.missing == ("how many in series and parallel",)


def test_aged_cells_are_the_weakest_link() -> None:
    # Public practitioner report, case B6: 2 in parallel × 15 Ah × 3C = 90 A new, 60 A at two thirds health; controller
    # 90 A, BMS 100 A.
    cell = {**CELL, "capacity_ah": 15.0, "cont_a": 45.0, "health_percent": 66.6667}
    parts = (line("cell", cell, 40), line("controller", {"battery_cont_a": 90.0}), line("bms", {"cont_a": 100.0}))
    pack = pack_of(setup_with(*parts, plan=PackPlan(series=20, parallel=2)))
    assert pack.cont_a == pytest.approx(60.0, abs=1e-3)
    assert pack.cont_limit == "cells"
    assert pack.capacity_ah == pytest.approx(20.0, abs=1e-3)  # 2 × 15 × 2/3


@pytest.mark.parametrize(
    ("part", "name", "cont_a", "peak_a"),
    [
        (line("bms", {"cont_a": 80.0, "peak_a": 90.0}), "BMS", 80.0, 90.0),
        (line("controller", {"battery_cont_a": 70.0, "battery_peak_a": 75.0}), "controller", 70.0, 75.0),
        (line("fuse", {"rating_a": 80.0}), "fuse", 64.0, 160.0),  # 80/1.25; 2 × 80
        (line("contactor", {"cont_a": 60.0}), "contactor", 60.0, 90.0),  # 1.5 × 60
        (line("connector", {"circuit": "battery", "cont_a": 50.0, "peak_a": 66.0}), "connector", 50.0, 66.0),
        (line("cable", {"circuit": "battery", "ampacity_a": 55.0}, 2), "battery cable", 55.0, 82.5),  # 1.5 × 55
    ],
)
def test_each_link_of_the_chain_can_be_the_weakest(part, name: str, cont_a: float, peak_a: float) -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240), part))
    assert (pack.cont_limit, pack.peak_limit) == (name, name)
    assert pack.cont_a == pytest.approx(cont_a)
    assert pack.peak_a == pytest.approx(peak_a)


def test_a_part_of_another_circuit_is_no_link() -> None:
    other = line("connector", {"circuit": "charge", "cont_a": 20.0})
    pack = pack_of(setup_with(line("cell", CELL, 240), other))
    assert (pack.cont_a, pack.cont_limit) == (120.0, "cells")


def test_a_link_without_a_peak_figure_lends_its_continuous_one_and_is_named() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240), line("bms", {"cont_a": 150.0})))
    assert (pack.peak_a, pack.peak_limit) == (150.0, "BMS")
    assert "BMS peak current" in pack.missing
    assert "no peak figure" in working_text(pack.workings, "peak_a")


def test_without_the_cells_current_there_is_no_limit_to_speak_of() -> None:
    cell = {name: value for name, value in CELL.items() if name != "cont_a"}
    pack = pack_of(setup_with(line("cell", cell, 240), line("bms", BMS)))
    assert (pack.cont_a, pack.cont_w, pack.cont_limit) == (None, None, None)
    assert "cells continuous current" in pack.missing


def test_charge_current_is_the_lesser_of_cells_and_bms() -> None:
    cells = pack_of(setup_with(line("cell", CELL, 240), line("bms", BMS)))
    assert (cells.charge_a, cells.charge_limit) == (30.0, "cells")  # 12 × 2.5 under 60
    bms = pack_of(setup_with(line("cell", CELL, 240), line("bms", {**BMS, "charge_a": 25.0})))
    assert (bms.charge_a, bms.charge_limit) == (25.0, "BMS")


@pytest.mark.parametrize(
    ("field", "named", "lost"),
    [
        ("chemistry", "cell chemistry", ("ceiling_w", "cont_w", "heat_minutes")),
        ("nominal_v", "cell nominal voltage", ("nominal_v", "energy_wh", "usable_wh")),
        ("full_v", "cell full voltage", ("full_v", "short_circuit_a", "ceiling_w")),
        ("empty_v", "cell empty voltage", ("empty_v", "ceiling_w")),
        ("capacity_ah", "cell capacity", ("capacity_ah", "energy_wh")),
        ("resistance_mohm", "cell resistance", ("resistance_ohm", "short_circuit_a", "peak_w")),
        ("mass_kg", "cell mass", ("mass_kg", "heat_minutes")),
        ("charge_a", "cells charge current", ("charge_a",)),
    ],
)
def test_a_missing_spec_is_named_and_costs_the_figures_that_need_it(field, named, lost) -> None:
    cell = {name: value for name, value in CELL.items() if name != field}
    pack = pack_of(setup_with(line("cell", cell, 240), line("motor", MOTOR), line("controller", CONTROLLER)))
    assert named in pack.missing
    assert [getattr(pack, figure) for figure in lost] == [None] * len(lost)


def test_no_cells_no_modules_and_no_plan_is_no_pack() -> None:
    assert pack_figures(setup_with(line("motor", MOTOR), plan=None)) is None


def test_a_plan_without_cells_and_cells_without_a_plan_say_what_is_missing() -> None:
    assert pack_of(setup_with(line("motor", MOTOR))).missing == ("cells or modules",)
    assert pack_of(setup_with(line("cell", CELL, 240), plan=None)).missing == ("how many in series and parallel",)


def test_two_kinds_of_cell_are_not_mixed_silently() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240, name="Cell one"), line("cell", CELL, 20, name="Cell two")))
    assert "one kind of cell or module: Cell one is taken" in pack.missing


def test_an_empty_voltage_above_the_full_one_is_said_and_breaks_nothing() -> None:
    pack = pack_of(setup_with(line("cell", {**CELL, "empty_v": 4.3}, 240)))
    assert "cell full voltage above its empty voltage" in pack.missing
    assert pack.ceiling_w is None
