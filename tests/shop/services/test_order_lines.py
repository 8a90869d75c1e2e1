"""Orders line by line: confirmed, short, over, wrong, cancelled, sent back, charged otherwise."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Component, Event, Offer, OfferBreak, PurchaseOrder, PurchaseOrderLine, Shop, StockUnit
from shop.selectors.balances import received_by_line, stock_balances
from shop.selectors.prices import component_price
from shop.selectors.stock import lines_due
from shop.services.errors import Refused
from shop.services.order_lines import order_acknowledge, order_line_cancel, order_wrong_goods
from shop.services.orders import order_make, order_send
from shop.services.orders_receive import Goods, order_receive
from shop.services.stock_count import stock_send_back
from tests.shop.made_offers import DAY, make_part
from tests.shop.made_parts import make_supplier

ONE, TWO = Decimal(1), Decimal(2)


@pytest.fixture
def buyer(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def motor(shop: Shop, morning: datetime) -> Component:
    return make_part("MOT-1")


@pytest.fixture
def fuse(shop: Shop, morning: datetime) -> Component:
    return make_part("FUS-1")


@pytest.fixture
def sent(motor: Component, fuse: Component, buyer: User) -> PurchaseOrder:
    """Two motors and four fuses, expected two weeks from the 2nd of March."""
    made = order_make(supplier=make_supplier(), lines=[(motor, TWO), (fuse, Decimal(4))], person=buyer)
    return order_send(order=made, person=buyer)


def line(order: PurchaseOrder, component: Component) -> PurchaseOrderLine:
    return order.lines.select_related("order__supplier", "component").get(component=component)


def due(order: PurchaseOrder) -> dict[str, Decimal]:
    return {each.line.component.code: each.left for each in lines_due() if each.line.order == order}


def test_confirmed_lines_take_the_suppliers_day(sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User):
    days = {line(sent, motor).pk: date(2026, 3, 25), line(sent, fuse).pk: None}
    order_acknowledge(order=sent, days=days, person=buyer, note="AB 778")
    order_acknowledge(order=sent, days=days, person=buyer, note="AB 778")
    first, second = line(sent, motor), line(sent, fuse)
    assert (first.acknowledged_on, first.expected_on) == (DAY, date(2026, 3, 25))
    assert (second.acknowledged_on, second.expected_on) == (DAY, date(2026, 3, 16))  # 14 days from the 2nd
    assert first.date_changes.filter(reason="AB 778").count() == 1
    with pytest.raises(Refused, match="before it was ordered"):
        order_acknowledge(order=sent, days={first.pk: date(2026, 2, 27)}, person=buyer)
    with pytest.raises(Refused, match="at least one line"):
        order_acknowledge(order=sent, days={}, person=buyer)


def test_a_short_delivery_and_the_rest_cancelled(sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User):
    order_receive(order=sent, received={line(sent, motor): ONE, line(sent, fuse): Decimal(4)}, person=buyer, key="a")
    assert due(sent) == {"MOT-1": ONE}
    with pytest.raises(Refused, match="1 are still due"):
        order_line_cancel(line=line(sent, motor), quantity=TWO, reason="discontinued", person=buyer)
    order_line_cancel(line=line(sent, motor), reason="discontinued", person=buyer)
    sent.refresh_from_db()
    assert (due(sent), sent.state, line(sent, motor).cancelled) == ({}, "received", ONE)
    with pytest.raises(Refused, match="is received"):
        order_line_cancel(line=line(sent, motor), reason="again", person=buyer)


def test_an_order_whose_lines_are_all_cancelled_is_cancelled(
    sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User
):
    for part in (motor, fuse):
        order_line_cancel(line=line(sent, part), reason="found elsewhere", person=buyer)
    sent.refresh_from_db()
    assert sent.state == "cancelled"


def test_more_than_what_is_left_after_a_cancelled_part_is_over(sent: PurchaseOrder, motor: Component, buyer: User):
    order_line_cancel(line=line(sent, motor), quantity=ONE, reason="one less", person=buyer)
    with pytest.raises(Refused, match="1 more than was ordered"):
        order_receive(order=sent, received={line(sent, motor): TWO}, person=buyer, key="b")


def test_numbers_and_batches_come_with_the_delivery(sent: PurchaseOrder, motor: Component, buyer: User):
    with pytest.raises(Refused, match="hub motor 10 kW 72 V: 1 number for 2"):
        order_receive(
            order=sent, received={line(sent, motor): Goods(quantity=TWO, serials=("M-1",))}, person=buyer, key="c"
        )
    goods = Goods(quantity=TWO, serials=("M-1", "M-2"))
    for _ in range(2):
        order_receive(order=sent, received={line(sent, motor): goods}, person=buyer, key="c")
    units = StockUnit.objects.filter(order_line=line(sent, motor))
    assert [(unit.serial, unit.place) for unit in units] == [("M-1", "shelf"), ("M-2", "shelf")]


def test_another_price_goes_to_the_landed_cost(sent: PurchaseOrder, motor: Component, buyer: User):
    """Ordered at half the list price of 1,450: 725. Charged 750; freight and duty are none, so cost is 750."""
    assert component_price(motor).unit_cost == 725
    goods = Goods(quantity=ONE, unit_cost=Decimal(750))
    order_receive(order=sent, received={line(sent, motor): goods}, person=buyer, key="d")
    row = line(sent, motor)
    assert (row.unit_cost, row.invoiced_cost, component_price(motor).unit_cost) == (
        Decimal(725),
        Decimal(750),
        Decimal(750),
    )
    event = Event.objects.get(verb="price differs")
    assert (event.before, event.after) == ("hub motor 10 kW 72 V: 725", "750 USD each")


def test_a_price_break_is_ordered_and_changed_as_such(motor: Component, buyer: User):
    offer = Offer.objects.get(component=motor)
    OfferBreak.objects.create(offer=offer, from_quantity=Decimal(5), unit_cost=Decimal(700))
    orders = [order_make(supplier=offer.supplier, lines=[(motor, Decimal(n))], person=buyer) for n in (4, 5)]
    assert [order.lines.get().unit_cost for order in orders] == [Decimal(725), Decimal(700)]
    many = order_send(order=orders[1], person=buyer)
    goods = Goods(quantity=ONE, unit_cost=Decimal(710))
    order_receive(order=many, received={line(many, motor): goods}, person=buyer, key="e")
    offer.refresh_from_db()
    assert (offer.unit_cost, offer.breaks.get().unit_cost) == (Decimal(725), Decimal(710))


@pytest.mark.parametrize("kept", [True, False])
def test_something_else_came(sent: PurchaseOrder, fuse: Component, buyer: User, kept: bool):
    wrong = make_part("CTR-1")
    for _ in range(2):
        order_wrong_goods(
            order=sent, component=wrong, quantity=ONE, kept=kept, note="instead of a fuse", person=buyer, key="w"
        )
    there = stock_balances().get(wrong.pk)
    assert (there.on_hand if there else 0) == (1 if kept else 0)
    assert due(sent) == {"MOT-1": TWO, "FUS-1": Decimal(4)}
    event = Event.objects.get(verb="wrong goods")  # pressed twice, logged once
    assert event.after.endswith("kept" if kept else "to go back")


def test_sent_back_for_a_replacement_is_due_again(sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User):
    received = {line(sent, motor): TWO, line(sent, fuse): Decimal(4)}
    order_receive(order=sent, received=received, person=buyer, key="f")
    stock_send_back(component=motor, quantity=ONE, reason="noisy", line=line(sent, motor), person=buyer)
    sent.refresh_from_db()
    assert (sent.state, due(sent), line(sent, motor).expected_on) == ("sent", {"MOT-1": ONE}, None)
    assert received_by_line()[line(sent, motor).pk] == 1
    stock_send_back(component=fuse, quantity=ONE, reason="cracked", person=buyer)  # credited: nothing is due
    assert due(sent) == {"MOT-1": ONE}
