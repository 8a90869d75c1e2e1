"""All-or-nothing thresholds, tax holidays entered with them, and certificates of one authority."""

from datetime import date
from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.price import exempt_in_force, rate_problems
from quoting.request import Authority, Policies
from tests.quoting.price.quotes import amounts, authority, option, part, place, rate, sheet

D = Decimal
EXEMPT = Policies(customer_tax_exempt=True, exempt_certificate="EX-1", exempt_with="State")


def state(*rates: object) -> Authority:
    return Authority(name="State", level="state", rates=rates)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("price", "tax"),
    [("99.99", "0.00"), ("100.00", "0.00"), ("100.01", "5.00"), ("200.00", "10.00")],  # 5 % of all of 100.01 = 5.0005
)
def test_above_an_all_or_nothing_threshold_everything_is_taxed(price: str, tax: str) -> None:
    stack = place(state(rate("parts", "0.05", threshold=D(100), whole=True)))
    assert sheet(option([part(price)]), stack).tax_total == D(tax)


def test_a_plain_threshold_taxes_only_what_exceeds_it() -> None:
    stack = place(state(rate("parts", "0.05", threshold=D(100))))
    assert sheet(option([part("200.00")]), stack).tax_total == D("5.00")  # 5 % of 100


def test_in_a_holiday_goods_up_to_the_price_are_not_taxed_and_dearer_ones_wholly_are() -> None:
    # Two of 90 and one of 150 at 6 %, goods up to 100 free: 6 % of 150 = 9.00 in the week; 6 % of 330 = 19.80 after it.
    before = rate("parts", "0.06", begin=date(2026, 1, 1), end=date(2026, 7, 31))
    week = rate(
        "parts", "0.06", begin=date(2026, 8, 1), end=date(2026, 8, 7), threshold=D(100), per_item=True, whole=True
    )
    after = rate("parts", "0.06", begin=date(2026, 8, 8))
    assert rate_problems((before, week, after)) == ()
    stack, made = place(state(before, week, after)), option([part("90", "2"), part("150", code="P2")])
    assert [sheet(made, stack, day=date(2026, 8, day)).tax_total for day in (1, 7, 8)] == [D(9), D(9), D("19.80")]


def test_a_cap_still_limits_what_an_all_or_nothing_threshold_taxes() -> None:
    stack = place(state(rate("parts", "0.10", threshold=D(100), whole=True, cap=D(300))))
    assert sheet(option([part("500.00")]), stack).tax_total == D(30)


def test_all_or_nothing_without_a_threshold_is_refused() -> None:
    (problem,) = rate_problems((rate("parts", "0.05", whole=True),))
    assert (problem.field, "all or nothing of what" in problem.problem) == ("rates.1.threshold", True)
    with pytest.raises(RequestError, match="all or nothing"):
        sheet(option([part("5")]), place(state(rate("parts", "0.05", whole=True))))


def test_a_certificate_holds_where_its_authority_taxes() -> None:
    here = place(authority("State", "0.05"), authority("City", "0.01", level="city"))
    assert sheet(option([part("100")]), here, EXEMPT).tax_total == 0


def test_a_certificate_of_another_place_does_not_hold() -> None:
    elsewhere = place(authority("Other State", "0.05"))
    priced = sheet(option([part("100")]), elsewhere, EXEMPT)
    assert (priced.tax_total, amounts(priced)) == (D(5), {"Other State": D(5)})
    assert exempt_in_force(EXEMPT)
    assert not exempt_in_force(EXEMPT, elsewhere)
