"""EN 16931-1, rules BR-CO-10, 13, 14, 15, 17, as published with the Peppol BIS Billing rules and in the official
schematron (which rounds halves up and tolerates a unit, so it proves no cents: the amounts are worked by hand).

Value-added tax is worked out for each rate on the summed base, rounded to two decimals.
"""

from decimal import Decimal

import pytest

from quoting.request import Discount, Policies
from quoting.result import PriceSheet
from tests.quoting.price.quotes import authority, extra, option, part, place, sheet

D = Decimal
PER_RATE = Policies(tax_rounding="rate")


def added(rate: str, *prices: tuple[str, str]) -> PriceSheet:
    lines = [part(price, quantity, code=f"P{n}") for n, (price, quantity) in enumerate(prices)]
    return sheet(option(lines), place(authority("Land", rate)), PER_RATE, "EUR")


def included(gross: str, rate: str) -> PriceSheet:
    return sheet(option([part(gross)]), place(authority("Land", rate), mode="included"), PER_RATE, "EUR")


def test_tax_falls_on_the_summed_base_not_on_lines() -> None:
    # 3 lines of 33.33 at 20 %: base 99.99, exact 19.998 -> 20.00; by line 3 × 6.67 = 20.01
    priced = added("0.20", ("33.33", "1"), ("33.33", "1"), ("33.33", "1"))
    assert (priced.net, priced.tax_total, priced.total) == (D("99.99"), D("20.00"), D("119.99"))


def test_halves_go_up() -> None:
    assert added("0.05", ("102.50", "1")).tax_total == D("5.13")  # 5.125


@pytest.mark.parametrize(
    ("gross", "rate", "tax", "net"),
    [
        ("100.00", "0.20", "16.67", "83.33"),
        ("100.00", "0.19", "15.97", "84.03"),
        ("12000.00", "0.21", "2082.64", "9917.36"),  # tax worked again from the net would be 2082.65
        ("0.09", "0.19", "0.01", "0.08"),  # no net with two decimals gives 0.09: the gross is the master
    ],
)
def test_tax_contained_in_a_gross_price(gross: str, rate: str, tax: str, net: str) -> None:
    priced = included(gross, rate)
    assert (priced.total, priced.tax_total, priced.net) == (D(gross), D(tax), D(net))


def test_totals_follow_the_rules() -> None:
    """Two rates, a document-level allowance of 10 % in proportion.

    Lines 200.00 + 55.55 at 20 %, 40.10 at 5 %: BT-106 = 295.65; allowance BT-107 = 29.565 -> 29.57.
    Its shares: 2957 × 200/295.65 = 2000.34, × 55.55/295.65 = 555.60, × 40.10/295.65 = 401.07 -> 2000 + 556 + 401.
    Bases 180.00 + 49.99 = 229.99 at 20 % = 45.998 -> 46.00; 36.09 at 5 % = 1.8045 -> 1.80.
    """
    made = option(
        [part("200.00"), part("55.55", code="P2"), extra("40.10")], discount=Discount(reason="Trade", rate=D("0.10"))
    )
    priced = sheet(made, place(authority("Land", "0.20", freight="0.05")), PER_RATE, "EUR")
    lines = sum(line.amount for line in priced.lines if line.group != "discount")
    assert lines == priced.parts + priced.hours + priced.extras == D("295.65")  # BR-CO-10
    assert priced.net == lines - D("29.57")  # BR-CO-13
    assert priced.tax_total == D("46.00") + D("1.80")  # BR-CO-14 and 17
    assert priced.total == priced.net + priced.tax_total == D("313.88")  # BR-CO-15
    assert priced.due == priced.total - priced.allowance  # BR-CO-16, nothing paid yet
