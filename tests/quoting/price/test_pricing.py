from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.price import landed_cost, markup_of_margin, price_from_margin, price_from_markup

D = Decimal


def test_landed_cost_adds_exchange_freight_and_duty_on_the_goods() -> None:
    # 100 abroad × 1.08 = 108; duty 2.5 % of 108 = 2.70; freight 6.30: 117.00
    assert landed_cost(D(100), D("1.08"), freight=D("6.30"), duty_rate=D("0.025")) == D("117.00")


def test_duty_may_fall_on_freight_too() -> None:
    # (108 + 6.30) × 1.025 = 117.1575
    cost = landed_cost(D(100), D("1.08"), freight=D("6.30"), duty_rate=D("0.025"), duty_on_freight=True)
    assert cost == D("117.1575")


@pytest.mark.parametrize("field", ["freight", "duty_rate"])
def test_a_negative_input_is_refused_by_name(field: str) -> None:
    with pytest.raises(RequestError, match=f"{field}: is negative"):
        landed_cost(D(1), D(1), **{field: D(-1)})  # type: ignore[arg-type]


def test_an_exchange_rate_of_zero_is_refused() -> None:
    with pytest.raises(RequestError, match="exchange_rate: must be more than zero"):
        landed_cost(D(1), D(0))


def test_a_price_is_rounded_once() -> None:
    # 33.335 × 1.30 = 43.3355 -> 43.34; in yen 43
    assert price_from_markup(D("33.335"), D("0.30"), "USD") == D("43.34")
    assert price_from_markup(D("33.335"), D("0.30"), "JPY") == D(43)


@pytest.mark.parametrize("margin", ["1", "1.2", "-0.1"])
def test_a_margin_no_price_can_give_is_refused(margin: str) -> None:
    with pytest.raises(RequestError, match="from 0 to less than 100 %"):
        markup_of_margin(D(margin))
    with pytest.raises(RequestError, match="margin_rate"):
        price_from_margin(D(10), D(margin), "USD")


def test_a_negative_markup_is_refused() -> None:
    with pytest.raises(RequestError, match="take off with a discount"):
        price_from_markup(D(10), D("-0.01"), "USD")
