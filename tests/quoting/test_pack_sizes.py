"""The smallest pack that carries the drive and the largest that the bays hold, in figures and in words."""

from __future__ import annotations

import pytest

from quoting.pack import size_words
from quoting.result import PackFigures
from tests.quoting.rules.bike import Bike


def pack(bike: Bike) -> PackFigures:
    found = bike.facts().pack
    assert found is not None
    return found


# 20 in series at 20 % charge: 71.108 V rested. Controller 120 A for good, 200 A at peak; cells 20 A and 35 A; cut-off
# 61 V. 6 in parallel: 120 A and 210 A; 20/6 × 12 mΩ + 1 mΩ = 41 mΩ, 71.108 − 200 × 0.041 = 62.9 V. 5 give 100 A.
def test_the_smallest_pack_is_the_fewest_that_carry_the_controller() -> None:
    assert pack(Bike()).least_parallel == 6


# The same with a 3 kW motor: (3000 + 600 + 150)/0.96 + 60 = 3966 W for good and at peak. 3 in parallel are 81 mΩ:
# (71.108 − √(71.108² − 4 × 0.081 × 3966))/(2 × 0.081) = 59.9 A of 60 A; 2 in parallel give 40 A.
def test_a_weaker_motor_needs_less() -> None:
    weak = Bike().with_("motor", cont_kw=3, peak_kw=3)
    assert pack(weak).least_parallel == 3


# At a cut-off of 71.1 V, 8 mV under the rested 71.108 V, no count holds.
def test_none_will_do_under_a_cut_off_that_is_too_high() -> None:
    assert pack(Bike().with_("controller", low_cut_v=71.1)).least_parallel is None


def test_the_largest_pack_is_what_the_bays_hold() -> None:
    found = pack(Bike())
    capacity = sum(bay.capacity for bay in found.fit)
    assert found.most_parallel == capacity // 20
    assert capacity >= 240
    # With so many it still fits, and with one more it does not.
    most = found.most_parallel
    assert most is not None
    assert pack(Bike().packed(parallel=most)).fit[0].used == 20 * most
    assert any("cells" in words for words in pack(Bike().packed(parallel=most + 1)).unplaced)


def test_both_have_their_working_in_words() -> None:
    found = pack(Bike())
    results = {working.figure: working.result for working in found.workings}
    # 72 V × 4.5 Ah × 6 = 1944 Wh
    assert results["least_parallel"] == "20 × 6, 1.94 kWh"
    assert results["most_parallel"] == size_words(found, found.most_parallel)


@pytest.mark.parametrize(("slot", "spec"), [("cell", "cont_a"), ("cell", "resistance_mohm"), ("motor", "cont_kw")])
def test_what_is_not_known_is_not_sized(slot: str, spec: str) -> None:
    found = pack(Bike().with_(slot, **{spec: None}))
    assert found.least_parallel is None
    assert size_words(found, found.least_parallel) == "not known"


def test_without_bays_nothing_says_how_many_fit() -> None:
    assert pack(Bike().given(bays=()).without("enclosure")).most_parallel is None
