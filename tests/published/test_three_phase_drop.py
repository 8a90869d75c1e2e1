"""Voltage drop along three phases.

Source: the formula of IEC 60364-5-52 annex G, ΔU = √3·I·L·(R·cosφ + X·sinφ) between two phases, and a worked example
of it (100 A, 150 m, 0.671 and 0.085 ohm/km, cosφ 0.85: 15.98 V, 4.0 % of 400 V), both read on public pages that
reproduce it; the standard itself was not seen.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from quoting.wiring import at_temperature, ohm_per_m, phase_drop_v, phase_loss_w, phase_run_ohm


def test_the_worked_example() -> None:
    """R·cosφ + X·sinφ is our R: 0.671·0.85 + 0.085·0.527 = 0.6151 ohm/km. Within 0.1 %: printed rounded."""
    run_ohm = 0.150 * (0.671 * 0.85 + 0.085 * 0.527)
    assert phase_drop_v(100.0, run_ohm) == pytest.approx(15.98, rel=0.001)
    assert phase_drop_v(100.0, run_ohm) / 400.0 == pytest.approx(0.040, abs=0.0005)


def test_drop_and_loss_against_three_sines() -> None:
    """A balanced set of currents through three resistors, one period: rms between two phases, mean of the heat."""
    amps, ohm, angle = 160.0, 0.00081, np.linspace(0.0, 2.0 * math.pi, 7200, endpoint=False)
    drops = [math.sqrt(2.0) * amps * ohm * np.sin(angle - turn * 2.0 * math.pi / 3.0) for turn in range(3)]
    between_v = math.sqrt(np.mean((drops[0] - drops[1]) ** 2))
    heat_w = float(np.mean(sum(drop**2 for drop in drops)) / ohm)
    assert phase_drop_v(amps, ohm) == pytest.approx(between_v, rel=1e-9)
    assert phase_loss_w(amps, ohm) == pytest.approx(heat_w, rel=1e-9)


def test_a_third_of_the_meters_on_the_quote_is_one_phase() -> None:
    """3.6 m of 35 mm² class 5 (IEC 60228: 0.554 ohm/km at 20 degC) is 1.2 m a phase: 0.6648 mohm, warmed to 75 degC."""
    summed = 3.6 * ohm_per_m(35.0, 75.0)
    assert phase_run_ohm(summed) == pytest.approx(at_temperature(0.6648e-3, 75.0), rel=1e-9)
    assert phase_run_ohm(summed, motors=2.0) == pytest.approx(at_temperature(0.3324e-3, 75.0), rel=1e-9)
