"""Control pilot duty cycle to amps: SAE J1772 / IEC 61851-1 annex A.

The piecewise rule was read in a charger tester's manual and on an open-hardware charging project's support page.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.charging import pilot_amps


@pytest.mark.parametrize(
    ("duty", "amps"),
    [
        (8, 6),
        (10, 6),
        (16.667, 10),
        (20, 12),
        (25, 15),
        (26.667, 16),
        (30, 18),
        (40, 24),
        (50, 30),
        (53.333, 32),
        (66.667, 40),
        (80, 48),
        (85, 51),
        (86, 55),
        (90, 65),
        (94, 75),
        (96, 80),
        (97, 80),
    ],
)
def test_duty_table(duty: float, amps: float) -> None:
    assert pilot_amps(duty) == pytest.approx(amps, abs=5e-4)


def test_the_rule_jumps_at_85_percent() -> None:
    assert pilot_amps(85.0) == pytest.approx(51.0)
    assert pilot_amps(85.001) == pytest.approx(52.5, abs=0.003)


@pytest.mark.parametrize("duty", [2.9, 3, 5, 7, 7.5, 97.1])
def test_no_charging_or_data_only(duty: float) -> None:
    assert pilot_amps(duty) is None


@given(st.floats(8.0, 97.0), st.floats(8.0, 97.0))
def test_a_longer_pulse_never_offers_less(one: float, other: float) -> None:
    low, high = sorted((one, other))
    low_a, high_a = pilot_amps(low), pilot_amps(high)
    assert low_a is not None
    assert high_a is not None
    assert low_a <= high_a + 1e-9
