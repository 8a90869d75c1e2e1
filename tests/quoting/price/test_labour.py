from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.price import pert_deviation_h, pert_mean_h, quantile_h, quoted_h
from quoting.request import Policies, StepLine

ESTIMATE = StepLine(code="S1", label="Mounts", low_h=Decimal(4), likely_h=Decimal(6), high_h=Decimal(8))


def test_the_middle_of_an_even_estimate_is_its_likely_hours() -> None:
    assert quantile_h(Decimal(4), Decimal(6), Decimal(8), 50) == pytest.approx(Decimal(6), abs=Decimal("1e-9"))


def test_an_estimate_without_spread_is_that_at_every_percentile() -> None:
    assert {quantile_h(Decimal(5), Decimal(5), Decimal(5), p) for p in (1, 60, 99)} == {Decimal(5)}


def test_the_percentile_sets_the_hours() -> None:
    # beta(3, 3) on 4..8 h: scipy.stats.beta.ppf(0.6, 3, 3) = 0.5536..., 4 + 4 × 0.5536 = 6.21 -> 6.25 by quarters.
    assert quoted_h(ESTIMATE, Policies(hours_percentile=60)) == Decimal("6.25")
    assert quoted_h(ESTIMATE, Policies(hours_percentile=60, hours_step=Decimal("0.1"))) == Decimal("6.2")
    assert quoted_h(ESTIMATE, Policies(hours_percentile=50)) == Decimal("6.00")


def test_a_tie_on_paper_goes_up() -> None:
    # Even estimate 3..5.25 about 4.125: the 50th percentile is 4.125 h, halfway between 4.00 and 4.25.
    tie = replace(ESTIMATE, low_h=Decimal(3), likely_h=Decimal("4.125"), high_h=Decimal("5.25"))
    assert quoted_h(tie, Policies(hours_percentile=50)) == Decimal("4.25")


def test_hours_set_by_hand_stand_as_typed() -> None:
    assert quoted_h(replace(ESTIMATE, hours=Decimal("7.13")), Policies()) == Decimal("7.13")
    assert quoted_h(replace(ESTIMATE, hours=Decimal(0)), Policies()) == 0


def test_likely_hours_alone_are_the_estimate_and_none_at_all_is_no_work() -> None:
    assert quoted_h(StepLine(code="S", label="S", likely_h=Decimal(3)), Policies()) == 3
    assert quoted_h(StepLine(code="S", label="Paint", lead_days=10), Policies()) == 0


def test_a_small_step_is_never_rounded_away() -> None:
    assert quoted_h(StepLine(code="S", label="S", likely_h=Decimal("0.05")), Policies()) == Decimal("0.25")


@pytest.mark.parametrize("points", [(3, 2, 4), (1, 5, 4), (4, 4, 3)])
def test_an_estimate_out_of_order_is_refused(points: tuple[int, int, int]) -> None:
    low, likely, high = map(Decimal, points)
    with pytest.raises(ValueError, match="low over likely to high"):
        quantile_h(low, likely, high, 60)


@pytest.mark.parametrize("percentile", [0, 100, -5])
def test_a_percentile_out_of_range_is_refused(percentile: int) -> None:
    with pytest.raises(ValueError, match="1 to 99"):
        quantile_h(Decimal(1), Decimal(2), Decimal(3), percentile)


@given(
    st.lists(st.decimals(min_value=0, max_value=400, places=2), min_size=3, max_size=3).map(sorted),
    st.integers(1, 98),
)
def test_hours_stay_inside_the_estimate_and_rise_with_the_percentile(points: list[Decimal], percentile: int) -> None:
    low, likely, high = points
    hours, more = quantile_h(low, likely, high, percentile), quantile_h(low, likely, high, percentile + 1)
    assert low <= hours <= more <= high
    assert low <= pert_mean_h(low, likely, high) <= high
    assert pert_deviation_h(low, high) >= 0
