"""Price breaks in landed cost, certificates of one authority, a contingency within the hours."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quoting import quote
from shop.models import Component, Offer, OptionPart, Shop, TaxAuthority
from shop.selectors.prices import PriceList
from shop.selectors.requests import quote_request
from shop.services.certificates import certificate_save
from shop.services.quotes import option_change
from tests.shop.made_parts import make_component, make_offer, make_supplier
from tests.shop.made_quotes import make_sound_draft

D = Decimal
DAY = date(2026, 3, 2)


@pytest.fixture
def cell(shop: Shop) -> Component:
    """4.00 each, 3.00 from 100, 2.50 from 400; freight 0.10, no duty, markup 35 %."""
    component = make_component("CEL-1")
    offer = make_offer(component, priced_on=DAY, unit_cost=D(4), freight_share=D("0.10"), duty_rate=D(0))
    offer.breaks.create(from_quantity=D(100), unit_cost=D(3))
    offer.breaks.create(from_quantity=D(400), unit_cost=D("2.5"))
    return component


@pytest.mark.parametrize(
    ("quantity", "cost", "price"),
    # (4 + 0.10) × 1.35 = 5.535 -> 5.54; 3.10 × 1.35 = 4.185 -> 4.19; 2.60 × 1.35 = 3.51
    [("1", "4.10", "5.54"), ("99", "4.10", "5.54"), ("100", "3.10", "4.19"), ("480", "2.60", "3.51")],
)
def test_the_break_a_quantity_reaches_makes_cost_and_price(
    shop: Shop, cell: Component, quantity: str, cost: str, price: str
) -> None:
    Component.objects.filter(pk=cell.pk).update(markup_rate=D("0.35"))
    cell.refresh_from_db()
    made = PriceList(shop, DAY, [cell]).price(cell, None, D(quantity))
    assert (made.unit_cost, made.unit_price) == (D(cost), D(price))


def test_duty_falls_on_freight_where_the_shop_says_so(shop: Shop, cell: Component) -> None:
    """4 and 0.10 of freight at 10 %: 4 + 0.10 + 0.40 = 4.50; on both, 4.10 × 1.10 = 4.51."""
    Offer.objects.update(duty_rate=D("0.1"))
    assert PriceList(shop, DAY, [cell]).price(cell).unit_cost == D("4.50")
    shop.duty_on_freight = True
    assert PriceList(shop, DAY, [cell]).price(cell).unit_cost == D("4.51")


def test_a_list_price_stays_and_its_margin_follows_the_break(shop: Shop, cell: Component) -> None:
    cell.list_price = D(6)
    few, many = (PriceList(shop, DAY, [cell]).price(cell, None, D(count)) for count in (1, 480))
    assert (few.unit_price, many.unit_price) == (D(6), D(6))
    assert (few.unit_cost, many.unit_cost) == (D("4.10"), D("2.60"))


def test_a_quote_takes_the_break_of_its_count(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    part = OptionPart.objects.get(option__version=version, component__code="CEL-1")
    offer = Offer.objects.get(component=part.component, preferred=True)
    before = next(line for line in quote_request(version).options[0].parts if line.code == "CEL-1").unit_cost
    offer.breaks.create(from_quantity=part.quantity, unit_cost=offer.unit_cost / 2)
    after = next(line for line in quote_request(version).options[0].parts if line.code == "CEL-1").unit_cost
    assert after is not None
    assert before is not None
    assert after < before
    offer.breaks.update(from_quantity=part.quantity + 1)
    again = next(line for line in quote_request(version).options[0].parts if line.code == "CEL-1").unit_cost
    assert again == before


def test_breaks_are_in_the_suppliers_currency(shop: Shop, cell: Component) -> None:
    supplier = make_supplier("abroad", currency="EUR")
    Offer.objects.filter(component=cell).update(supplier=supplier)
    assert PriceList(shop, DAY, [cell]).price(cell, None, D(480)).remedy.startswith("Enter an exchange rate for EUR")


def test_a_certificate_holds_with_its_authority_alone(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    assert version.tax_place is not None
    customer, here = version.quote.customer, version.tax_place.authorities.order_by("pk")[0]
    assert customer is not None
    elsewhere = TaxAuthority.objects.create(name="Farland", level="state")
    held = certificate_save(customer=customer, person=None, number="EX-1", kind="resale", authority=here)
    exempt = quote(quote_request(version)).options[0]
    assert exempt.price.tax_total == 0
    certificate_save(customer=customer, person=None, certificate=held, authority=elsewhere)
    taxed = quote(quote_request(version)).options[0]
    assert taxed.price.tax_total
    said = next(finding for finding in taxed.findings if finding.rule == "exempt-certificate")
    assert "Farland's, which does not tax in" in said.explanation


def test_a_contingency_goes_into_the_hours_and_back(shop: Shop) -> None:
    version = make_sound_draft(shop, DAY)
    option = version.options.get()
    option_change(option=option, person=None, contingency_rate=D("0.05"), contingency_in_labor=True)
    price = quote(quote_request(version)).options[0].price
    assert price.contingency == 0
    assert price.contingency_in_labor
    option.refresh_from_db()
    option_change(option=option, person=None, contingency_in_labor=False)
    assert quote(quote_request(version)).options[0].price.contingency > 0
