"""Streamlined Sales and Use Tax Agreement, section 324 (rounding), as adopted in North Dakota Century Code 57-39.4-25,
Rhode Island 44-18.1-25, Kansas 79-3676 and Washington RCW 82.08.054:

the tax is carried to the third decimal place and rounded up to a whole cent when the third decimal is greater than
four; on an item or an invoice basis; applied to the aggregated state and local taxes. The amounts are worked by hand.
"""

import random
from decimal import ROUND_DOWN, Decimal

import pytest

from quoting.price import round_money
from quoting.request import Policies
from tests.quoting.price.quotes import amounts, authority, option, part, place, sheet

D = Decimal


@pytest.mark.parametrize(
    ("amount", "rate", "tax"),
    [
        ("1.09", "0.06875", "0.07"),  # 0.0749375: the third decimal is 4; rounding twice would give 0.08
        ("2.00", "0.0625", "0.13"),  # 0.125; half to even would give 0.12
        ("10.00", "0.0805", "0.81"),  # 0.805; half to even would give 0.80
        ("0.50", "0.05", "0.03"),  # 0.025; half to even would give 0.02
        ("18450.00", "0.105", "1937.25"),
        ("1500.00", "0.09025", "135.38"),  # 135.375
        ("9.10", "0.055", "0.50"),  # 0.5005
    ],
)
@pytest.mark.parametrize("basis", ["invoice", "line", "rate"])
def test_the_third_decimal_decides(amount: str, rate: str, tax: str, basis: str) -> None:
    priced = sheet(option([part(amount)]), place(authority("State", rate)), Policies(tax_rounding=basis))
    assert priced.tax_total == D(tax)


@pytest.mark.parametrize(
    ("prices", "rate", "by_item", "by_invoice"),
    [
        (["0.99"] * 10, "0.055", "0.50", "0.54"),  # 10 × 0.05445 -> 10 × 0.05; 0.5445
        # 90.621375, 28.23875, 5.638325, 0.905525 -> 90.62 + 28.24 + 5.64 + 0.91; 1729.71 × 0.0725 = 125.403975
        (["1249.95", "389.50", "77.77", "12.49"], "0.0725", "125.41", "125.40"),
        (["19.99"] * 3, "0.083", "4.98", "4.98"),  # 1.65917 -> 3 × 1.66; 4.97751
    ],
)
def test_item_and_invoice_basis(prices: list[str], rate: str, by_item: str, by_invoice: str) -> None:
    made = option([part(price, code=f"P{number}") for number, price in enumerate(prices)])
    taxed_in = place(authority("State", rate))
    assert sheet(made, taxed_in, Policies(tax_rounding="line")).tax_total == D(by_item)
    assert sheet(made, taxed_in, Policies(tax_rounding="invoice")).tax_total == D(by_invoice)


@pytest.mark.parametrize(
    ("amount", "rates", "aggregated", "each_rounded"),
    [
        ("9.10", ["0.05", "0.005"], "0.50", "0.51"),  # 0.5005; 0.455 -> 0.46 and 0.0455 -> 0.05
        ("7.25", ["0.05", "0.009", "0.02"], "0.57", "0.58"),  # 0.57275; 0.3625, 0.06525, 0.145 -> 0.36 + 0.07 + 0.15
    ],
)
def test_rates_are_aggregated_before_rounding(
    amount: str, rates: list[str], aggregated: str, each_rounded: str
) -> None:
    stack = place(*(authority(f"Authority {number}", rate) for number, rate in enumerate(rates)))
    priced = sheet(option([part(amount)]), stack)
    assert priced.tax_total == D(aggregated)
    assert sum(amounts(priced).values()) == D(aggregated)
    assert sum(round_money(D(amount) * D(rate), "USD") for rate in rates) == D(each_rounded)


def test_half_up_is_what_the_text_says_for_any_amount() -> None:
    """The text itself: cut after the third decimal; a cent more when that is 5 to 9."""
    chance = random.Random(324)  # noqa: S311 - amounts, not secrets
    for _ in range(20_000):
        amount, rate = D(chance.randrange(1, 10**7)).scaleb(-2), D(chance.randrange(1, 15_000)).scaleb(-5)
        carried = (amount * rate).quantize(D("0.001"), ROUND_DOWN)
        cents, third = divmod(int(carried * 1000), 10)
        assert round_money(amount * rate, "USD") == D(cents + (third > 4)).scaleb(-2)
