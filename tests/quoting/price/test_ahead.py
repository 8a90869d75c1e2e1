"""A price of which a part was taxed before, taken apart by lines. See tests/published/test_vat_directive_65.py."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quoting.price import keep_rates, line_shares, taxed_at_payment
from quoting.request import TaxPlace
from tests.quoting.price.quotes import DAY, authority, extra, option, part, place, quote, rate, sheet, step

D = Decimal
LATER = date(2026, 7, 1)
# Parts at 20 %, work at 10 %, the fee not taxed.
MIXED = option([part("1200.00"), step("10", "80.00", tax_class="fabrication_labor"), extra("50.00", "fee", "fee")])


def stepped(mode: str, later: str | None) -> TaxPlace:
    """Parts take another rate from July on; None: they are not taxed any more."""
    made = authority("National", "0.20", fabrication_labor="0.10", fee=None)
    own = next(each for each in made.rates if each.tax_class == "parts")
    after = rate("parts", later or "0", begin=LATER, taxed=later is not None)
    rates = (*(each for each in made.rates if each != own), replace(own, end=date(2026, 6, 30)), after)
    return place(replace(made, rates=rates), mode=mode)


@pytest.mark.parametrize("mode", ["added", "included"])
@pytest.mark.parametrize("later", ["0.21", None])
def test_lines_add_up_to_both_rates_and_what_is_not_taxed_bears_none(mode: str, later: str | None) -> None:
    where = stepped(mode, later)
    deposit = taxed_at_payment(sheet(MIXED, where), D(0), D("600.00"))
    whole = keep_rates(sheet(MIXED, where, day=LATER), deposit)
    shares = line_shares(quote(MIXED, where, day=LATER), whole)
    assert sum(share.net for share in shares) == whole.net
    assert sum(share.total for share in shares) == whole.total
    for column, each in enumerate(whole.taxes):
        assert sum(share.taxes[column] for share in shares) == each.amount
    assert not sum(shares[-1].taxes)


def test_a_deposit_holds_the_prices_own_mix_of_rates() -> None:
    # Added: 1,200 × 20 % = 240 and 800 × 10 % = 80 on 2,050: 2,370 with tax. 600 of it hold 320 × 600/2,370 = 81.01.
    deposit = taxed_at_payment(sheet(MIXED, stepped("added", "0.21"), day=DAY), D(0), D("600.00"))
    assert (deposit.tax, deposit.shares[0].rates) == (D("81.01"), (D("0.20"), D("0.10")))


def test_a_sheet_whose_tax_is_not_known_taxes_nothing() -> None:
    with pytest.raises(ValueError, match="not known"):
        taxed_at_payment(sheet(MIXED), D(0), D(1))
    with pytest.raises(ValueError, match="not known"):
        keep_rates(sheet(MIXED), taxed_at_payment(sheet(MIXED, stepped("added", "0.21")), D(0), D(1)))
