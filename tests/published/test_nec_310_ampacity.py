"""Ampacity of copper: NEC 2023 (NFPA 70) table 310.16 and ambient correction 310.15(B)(1).

Read in a public wire ampacity chart of the 2023 edition and a public copy of the correction table. Editions differ at
14 and 12 AWG (60 degC) and at 3 and 1 AWG (90 degC): 2023 is pinned here. The code leaves vehicles out (90.2(B)(1));
the table is a yardstick.
"""

from __future__ import annotations

import pytest

from quoting.units import awg_area_mm2
from quoting.wiring import ambient_factor, ampacity_a

# (gauge, 60, 75, 90 degC insulation) [A], at most three current-carrying conductors, 30 degC ambient
TABLE_310_16 = [
    ("18", None, None, 14),
    ("16", None, None, 18),
    ("14", 15, 20, 25),
    ("12", 20, 25, 30),
    ("10", 30, 35, 40),
    ("8", 40, 50, 55),
    ("6", 55, 65, 75),
    ("4", 70, 85, 95),
    ("3", 85, 100, 115),
    ("2", 95, 115, 130),
    ("1", 110, 130, 145),
    ("1/0", 125, 150, 170),
    ("2/0", 145, 175, 195),
    ("3/0", 165, 200, 225),
    ("4/0", 195, 230, 260),
]
# (top of the 5 degC band, 60, 75, 90 degC insulation), as printed in 310.15(B)(1)
CORRECTION = [
    (10, 1.29, 1.20, 1.15),
    (15, 1.22, 1.15, 1.12),
    (20, 1.15, 1.11, 1.08),
    (25, 1.08, 1.05, 1.04),
    (30, 1.00, 1.00, 1.00),
    (35, 0.91, 0.94, 0.96),
    (40, 0.82, 0.88, 0.91),
    (45, 0.71, 0.82, 0.87),
    (50, 0.58, 0.75, 0.82),
    (55, 0.41, 0.67, 0.76),
    (60, None, 0.58, 0.71),
    (65, None, 0.47, 0.65),
    (70, None, 0.33, 0.58),
    (75, None, None, 0.50),
    (80, None, None, 0.41),
    (85, None, None, 0.29),
]
INSULATIONS = (60.0, 75.0, 90.0)


@pytest.mark.parametrize("row", TABLE_310_16, ids=lambda row: row[0])
def test_table_310_16(row: tuple[str, float | None, float | None, float]) -> None:
    for insulation_c, expected in zip(INSULATIONS, row[1:], strict=True):
        found = ampacity_a(awg_area_mm2(row[0]), insulation_c, ambient_c=30.0)
        if expected is None:
            assert found is None
        else:
            assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("row", CORRECTION, ids=lambda row: f"{row[0]} degC")
def test_ambient_correction(row: tuple[int, float | None, float | None, float | None]) -> None:
    for insulation_c, expected in zip(INSULATIONS, row[1:], strict=True):
        for ambient_c in (row[0], row[0] - 4):  # top and bottom of the band
            assert ambient_factor(insulation_c, ambient_c) == (expected or 0.0)


def test_ten_gauge_in_45_degrees() -> None:
    # worked from the two tables: 40 A × 0.87 = 34.8 A
    assert ampacity_a(awg_area_mm2("10"), 90.0, ambient_c=45.0) == pytest.approx(34.8)


def test_two_four_gauge_side_by_side_are_one_one_gauge() -> None:
    pair = ampacity_a(awg_area_mm2("4"), 90.0, ambient_c=30.0, conductors=2)
    one = ampacity_a(awg_area_mm2("1"), 90.0, ambient_c=30.0)
    assert pair == pytest.approx(one, rel=0.002)  # 42.30 mm2 against 42.41 mm2


def test_a_section_between_two_gauges_lies_between_them() -> None:
    found = ampacity_a(35.0, 90.0, ambient_c=30.0)  # 2 AWG is 33.6 mm2 and 130 A, 1 AWG 42.4 mm2 and 145 A
    assert found is not None
    assert 130.0 < found < 145.0
