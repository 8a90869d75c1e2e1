"""Cable under a short circuit: IEC 60364-4-43 434.5.2 and 60364-5-54, I²t ≤ k²S².

The factors k = 143 (cross-linked) and 115 (PVC) for copper were read on a public calculation page; the formula for k is
from memory and is held against those two printed values.
"""

from __future__ import annotations

import pytest

from quoting.wiring import adiabatic_k, cable_withstand_a2s


def test_factors_as_printed() -> None:
    assert adiabatic_k(90.0, 250.0) == pytest.approx(143.0, abs=0.1)
    assert adiabatic_k(70.0, 160.0) == pytest.approx(115.0, abs=0.1)


@pytest.mark.parametrize(
    ("area_mm2", "cross_linked", "pvc"),
    [
        (16, 5.235e6, 3.386e6),
        (25, 1.278e7, 8.266e6),
        (35, 2.505e7, 1.620e7),
        (50, 5.112e7, 3.306e7),
        (70, 1.002e8, 6.480e7),
    ],
)
def test_energy_a_cable_bears(area_mm2: float, cross_linked: float, pvc: float) -> None:
    # arithmetic on k = 143 and 115, four digits; the unrounded k moves it by 0.12 %
    assert cable_withstand_a2s(area_mm2, 90.0) == pytest.approx(cross_linked, rel=0.002)
    assert cable_withstand_a2s(area_mm2, 70.0) == pytest.approx(pvc, rel=0.002)


def test_one_second_withstand_of_50_square_millimeters() -> None:
    assert cable_withstand_a2s(50.0, 90.0) ** 0.5 / 1000 == pytest.approx(7.150, rel=0.001)  # kA for 1 s
