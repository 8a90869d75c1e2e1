"""Curves, currents for powers, and the counts that would do."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.pack import (
    ceiling_power_w,
    current_at_power,
    currents_at_powers,
    largest_pack,
    open_curve,
    open_v,
    open_volts,
    pack_current_a,
    pack_open_v,
    power_at_current,
    smallest_parallel,
)
from quoting.parts import Cell, Module
from quoting.request import Bay
from tests.quoting.setups import CELL, line, pack_of, setup_with


def test_least_in_parallel() -> None:
    cell = Cell(
        chemistry="nmc", full_v=4.2, empty_v=2.5, cont_a=10.0, peak_a=20.0, resistance_mohm=15.0, health_percent=100.0
    )
    # 10 kW at 50 %: 14p: R = 0.021429, I = 20000/(73.8 + √(5446.44 − 857.14)) = 141.274 A, 10.09 A each, over 10;
    # 15p: R = 0.02, I = 20000/(73.8 + √4646.44) = 140.867 A, 9.39 A each
    assert smallest_parallel(20, cell, 10000.0, 10000.0, 0.5) == 15
    # 10 kW for 10 s alone, 20 A each: 8p: R = 0.0375, I = 20000/(73.8 + √3946.44) = 146.37 A, 18.3 A each;
    # 7p: R = 0.042857, I = 20000/(73.8 + √3732.15) = 148.279 A, 21.2 A each
    assert smallest_parallel(20, cell, 10000.0, 0.0, 0.5) == 8
    # a cut-off of 71 V lets I·R be 2.8 V: 140.85 A (10000/71) needs R ≤ 0.019880: 300/0.019880 mΩ → 15.09, 16p
    assert smallest_parallel(20, cell, 10000.0, 0.0, 0.5, cut_v=71.0) == 16


def test_least_in_parallel_says_none_when_nothing_will_do_or_a_figure_is_missing() -> None:
    cell = Cell(chemistry="nmc", full_v=4.2, empty_v=2.5, cont_a=10.0, resistance_mohm=15.0)
    assert smallest_parallel(20, cell, 1000.0, 1000.0, 0.5, cut_v=73.9) is None  # above the rested voltage
    assert smallest_parallel(20, Cell(chemistry="nmc"), 1000.0, 1000.0, 0.5) is None


def test_most_that_go_into_a_bay() -> None:
    bay = Bay(name="bay", length_mm=300, width_mm=200, height_mm=160)
    assert largest_pack(bay, Cell(diameter_mm=21.5, length_mm=70.5)) == 240  # worked in test_pack_fit
    assert largest_pack(bay, Cell(diameter_mm=21.5)) is None
    assert largest_pack(bay, Module(length_mm=140.0, width_mm=90.0, height_mm=70.0)) == 8  # 290/140 × 190/90 × 150/70


def test_curves_meet_the_cells_own_ends_and_keep_the_chemistrys_middle() -> None:
    assert open_v("nmc", 4.15, 2.8, 1.0) == pytest.approx(4.15)
    assert open_v("nmc", 4.15, 2.8, 0.0) == pytest.approx(2.8)
    assert open_v("nmc", 4.15, 2.8, 0.5) == pytest.approx(3.69)
    assert open_v("lfp", 3.65, 2.5, 0.5) == pytest.approx(3.30)
    assert open_v("lead", 14.4, 10.5, 0.5) == pytest.approx(12.12)  # six cells of 2.02 V, counted by 14.4/2.4
    assert open_v("nmc", 84.0, 50.0, 0.2) == pytest.approx(70.2)  # twenty cells of 3.51 V
    assert open_v("nmc", 4.2, 2.5, 1.7) == 4.2
    assert open_v("nmc", 4.2, 2.5, -0.3) == 2.5


def test_a_curve_whose_middle_lies_outside_the_ends_is_stretched_evenly() -> None:
    # 3.6 V full, 3.0 V empty cannot be this chemistry in one piece: even stretch, half charge at 3.0 + 0.6 × 1.19/1.7
    assert open_v("nmc", 3.6, 3.0, 0.5) == pytest.approx(3.42)


def test_a_curve_needs_a_known_chemistry_and_ends_the_right_way_round() -> None:
    with pytest.raises(KeyError):
        open_curve("unobtainium", 4.2, 2.5)
    with pytest.raises(ValueError, match="not above"):
        open_curve("nmc", 2.5, 4.2)


@given(
    chemistry=st.sampled_from(["nmc", "lfp", "lead"]),
    empty_v=st.floats(1.0, 3.4),
    span_v=st.floats(0.1, 1.8),
    socs=st.lists(st.floats(0.0, 1.0), min_size=2, max_size=6),
)
def test_voltage_never_falls_as_charge_rises(chemistry, empty_v, span_v, socs) -> None:
    ordered = sorted(socs)
    volts = [open_v(chemistry, empty_v + span_v, empty_v, soc, 1) for soc in ordered]
    assert volts == sorted(volts)
    assert open_volts(chemistry, empty_v + span_v, empty_v, np.array(ordered), 1) == pytest.approx(volts)


@given(rested_v=st.floats(10.0, 500.0), resistance_ohm=st.floats(0.0, 1.0), share=st.floats(-3.0, 0.999))
def test_the_current_gives_back_the_power(rested_v: float, resistance_ohm: float, share: float) -> None:
    ceiling_w = ceiling_power_w(rested_v, resistance_ohm)
    power_w = share * min(ceiling_w, 1e6)
    current = current_at_power(rested_v, resistance_ohm, power_w)
    assert current is not None
    assert power_at_current(rested_v, resistance_ohm, current) == pytest.approx(power_w, rel=1e-9, abs=1e-6)
    assert current <= rested_v / (2 * resistance_ohm) if resistance_ohm else True
    assert currents_at_powers(rested_v, resistance_ohm, np.array([power_w])) == pytest.approx([current])


def test_past_the_ceiling_there_is_no_current() -> None:
    assert ceiling_power_w(72.0, 0.03) == pytest.approx(43200.0)  # 72² / 0.12
    assert current_at_power(72.0, 0.03, 43200.0) == pytest.approx(1200.0)  # half the voltage over 0.03
    assert current_at_power(72.0, 0.03, 43201.0) is None
    assert np.isnan(currents_at_powers(72.0, 0.03, np.array([43201.0]))[0])
    assert ceiling_power_w(72.0, 0.0) == math.inf


def test_whole_pack_readers_agree_with_the_parts() -> None:
    pack = pack_of(setup_with(line("cell", CELL, 240)))
    assert pack_open_v(pack, 0.5) == pytest.approx(73.8)
    assert pack_current_a(pack, 0.5, 10000.0) == pytest.approx(142.673, abs=1e-3)
    unknown = pack_of(setup_with(line("cell", {"nominal_v": 3.6}, 240)))
    assert pack_open_v(unknown, 0.5) is None
    assert pack_current_a(unknown, 0.5, 10000.0) is None
