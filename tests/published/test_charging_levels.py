"""Wall circuits: NEC 210.20(A) and 625.41 (circuit at least 125 % of a continuous load), level 1 and 2 powers.

Levels were read in an encyclopedia's mirror and on a charging project's support page, the 125 % rule in public
discussions that quote the sections; European powers are arithmetic on 230 V with IEC 61851-1 currents.
"""

from __future__ import annotations

import pytest

from quoting.charging import Circuit, least_breaker_a


@pytest.mark.parametrize(
    ("load_a", "breaker_a"), [(12, 15), (16, 20), (24, 30), (32, 40), (40, 50), (48, 60), (64, 80), (80, 100)]
)
def test_a_breaker_is_a_quarter_over_the_load(load_a: float, breaker_a: float) -> None:
    assert least_breaker_a(load_a) == pytest.approx(breaker_a)


@pytest.mark.parametrize(
    ("volts", "breaker_a", "kw"),
    [(120, 15, 1.44), (120, 20, 1.92), (208, 40, 6.656), (240, 40, 7.680), (240, 100, 19.2), (230, 20, 3.68)],
)
def test_power_a_circuit_gives_for_hours(volts: float, breaker_a: float, kw: float) -> None:
    # level 1: 12 and 16 A at 120 V; level 2: 32 and 80 A; the last: 16 A at 230 V for good, on a 20 A breaker
    assert Circuit(volts, breaker_a).continuous_w / 1000 == pytest.approx(kw)
