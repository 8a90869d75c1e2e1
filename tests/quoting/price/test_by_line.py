"""A sheet taken apart by lines adds up to itself."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.price import line_shares, price_sheet
from quoting.request import Discount, Option, Policies, TaxPlace
from tests.quoting.price.quotes import authority, extra, not_taxed, option, part, place, quote
from tests.quoting.price.test_properties import CURRENCIES, OPTIONS, POLICIES, places

D = Decimal


def test_by_hand() -> None:
    """
    1000.00 part, 300.00 freight, discount 10 % = 130.00: nets 900.00 and 270.00.
    State 6 % on both: 54.00 + 16.20 = 70.20; county 1.25 % on parts only: 11.25. 1170.00 + 81.45 = 1251.45.
    """
    county = replace(authority("County", "0.0125"), rates=(
        *(rate for rate in authority("County", "0.0125").rates if rate.tax_class != "freight"), not_taxed("freight"),
    ))  # fmt: skip
    made = option([part("1000.00"), extra("300.00")], discount=Discount(reason="Winter", rate=D("0.10")))
    request = quote(made, place(authority("State", "0.06"), county))
    sheet = price_sheet(request, request.options[0])
    first, second = line_shares(request, sheet)
    assert (first.net, first.taxes, first.total) == (D("900.00"), (D("54.00"), D("11.25")), D("965.25"))
    assert (second.net, second.taxes, second.total) == (D("270.00"), (D("16.20"), D("0.00")), D("286.20"))
    assert first.total + second.total == sheet.total == D("1251.45")


def test_a_price_that_includes_its_tax_is_taken_apart_without_it() -> None:
    """119.00 and 59.50 at 19 % included: 19.00 and 9.50 of tax in them."""
    request = quote(option([part("119.00"), extra("59.50")]), place(authority("State", "0.19"), mode="included"))
    shares = line_shares(request, price_sheet(request, request.options[0]))
    assert [(share.net, share.taxes) for share in shares] == [(D("100.00"), (D("19.00"),)), (D("50.00"), (D("9.50"),))]


def test_without_its_tax_a_sheet_cannot_be_taken_apart() -> None:
    request = quote(option([part("100.00")]), None)
    with pytest.raises(ValueError, match="tax of this sheet is not known"):
        line_shares(request, price_sheet(request, request.options[0]))


@settings(max_examples=60)
@given(OPTIONS, st.one_of(places("added", True), places("included", False)), POLICIES, CURRENCIES)
def test_shares_add_up_to_the_sheet(option: Option, place: TaxPlace, policies: Policies, currency: str) -> None:
    request = replace(quote(option, place), policies=policies, currency=currency)
    sheet = price_sheet(request, request.options[0])
    shares = line_shares(request, sheet)
    assert sum((share.net for share in shares), D(0)) == sheet.net
    for column, authority_share in enumerate(sheet.taxes):
        assert sum((share.taxes[column] for share in shares), D(0)) == authority_share.amount
    assert all(min(share.taxes, default=D(0)) >= 0 for share in shares)
