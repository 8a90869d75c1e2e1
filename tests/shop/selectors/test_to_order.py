from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from shop.models import Component, Offer
from shop.selectors.to_order import ToOrderRow, to_order
from shop.services.orders import order_make, order_send
from tests.shop.made_builds import make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import DAY, make_part
from tests.shop.made_parts import make_component, make_supplier, receive
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")  # Monday the 2nd of March, 9:00


def the_row() -> ToOrderRow:
    (row,) = to_order()
    return row


def test_nothing_is_to_order_when_shelf_and_orders_cover_it() -> None:
    motor = make_part("MOT-1")
    make_need(make_day_build(), motor, 2)
    receive(motor, 1)
    make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    assert to_order() == ()


def test_what_builds_lack_with_the_day_by_which_their_promise_needs_it() -> None:
    motor = make_part("MOT-1")
    near = make_day_build(1, promised_from=date(2026, 4, 24), promised_to=date(2026, 5, 4))
    far = make_day_build(2, promised_from=date(2026, 6, 24), promised_to=date(2026, 7, 6))
    for build, quantity in ((near, 1), (far, 2)):
        make_need(build, motor, quantity)
    row = the_row()
    assert row.component == motor
    assert [row.needed, row.for_shelf, row.drafted, row.quantity] == [3, 0, 0, 3]
    assert [(each.build, each.part.quantity) for each in row.wanted] == [(near, Decimal(1)), (far, Decimal(2))]
    # Monday 4 May has eight hours: six of work can start that morning. Ready on the 4th, so here on the 3rd, less the
    # high lead time of 28 days: 5 April.
    assert (row.order_by, row.days_left, row.due_now, row.late_days) == (date(2026, 4, 5), 34, False, 0)
    assert row.offer == Offer.objects.get()


@pytest.mark.parametrize(
    ("promised", "days_left", "late_days"),
    [
        # Ready on the promised day, here the day before, ordered 28 days before that: 29 days before the promise.
        (date(2026, 4, 1), 1, 0),  # 3 March
        (date(2026, 3, 31), 0, 0),  # 2 March, today
        (date(2026, 3, 30), -1, 1),  # yesterday
    ],
)
def test_due_today_and_too_late(promised: date, days_left: int, late_days: int) -> None:
    make_need(make_day_build(promised_from=DAY, promised_to=promised), make_part("MOT-1"), 1)
    row = the_row()
    assert (row.days_left, row.late_days, row.due_now) == (days_left, late_days, days_left <= 0)


def test_least_quantity_and_whole_packs() -> None:
    fuse = make_part("FUS-1")
    Offer.objects.update(least_quantity=Decimal(5), pack_quantity=Decimal(4))
    make_need(make_day_build(), fuse, 1)
    assert [the_row().needed, the_row().quantity] == [1, 8]


def test_what_is_on_a_draft_is_not_ordered_again(person) -> None:
    motor, buyer = make_part("MOT-1"), person("counter")
    make_need(make_day_build(), motor, 3)
    order = order_make(supplier=make_supplier(), lines=[(motor, Decimal(2))], person=buyer)
    assert [the_row().needed, the_row().drafted, the_row().quantity] == [3, 2, 1]
    order_send(order=order, person=buyer)
    assert [the_row().needed, the_row().drafted, the_row().quantity] == [1, 0, 1]


def test_drafts_that_cover_it_leave_nothing_to_order(person) -> None:
    motor = make_part("MOT-1")
    make_need(make_day_build(), motor, 1)
    order_make(supplier=make_supplier(), lines=[(motor, Decimal(2))], person=person("counter"))
    assert [the_row().needed, the_row().quantity] == [1, 0]


def test_the_shelf_is_filled_up_after_the_builds() -> None:
    motor, fuse = make_part("MOT-1"), make_part("FUS-1")
    Component.objects.update(keep_on_shelf=Decimal(2))
    make_need(make_day_build(), motor, 1)
    receive(fuse, 1)
    first, second = to_order()
    assert [first.component, first.needed, first.for_shelf, first.quantity] == [motor, 1, 2, 3]
    assert [second.component, second.needed, second.for_shelf, second.order_by] == [fuse, 0, 1, None]
    Component.objects.filter(pk=fuse.pk).update(discontinued=True)
    assert [row.component for row in to_order()] == [motor]


def test_what_keeps_a_part_from_being_ordered_is_said() -> None:
    make_need(make_day_build(1), make_component("MOT-1"), 1)
    assert the_row().note == (
        "Nobody is entered who sells hub motor 10 kW 72 V. Add a supplier's offer and mark it as preferred."
    )
    assert [the_row().offer, the_row().quantity] == [None, 1]
    Component.objects.update(discontinued=True)
    assert "is discontinued" in the_row().note


def test_queries_stay_flat() -> None:
    make_need(make_day_build(1), make_part("FUS-1"), 1)
    one = queries_of(to_order)
    for place in range(2, 51):
        part = make_component("FUS-1", code=f"F-{place}", keep_on_shelf=Decimal(1))
        make_need(make_day_build(place), part, 1)
    assert queries_of(to_order) == one
    assert len(to_order()) == 50
