"""Parts that wait for the parts deposit: shown, held back, released by paying, ordered by an owner who says why."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.urls import reverse

from shop.models import Build, Component, Event, PurchaseOrder, Shop
from shop.selectors.parts_hold import PartsHold, parts_holds
from shop.selectors.to_order import ToOrderRow, to_order
from shop.services.errors import Refused
from shop.services.orders import order_line_set, order_make
from shop.services.payments import deposit_add
from tests.shop.made_counter import text
from tests.shop.made_money import make_kit_build
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")
D = Decimal
NOBODY: tuple[PartsHold, ...] = ()
LEFT = D("310.30")  # half of 1551.50 is 775.75, less the deposit of 465.45


@pytest.fixture
def boss(person) -> User:
    user: User = person("owner")
    return user


@pytest.fixture
def build(boss: User) -> Build:
    Shop.objects.update(parts_deposit_rate=D("0.50"))
    return make_kit_build(boss)


def the_row() -> ToOrderRow:
    (row,) = to_order()
    return row


def make(row: ToOrderRow, person: User, units: int = 1, **more: str) -> PurchaseOrder:
    assert row.offer is not None
    return order_make(supplier=row.offer.supplier, lines=[(row.component, D(units))], person=person, **more)


def test_nothing_is_held_where_the_terms_ask_no_parts_deposit(boss: User) -> None:
    make_kit_build(boss)
    assert (the_row().holds, the_row().open_quantity) == (NOBODY, D(1))
    assert make(the_row(), boss).number


def test_what_waits_is_shown_with_the_amount_and_released_by_paying_it(build: Build, boss: User) -> None:
    row = the_row()
    ((hold,), quantities) = row.holds, (row.quantity, row.open_quantity)
    assert (hold.build, hold.asked, hold.left, quantities) == (build, D("775.75"), LEFT, (D(1), D(0)))
    deposit_add(build=build, amount=LEFT - D("0.01"), method="cash", person=boss, key="most of it")
    assert [each.left for each in the_row().holds] == [D("0.01")]
    deposit_add(build=build, amount=D("0.01"), method="cash", person=boss, key="the last cent")
    assert (the_row().holds, the_row().open_quantity) == (NOBODY, D(1))
    assert Event.objects.filter(verb="order made").count() == 0
    make(the_row(), boss)


def test_one_that_pays_does_not_wait_for_one_that_does_not(build: Build, boss: User) -> None:
    paid = make_kit_build(boss, "Q-2", amount=D("775.75"))
    row = the_row()
    assert [row.quantity, row.open_quantity] == [2, 1]
    assert [each.hold is None for each in row.wanted] == [False, True]
    assert row.wanted[1].build == paid
    with pytest.raises(Refused, match=r"310\.30 USD"):
        make(row, boss, units=2)
    order = make(row, boss)
    with pytest.raises(Refused, match=r"let the owner order|say at To order"):
        order_line_set(order=order, component=row.component, quantity=D(2), person=boss)


def test_only_the_owner_orders_before_and_says_why(build: Build, boss: User, person) -> None:
    row = the_row()
    with pytest.raises(Refused, match="let the owner order"):
        make(row, person("counter"), reason="in a hurry")
    with pytest.raises(Refused, match="say at To order why"):
        make(row, boss, reason=" ")
    assert PurchaseOrder.objects.count() == 0
    make(row, boss, reason="Last one in the country")
    said = f"Parts deposit not paid: {build}: 310.30 USD. Last one in the country"
    assert Event.objects.get(verb="order made").reason == said


def test_to_order_and_today_say_who_is_to_be_told(build: Build, client_as) -> None:
    client = client_as("counter")
    page = text(client.get(reverse("orders-to-make")))
    assert "held: $310.30 of its parts deposit of $775.75 is not paid." in page
    assert f"Tell {build.customer.name}" in page
    (group,) = client.get(reverse("orders-to-make")).context["groups"]
    motor = Component.objects.get()
    sent = {"key": group.form["key"].value(), "part": [motor.public_id], f"quantity-{motor.public_id}": "1"}
    make_now = reverse("order-make", args=[group.supplier.public_id])
    refused = client.post(make_now, {**sent, "reason": "in a hurry"})
    assert refused.status_code == 422
    assert "let the owner order at To order and say why" in text(refused)
    assert 'value="in a hurry"' in text(refused)
    assert client_as("owner").post(make_now, {**sent, "reason": "Last one"}).status_code == 302
    assert PurchaseOrder.objects.get().lines.get().component == motor


def test_queries_do_not_grow_with_the_builds_that_wait(build: Build, boss: User) -> None:
    few = queries_of(lambda: parts_holds(Build.objects.all()))
    for number in range(2, 6):
        make_kit_build(boss, f"Q-{number}")
    assert queries_of(lambda: parts_holds(Build.objects.all())) == few
    assert len(parts_holds(Build.objects.all())) == 5
