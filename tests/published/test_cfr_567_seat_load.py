"""The least gross weight rating for the seats that are used, as a finding.

Source: 49 CFR 567.4(g)(3): GVWR at least the unloaded weight plus 150 lb (68.0389 kg) for each designated seat. A bike
of 204 kg with two seats: 204 + 2 × 68.0389 = 340.08 kg.
"""

from __future__ import annotations

import pytest

from tests.quoting.rules.bike import Bike


@pytest.mark.parametrize(("gvwr_kg", "two_up", "levels"), [
    (340.08, True, ()),
    (340.07, True, ("stop",)),
    (272.04, False, ()),
    (272.03, False, ("stop",)),
])  # fmt: skip
def test_the_plate_leaves_150_pounds_a_seat(gvwr_kg: float, two_up: bool, levels: tuple[str, ...]) -> None:
    bike = Bike().given(gvwr_kg=gvwr_kg).wishing(two_up=two_up).saying("weight", after_kg=204.0, laden_kg=250.0)
    assert bike.levels("payload-under-seats") == levels
