"""When the tax falls on a sale with a deposit: at its completion, on the whole price, not on the deposit.

Washington Department of Revenue, guidance on layaway sales: 1,500 and a fee of 50 are reported as 1,550 in the month
the sale completes; likewise Colorado GIL 11-001 and California CDTFA annotation 200.0160. Arizona R15-5-131 treats a
deposit that is not given back otherwise: such a place is for the shop to look after. Rates are invented.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from quoting.price import deposit_on
from quoting.request import Policies
from tests.quoting.price.quotes import authority, extra, option, part, place, rate, sheet

D = Decimal
LAYAWAY = option([part("1500.00"), extra("50.00", kind="fee", tax_class="fee")])


def test_the_whole_price_is_taxed_and_the_deposit_changes_nothing() -> None:
    # 10 % of 1,550 is 155, whatever was paid before.
    for share in ("0", "0.30", "1"):
        priced = sheet(LAYAWAY, place(authority("State", "0.10")), Policies(deposit_rate=D(share)))
        assert (priced.taxes[0].taxable, priced.tax_total) == (D("1550.00"), D("155.00"))


def test_a_deposit_is_a_share_of_what_is_due_and_has_no_tax_of_its_own() -> None:
    # 30 % of 1,705 is 511.50.
    assert deposit_on(D("1705.00"), Policies(deposit_rate=D("0.30")), "USD") == D("511.50")


def test_the_rate_of_the_day_it_completes_counts() -> None:
    state = authority("State", "0.10")
    stepped = replace(
        state,
        rates=tuple(
            dated
            for each in state.rates
            for dated in (
                replace(each, end=date(2026, 6, 30)),
                rate(each.tax_class, "0.08", begin=date(2026, 7, 1)),
            )
        ),
    )
    quoted, completed = (sheet(LAYAWAY, place(stepped), day=day) for day in (date(2026, 3, 2), date(2026, 7, 1)))
    assert (quoted.tax_total, completed.tax_total) == (D("155.00"), D("124.00"))
