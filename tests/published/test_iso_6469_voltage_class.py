"""Voltage class and least insulation resistance of packs of 4.2 V cells, as findings.

Source: ISO 6469-3 and UN Regulation No. 100: class B above 60 V DC at the highest working voltage; 100 ohm/V for the DC
circuit, 500 ohm/V where DC and AC are joined. The table is series × 4.2 V, worked by hand.
"""

from __future__ import annotations

import pytest

from tests.quoting.rules.bike import Bike

TABLE = [
    (13, 54.6, None, None),
    (14, 58.8, None, None),
    (15, 63.0, "31.5 kΩ", "6.3 kΩ"),
    (16, 67.2, "33.6 kΩ", "6.7 kΩ"),
    (20, 84.0, "42.0 kΩ", "8.4 kΩ"),
    (21, 88.2, "44.1 kΩ", "8.8 kΩ"),
    (22, 92.4, "46.2 kΩ", "9.2 kΩ"),
    (24, 100.8, "50.4 kΩ", "10.1 kΩ"),
]


@pytest.mark.parametrize(("series", "full_v", "joined", "dc"), TABLE)
def test_class_b_note_and_its_insulation_figures(
    series: int, full_v: float, joined: str | None, dc: str | None
) -> None:
    found = Bike().packed(series=series).said("voltage-class-b")
    assert len(found) == (joined is not None)
    for finding in found:
        assert finding.value == pytest.approx(full_v)
        assert joined is not None
        assert joined in finding.explanation
        assert dc is not None
        assert dc in finding.explanation
