"""Load index of tires: ETRTO/ISO table, read on a tire dealer's public page; speed symbols from memory."""

from __future__ import annotations

import pytest

from quoting.weight import load_index_kg, service_description


@pytest.mark.parametrize(
    ("index", "load_kg"),
    [
        (54, 212),
        (55, 218),
        (58, 236),
        (60, 250),
        (63, 272),
        (65, 290),
        (66, 300),
        (69, 325),
        (70, 335),
        (71, 345),
        (73, 365),
        (75, 387),
        (77, 412),
        (80, 450),
    ],
)
def test_load_index(index: int, load_kg: float) -> None:
    assert load_index_kg(index) == load_kg


def test_every_index_follows_the_tables_geometric_steps() -> None:
    # 80 steps are a factor of ten; the table rounds to whole steps of a few kilograms
    for index in range(40, 86):
        assert load_index_kg(index) == pytest.approx(45 * 10 ** (index / 80), rel=0.025)
    assert load_index_kg(39) is None
    assert load_index_kg(86) is None


@pytest.mark.parametrize(
    ("symbol", "kmh"), [("P", 150), ("Q", 160), ("R", 170), ("S", 180), ("T", 190), ("H", 210), ("V", 240), ("W", 270)]
)
def test_speed_symbols(symbol: str, kmh: float) -> None:
    found = service_description(f"120/70-17 58{symbol}")
    assert found is not None
    assert (found.load_kg, found.speed_kmh) == (236.0, kmh)
