from decimal import ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import RequestError
from quoting.price import minor_digits, round_money, split

MONEY = st.decimals(min_value=-10_000_000, max_value=10_000_000, places=6)


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    [
        ("2.005", "USD", "2.01"),
        ("2.00499999", "USD", "2.00"),
        ("-2.005", "USD", "-2.01"),
        ("0", "USD", "0.00"),
        ("-0.004", "USD", "0.00"),
        ("1234.5", "JPY", "1235"),
        ("1.0005", "KWD", "1.001"),
        ("1.00005", "CLF", "1.0001"),
    ],
)
def test_half_goes_away_from_zero_at_the_minor_unit(amount: str, currency: str, rounded: str) -> None:
    assert str(round_money(Decimal(amount), currency)) == rounded


def test_a_fraction_is_rounded_exactly() -> None:
    # 1/3 of a cent above and below half a cent: 0.005 ± 1/300
    assert round_money(Fraction(1, 200) - Fraction(1, 10**30), "USD") == Decimal("0.00")
    assert round_money(Fraction(1, 200), "USD") == Decimal("0.01")


@given(MONEY)
def test_agrees_with_the_standard_librarys_half_up(amount: Decimal) -> None:
    assert round_money(amount, "USD") == amount.quantize(Decimal("0.01"), ROUND_HALF_UP, Context(prec=40))


@pytest.mark.parametrize("code", ["usd", "XAU", "XXX", "", "DOLLAR"])
def test_an_unknown_currency_is_refused_with_a_remedy(code: str) -> None:
    with pytest.raises(RequestError, match=r"currency: .* is not a currency\. Use the three-letter code"):
        minor_digits(code)


def test_a_cent_left_over_goes_to_the_greatest_remainder() -> None:
    # 1.00 over 1:1:1 is 33 1/3 each: 33 33 33, one left, equal remainders: the first.
    assert split(Decimal("1.00"), [Decimal(1)] * 3, "USD") == (Decimal("0.34"), Decimal("0.33"), Decimal("0.33"))
    # 0.58 over 5 : 0.9 : 2 = 36.71, 6.61, 14.68 cents: 36 6 14 leaves two, for .71 and .68.
    parts = split(Decimal("0.58"), [Decimal(5), Decimal("0.9"), Decimal(2)], "USD")
    assert parts == (Decimal("0.37"), Decimal("0.06"), Decimal("0.15"))


def test_a_negative_amount_splits_as_its_mirror() -> None:
    weights = [Decimal(2), Decimal(3), Decimal("0.5")]
    mirror = split(Decimal("-7.77"), weights, "USD")
    assert mirror == tuple(-part for part in split(Decimal("7.77"), weights, "USD"))


@given(
    st.integers(-(10**9), 10**9),
    st.lists(st.decimals(min_value=0, max_value=10**6, places=4), min_size=1, max_size=12).filter(any),
)
def test_parts_add_up_stay_within_a_unit_of_their_share_and_zero_weights_get_nothing(
    units: int, weights: list[Decimal]
) -> None:
    amount = Decimal(units).scaleb(-2)
    parts = split(amount, weights, "USD")
    assert sum(parts) == amount
    for part, weight in zip(parts, weights, strict=True):
        assert abs(Fraction(part) - Fraction(amount) * Fraction(weight) / Fraction(sum(weights))) < Fraction(1, 100)
        assert weight or not part


@pytest.mark.parametrize(
    ("amount", "weights", "text"),
    [("1.001", [1], "whole minor units"), ("1.00", [1, -1], "negative"), ("1.00", [0, 0], "all zero")],
)
def test_what_cannot_be_split_is_refused(amount: str, weights: list[int], text: str) -> None:
    with pytest.raises(ValueError, match=text):
        split(Decimal(amount), [Decimal(weight) for weight in weights], "USD")


def test_nothing_over_nobody_is_nothing() -> None:
    assert split(Decimal(0), [], "USD") == ()
