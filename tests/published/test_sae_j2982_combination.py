"""Half city, half steady: ranges combine harmonically, as energy adds by distance.

Source: structure of SAE J2982 (2022), "highway commuting" = 50 % city + 50 % constant speed, read on a public page on
the standard; the formula is from memory.
"""

import pytest

from quoting.ride.cycles import combined_range_km


def test_100_and_80_km_make_88_889_km():
    # 1 / (0.5/100 + 0.5/80) = 1 / 0.01125 = 88.889; the arithmetic mean, 90, would promise too much.
    assert combined_range_km(100, 80) == pytest.approx(88.8889, abs=0.0001)


def test_riding_the_combination_empties_the_pack():
    # 8000 Wh; city 50 Wh/km = 160 km, steady 100 Wh/km = 80 km: half each is 75 Wh/km, 106.667 km.
    assert combined_range_km(160, 80) == pytest.approx(8000 / 75)


def test_all_of_one_kind_is_that_kind():
    assert combined_range_km(100, 80, first_share=1.0) == pytest.approx(100)
    assert combined_range_km(100, 80, first_share=0.0) == pytest.approx(80)
