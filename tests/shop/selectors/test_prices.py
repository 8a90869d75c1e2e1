from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from shop.models import ExchangeRate, Shop
from shop.selectors.prices import PriceList, catalogue_items, component_price, exchange_rates
from tests.shop.made_parts import SOUND, make_component, make_offer, make_sound_components, make_supplier, receive

DAY = date(2026, 3, 2)


def price(shop: Shop, component, by_hand: Decimal | None = None):
    return PriceList(shop, DAY, [component]).price(component, by_hand)


def test_the_list_price_stands_before_cost_and_markup(shop: Shop) -> None:
    motor = make_component("MOT-1")
    make_offer(motor, priced_on=DAY)
    found = price(shop, motor)
    assert (found.unit_price, found.unit_cost, found.priced_on) == (Decimal(1450), Decimal(725), DAY)
    assert found.origin == "list price"


def test_a_price_by_hand_stands_before_both_and_keeps_the_cost(shop: Shop) -> None:
    motor = make_component("MOT-1")
    make_offer(motor, priced_on=DAY)
    found = price(shop, motor, Decimal("1399.00"))
    assert (found.unit_price, found.unit_cost, found.origin) == (Decimal(1399), Decimal(725), "by hand")


def test_without_a_list_price_it_is_landed_cost_and_markup(shop: Shop) -> None:
    # 3.40 + 0.20 freight + 5 % duty on 3.40 = 3.77; × 1.35 = 5.0895, rounded half up to 5.09.
    cell = make_component("CEL-1")
    make_offer(cell, priced_on=DAY, freight_share=Decimal("0.20"), duty_rate=Decimal("0.05"))
    found = price(shop, cell)
    assert (found.unit_cost, found.unit_price) == (Decimal("3.77"), Decimal("5.09"))
    assert found.origin == "cost and markup"


def test_a_foreign_cost_takes_the_rate_of_the_day(shop: Shop) -> None:
    # 3.40 × 1.10 = 3.74; × 1.35 = 5.049, rounded to 5.05. The rate of 3 March is not in force on 2 March.
    for day, rate in ((date(2026, 1, 5), "1.05"), (date(2026, 3, 1), "1.10"), (date(2026, 3, 3), "1.20")):
        ExchangeRate.objects.create(currency="EUR", day=day, rate=Decimal(rate))
    cell = make_component("CEL-1")
    make_offer(cell, priced_on=DAY, supplier=make_supplier("overseas", currency="EUR"))
    assert price(shop, cell).unit_price == Decimal("5.05")


def test_without_an_exchange_rate_nothing_is_guessed(shop: Shop) -> None:
    cell = make_component("CEL-1")
    make_offer(cell, priced_on=DAY, supplier=make_supplier("overseas", currency="EUR"))
    found = price(shop, cell)
    assert found.unit_price is None
    assert found.unit_cost is None
    assert "exchange rate for EUR" in found.remedy


def test_without_list_price_or_offer_there_is_no_price_and_the_remedy_says_what_to_enter(shop: Shop) -> None:
    found = price(shop, make_component("CEL-1"))
    assert (found.unit_price, found.unit_cost, found.priced_on) == (None, None, None)
    assert found.remedy == "Enter a list price for CEL-1, or a supplier's offer marked as preferred."


def test_an_offer_that_is_not_preferred_decides_nothing(shop: Shop) -> None:
    cell = make_component("CEL-1")
    make_offer(cell, priced_on=DAY, preferred=False)
    assert price(shop, cell).unit_price is None


def test_a_price_goes_stale_by_the_suppliers_figure_else_the_shops(shop: Shop) -> None:
    strict = make_offer(make_component("CEL-1"), priced_on=DAY, supplier=make_supplier("strict", stale_after_days=0))
    usual = make_offer(make_component("MOT-1"), priced_on=DAY)
    prices = PriceList(shop, DAY)
    assert prices.stale_after_days(strict) == 0
    assert prices.stale_after_days(usual) == 60
    assert prices.stale_after_days(None) == 60


def test_the_newest_rate_of_each_currency_counts(shop: Shop) -> None:
    for currency, day, rate in (("EUR", 1, "1.10"), ("EUR", 2, "1.11"), ("CAD", 1, "0.70"), ("CAD", 9, "0.75")):
        ExchangeRate.objects.create(currency=currency, day=date(2026, 3, day), rate=Decimal(rate))
    assert exchange_rates(DAY) == {"EUR": Decimal("1.11"), "CAD": Decimal("0.70")}


def test_the_price_of_one_component_today(shop: Shop) -> None:
    assert component_price(make_component("FUS-1")).unit_price == Decimal(28)


def test_the_catalogue_leaves_out_what_cannot_be_offered(shop: Shop) -> None:
    receive(make_component("MOT-1"), 3)
    make_component("CEL-1")  # nobody has priced it
    make_component("FUS-1", discontinued=True)
    (item,) = catalogue_items(day=DAY)
    assert (item.code, item.kind, item.unit_price, item.free_quantity) == ("MOT-1", "motor", Decimal(1450), Decimal(3))
    assert item.spec["max_v"] == 100
    assert catalogue_items(day=DAY, kind="fuse") == ()


@pytest.mark.parametrize("rows", [1, 19])
def test_queries_stay_flat(shop: Shop, rows: int, django_assert_num_queries) -> None:
    make_sound_components(DAY, only=list(SOUND)[:rows])
    with django_assert_num_queries(6):  # shop, offers, their breaks, rates, balances, components
        assert len(catalogue_items(day=DAY)) == rows
