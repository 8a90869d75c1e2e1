from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from shop.models import PurchaseOrder, StockMove
from shop.selectors.orders import OrderFilter, late_lines, order_page, order_rows
from shop.services.orders import order_make, order_send
from shop.services.orders_receive import expected_change, order_receive
from tests.shop.made_builds import make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import make_part
from tests.shop.made_parts import make_component, make_supplier
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")  # Monday the 2nd of March, 9:00


def found(**asked: object) -> set[str]:
    return {row.order.number for row in order_rows(OrderFilter(**asked)).rows}  # type: ignore[arg-type]


def test_a_row_tells_what_is_due_and_how_late() -> None:
    motor, fuse = make_component("MOT-1"), make_component("FUS-1")
    order = make_order("P-1")
    make_order_line(motor, 2, order=order, expected_on=date(2026, 2, 20))
    came = make_order_line(fuse, 3, order=order, expected_on=date(2026, 2, 10))
    StockMove.objects.create(component=fuse, kind="received", on_hand=Decimal(3), order_line=came)
    (row,) = order_rows(OrderFilter()).rows
    # 2 × 10 and 3 × 10; the fuses have come, the motors are ten days late on 2 March.
    assert (row.total, row.lines, row.lines_due) == (Decimal(50), 2, 1)
    assert (row.expected, row.late_days) == (date(2026, 2, 20), 10)
    assert [(due.line.component, due.left) for due in late_lines()] == [(motor, Decimal(2))]


def test_a_line_expected_today_is_not_late() -> None:
    make_order_line(make_component("MOT-1"), 2, expected_on=date(2026, 3, 2))
    assert (late_lines(), order_rows(OrderFilter()).rows[0].late_days) == ((), 0)


def test_orders_are_found_by_words_and_state() -> None:
    motor, fuse = make_component("MOT-1"), make_component("FUS-1")
    make_order_line(motor, 1, order=make_order("P-1"), expected_on=date(2026, 2, 1))
    make_order_line(fuse, 1, order=make_order("P-2", supplier=make_supplier("south-yard")))
    make_order("P-3", state="draft", ordered_on=None)
    assert found() == {"P-1", "P-2", "P-3"}
    assert found(text="south") == {"P-2"}
    assert found(text="hub motor") == {"P-1"}
    assert found(text="p-3") == {"P-3"}
    assert found(state="draft") == {"P-3"}
    assert found(state="late") == {"P-1"}


def test_the_list_takes_as_many_queries_for_fifty_as_for_one() -> None:
    motor = make_component("MOT-1")
    make_order_line(motor, 1, order=make_order("P-1"))
    one = queries_of(lambda: order_rows(OrderFilter(text="p", state="sent")))
    for number in range(2, 51):
        make_order_line(motor, 1, order=make_order(f"P-{number}"))
    assert queries_of(lambda: order_rows(OrderFilter(text="p", state="sent"))) == one


def test_one_order_with_its_history_and_the_builds_it_serves(person) -> None:
    motor, buyer = make_part("MOT-1"), person("counter")
    builds = [make_day_build(place) for place in (1, 2)]
    for build in builds:
        make_need(build, motor, 2)
    order = order_make(supplier=make_supplier(), lines=[(motor, Decimal(3))], person=buyer)
    order_send(order=order, person=buyer)
    line = order.lines.get()
    expected_change(lines=[line], new_date=date(2026, 3, 27), reason="port is full", person=buyer)
    order_receive(order=order, received={line: Decimal(1)}, person=buyer, key="first")
    page = order_page(order.public_id)
    (row,) = page.lines
    assert [row.received, row.left, row.late_days, row.amount, page.total] == [1, 2, 0, 2175, 2175]  # 3 × 725
    assert [(change.new, change.reason) for change in row.changes] == [
        (date(2026, 3, 16), "The offer's lead time"),
        (date(2026, 3, 27), "port is full"),
    ]
    # Two still come: one more for the first build, one for the second, which lacks another.
    assert [(each.build, each.part.quantity) for each in page.serves] == [(build, Decimal(1)) for build in builds]
    assert [event.verb for event in page.events] == [
        "goods received",
        "expected day changed",
        "order sent",
        "order made",
    ]
    with pytest.raises(PurchaseOrder.DoesNotExist):
        order_page("nothing")
