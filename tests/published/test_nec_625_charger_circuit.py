"""A charger's input current against the breaker it hangs on.

Source: NEC (NFPA 70) 210.20(A) and 625.41: a circuit for a continuous load is at least 125 % of it. The pairs are the
standard supply equipment sizes and their breakers.
"""

from __future__ import annotations

import pytest

from tests.quoting.rules.bike import Bike

PAIRS = [(12, 15), (16, 20), (24, 30), (32, 40), (40, 50), (48, 60), (64, 80), (80, 100)]


@pytest.mark.parametrize(("load_a", "breaker_a"), PAIRS)
def test_the_standard_breaker_is_enough_and_just_so(load_a: float, breaker_a: float) -> None:
    bike = Bike().wishing(circuit_v=240, circuit_a=breaker_a)
    assert bike.with_("charger", input_a=load_a).levels("wall-circuit-overloaded") == ()
    assert bike.with_("charger", input_a=load_a + 0.1).levels("wall-circuit-overloaded") == ("check",)
