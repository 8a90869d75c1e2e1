"""Voltage class and insulation: 60 V DC (ISO 6469-3, UN R100), 100 and 500 ohm per volt (UN R100 5.1.3).

The threshold was read in quotations of FMVSS 305 and a Canadian technical standards document, the ohms per volt in a
clause collection and a preview of ISO 6469-4. Voltages are those of the full pack, never the nominal ones.
"""

from __future__ import annotations

import pytest

from quoting.wiring import DC_OHM_PER_V, JOINED_OHM_PER_V, is_class_b, least_insulation_ohm


@pytest.mark.parametrize(
    ("series", "full_v", "class_b", "dc_kohm", "joined_kohm"),
    [
        (13, 54.6, False, 5.46, 27.3),
        (14, 58.8, False, 5.88, 29.4),
        (15, 63.0, True, 6.30, 31.5),
        (16, 67.2, True, 6.72, 33.6),
        (20, 84.0, True, 8.40, 42.0),
        (21, 88.2, True, 8.82, 44.1),
        (22, 92.4, True, 9.24, 46.2),
        (24, 100.8, True, 10.08, 50.4),
    ],
)
def test_class_and_least_resistance(
    series: int, full_v: float, class_b: bool, dc_kohm: float, joined_kohm: float
) -> None:
    assert series * 4.2 == pytest.approx(full_v)
    assert is_class_b(series * 4.2) is class_b
    assert least_insulation_ohm(full_v, DC_OHM_PER_V) / 1000 == pytest.approx(dc_kohm)
    assert least_insulation_ohm(full_v, JOINED_OHM_PER_V) / 1000 == pytest.approx(joined_kohm)


def test_sixty_volts_exactly_is_still_the_lower_class() -> None:
    assert not is_class_b(60.0)  # "> 60 V DC"
    assert is_class_b(60.01)
