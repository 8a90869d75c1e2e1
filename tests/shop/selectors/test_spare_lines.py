"""Parts a change order took off while they are on order: said before it is agreed, and until they are off the order."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.models import Build, ChangeOrder, Component, PurchaseOrder
from shop.selectors.change_page import change_page
from shop.selectors.orders import order_page
from shop.selectors.spare_lines import SpareLine, spare_lines
from shop.services.quotes import part_change, version_offer
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_changes import accept, begin
from tests.shop.made_counter import text
from tests.shop.made_offers import make_kit, make_part, take
from tests.shop.queries import queries_of

D = Decimal
NONE_LEFT: tuple[SpareLine, ...] = ()
MOTOR = "MOT-1"  # a kit of five, changed to three


@pytest.fixture
def boss(person) -> User:
    user: User = person("owner")
    return user


@pytest.fixture
def build(shop, morning, boss: User) -> Build:
    return take(make_kit("Q-1", {make_part(MOTOR): 5}), boss).build


def on_order(units: int, number: str, state: str = "sent") -> PurchaseOrder:
    order = make_order(number, state=state)
    make_order_line(Component.objects.get(code=MOTOR), units, order=order, expected_on=date(2026, 3, 20))
    return order


def with_fewer(build: Build, boss: User) -> ChangeOrder:
    """A change order, offered, to three motors."""
    change, option = begin(build, boss, "three will do")
    part_change(part=option.parts.get(), quantity=D(3), person=boss)
    version_offer(version=change.version, person=boss)
    return ChangeOrder.objects.select_related("build", "base", "version__quote").get(pk=change.pk)


def test_it_is_said_before_the_change_is_agreed_and_drafts_come_off_first(build: Build, boss: User) -> None:
    sent, draft = on_order(4, "P-1"), on_order(1, "P-2", "draft")
    change = with_fewer(build, boss)
    page = change_page(change.public_id)
    assert page.effect is not None
    (move,) = page.effect.parts
    # Five needed and five on order, then three: two are spare, the draft's one and one of those on their way.
    assert [(each.line.order, each.quantity) for each in move.spare] == [(draft, D(1)), (sent, D(1))]
    assert spare_lines() == ()  # nothing is spare until it is agreed
    accept(change, boss)
    found = spare_lines()
    assert [(each.line.order, each.quantity, each.rest) for each in found] == [(sent, D(1), D(3)), (draft, D(1), D(0))]
    assert {each.changes for each in found} == {(change,)}
    assert [each.quantity for each in order_page(draft.public_id).spare] == [1]


def test_what_the_shelf_or_another_build_takes_is_not_spare(build: Build, boss: User) -> None:
    on_order(5, "P-1")
    Component.objects.filter(code=MOTOR).update(keep_on_shelf=D(1))
    accept(with_fewer(build, boss), boss)
    assert [each.quantity for each in spare_lines()] == [1]
    Component.objects.filter(code=MOTOR).update(keep_on_shelf=D(2))
    assert spare_lines() == ()


def test_one_press_takes_it_off_the_draft(build: Build, boss: User, client_as) -> None:
    draft = on_order(5, "P-1", "draft")
    accept(with_fewer(build, boss), boss)
    client: Client = client_as("counter")
    for address in (reverse("orders-to-make"), reverse("order", args=[draft.public_id])):
        page = text(client.get(address))
        assert "no longer needed by build" in page
        assert "Take 2 off P-1" in page
    line = draft.lines.get()
    taken = client.post(
        reverse("order-line", args=[draft.public_id, line.public_id]), {f"{line.public_id}-quantity": "3"}
    )
    assert taken.status_code == 302
    line.refresh_from_db()
    assert (line.quantity, spare_lines()) == (D(3), NONE_LEFT)


def test_what_is_on_its_way_leads_to_the_line_with_its_supplier(build: Build, boss: User, client_as) -> None:
    sent = on_order(5, "P-1")
    accept(with_fewer(build, boss), boss)
    page = text(client_as("counter").get(reverse("orders-to-make")))
    assert reverse("order-line-cancel", args=[sent.public_id, sent.lines.get().public_id]) in page


def test_queries_do_not_grow_with_the_lines(build: Build, boss: User) -> None:
    on_order(5, "P-1")
    accept(with_fewer(build, boss), boss)
    few = queries_of(spare_lines)
    for number in range(2, 7):
        on_order(1, f"P-{number}")
    assert queries_of(spare_lines) == few
