"""Margin and markup: margin m = (price − cost)/price, markup k = (price − cost)/cost, so m = k/(1 + k).

Published example (calcreal.com): cost 40, markup 50 % gives a price of 60.00 and a margin of 33.33 %. The table is
worked by hand from the definitions.
"""

from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.price import margin_of_markup, markup_of_margin, price_from_margin, price_from_markup
from tests.quoting.price.quotes import authority, option, part, place, sheet

D = Decimal


def test_the_published_example() -> None:
    price = price_from_markup(D(40), D("0.50"), "USD")
    assert price == D("60.00")
    priced = sheet(option([part(str(price), unit_cost=D(40))]), place(authority("State", "0.05")))
    assert priced.margin_rate == pytest.approx(D("0.3333"), abs=D("0.00005"))


@pytest.mark.parametrize(("markup", "margin"), [("0.25", "0.20"), ("0.50", "0.333333"), ("1.00", "0.50")])
def test_margin_of_a_markup(markup: str, margin: str) -> None:
    assert margin_of_markup(D(markup)) == pytest.approx(D(margin), abs=D("5e-7"))


@pytest.mark.parametrize(("margin", "markup"), [("0.20", "0.25"), ("0.30", "0.428571"), ("0.40", "0.666667")])
def test_markup_of_a_margin(margin: str, markup: str) -> None:
    assert markup_of_margin(D(margin)) == pytest.approx(D(markup), abs=D("5e-7"))


def test_forty_percent_is_not_forty_percent() -> None:
    assert price_from_margin(D(1000), D("0.40"), "USD") == D("1666.67")
    assert price_from_markup(D(1000), D("0.40"), "USD") == D("1400.00")


def test_a_margin_of_everything_is_impossible() -> None:
    with pytest.raises(RequestError):
        price_from_margin(D(1000), D(1), "USD")
