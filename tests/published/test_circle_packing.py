"""Packing of round cells: hexagonal rows fill π/(2·√3) = 0.9069 of a plane, square rows π/4 = 0.7854 (public geometry
page).

A large rectangle must come close to those shares from below; the areas per cell at 21.5 mm pitch are worked from
them.
"""

from __future__ import annotations

import math

import pytest

from quoting.pack import hexagonal_count, square_count

SIDE_MM = 20000.0
PITCH_MM = 21.5


def test_shares_of_a_large_plane() -> None:
    circle = math.pi / 4 * PITCH_MM**2
    square = square_count(SIDE_MM, SIDE_MM, PITCH_MM) * circle / SIDE_MM**2
    hexagonal = hexagonal_count(SIDE_MM, SIDE_MM, PITCH_MM) * circle / SIDE_MM**2
    assert square == pytest.approx(0.785398, rel=0.003)
    assert hexagonal == pytest.approx(0.906900, rel=0.003)
    assert hexagonal / square == pytest.approx(1.154701, rel=0.003)  # 2/√3


def test_area_per_cell_at_21_5_millimeters() -> None:
    square_mm2 = SIDE_MM**2 / square_count(SIDE_MM, SIDE_MM, PITCH_MM)
    hexagonal_mm2 = SIDE_MM**2 / hexagonal_count(SIDE_MM, SIDE_MM, PITCH_MM)
    assert square_mm2 == pytest.approx(462.25, rel=0.003)
    assert hexagonal_mm2 == pytest.approx(400.32, rel=0.003)
