"""Axle loads by moments, and the center of gravity by weighing (statics; the latter as on a race-car weighing page).

The worked example: wheelbase 1.400 m; chassis 120 kg at 0.72, pack 42 at 0.62, controller and wiring 9 at 0.70,
adapter 11 at 0.66, hub motor 22 at 1.40, rider 80 at 0.85; Σ m·x / L by hand.
"""

from __future__ import annotations

import pytest

from quoting.weight import axle_loads, center_behind_front_m

WHEELBASE_M = 1.400
EMPTY = ((120, 0.72), (42, 0.62), (9, 0.70), (11, 0.66), (22, 1.40))
RIDER = (80, 0.85)


def test_unladen() -> None:
    # 86.40 + 26.04 + 6.30 + 7.26 + 30.80 = 156.80 kg m; / 1.4 = 112.000 kg
    loads = axle_loads(EMPTY, WHEELBASE_M)
    assert (loads.rear_kg, loads.front_kg) == (pytest.approx(112.000), pytest.approx(92.000))  # type: ignore[comparison-overlap]
    assert loads.rear_kg / loads.total_kg == pytest.approx(0.5490, abs=5e-5)


def test_with_rider() -> None:
    loads = axle_loads((*EMPTY, RIDER), WHEELBASE_M)
    assert loads.rear_kg == pytest.approx(160.571, abs=5e-4)
    assert loads.front_kg == pytest.approx(123.429, abs=5e-4)
    assert center_behind_front_m(loads, WHEELBASE_M) == pytest.approx(0.79155, abs=5e-6)


@pytest.mark.parametrize(
    ("mass_kg", "x_m", "front_kg", "rear_kg"), [(75, 1.10, 16.071, 58.929), (20, 1.55, -2.143, 22.143)]
)
def test_pillion_and_luggage_behind_the_axle(mass_kg, x_m, front_kg, rear_kg) -> None:
    loads = axle_loads([(mass_kg, x_m)], WHEELBASE_M)
    assert loads.front_kg == pytest.approx(front_kg, abs=5e-4)
    assert loads.rear_kg == pytest.approx(rear_kg, abs=5e-4)
