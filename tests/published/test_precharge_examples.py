"""Pre-charge: two published worked examples, and the fractions of a first-order circuit.

Example 1 from a resistor maker's public calculator (800 V, 47 ohm, 1000 µF); example 2 from the same family of pages
(400 V, 50 ohm, 3 mF); "close at five time constants" from a semiconductor maker's reference design.
"""

from __future__ import annotations

import pytest

from quoting.wiring import precharge_times, precharged_share


def test_published_example_one() -> None:
    found = precharge_times(800.0, 47.0, 1000e-6)
    assert found.tau_s == pytest.approx(0.047)
    assert found.to_95_s == pytest.approx(0.141, abs=5e-4)
    assert found.to_99_s == pytest.approx(0.2164, abs=5e-5)
    assert found.peak_a == pytest.approx(17.0, abs=0.05)
    assert found.peak_w == pytest.approx(13617, abs=0.5)
    assert found.energy_j == pytest.approx(320.0)


def test_published_example_two() -> None:
    found = precharge_times(400.0, 50.0, 3e-3)
    assert found.tau_s == pytest.approx(0.150)
    assert found.to_95_s == pytest.approx(0.449, abs=5e-4)
    assert found.peak_a == pytest.approx(8.0)


@pytest.mark.parametrize(
    ("constants", "share"), [(1, 0.632121), (2, 0.864665), (3, 0.950213), (4, 0.981684), (5, 0.993262)]
)
def test_share_after_so_many_time_constants(constants: int, share: float) -> None:
    assert precharged_share(constants * 0.25, 50.0, 5e-3) == pytest.approx(share, abs=5e-7)


def test_a_motorcycle_sized_one() -> None:
    # worked: 84 V, 50 ohm, 5 mF: 0.566 V left after five time constants, 1.68 A, 141.1 W, 17.64 J
    found = precharge_times(84.0, 50.0, 5e-3)
    assert 84.0 * (1 - precharged_share(1.25, 50.0, 5e-3)) == pytest.approx(0.566, abs=5e-4)
    assert (found.peak_a, round(found.peak_w, 1), round(found.energy_j, 2)) == (1.68, 141.1, 17.64)
