from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import (
    Component,
    Event,
    ExpectedDateChange,
    Offer,
    PartNeed,
    PurchaseOrder,
    PurchaseOrderLine,
    Sequence,
    Shop,
    StockMove,
    Supplier,
    SupplierClosure,
)
from shop.selectors.balances import received_by_line, reserved_by_need
from shop.selectors.offers import order_quantity
from shop.selectors.orders import order_page
from shop.selectors.plan import line_plan
from shop.selectors.slips import slip_preview
from shop.services.errors import Refused
from shop.services.orders import order_cancel, order_line_set, order_make, order_send
from shop.services.orders_receive import expected_change, order_receive
from tests.shop import made_shop
from tests.shop.made_builds import make_build, make_need
from tests.shop.made_offers import DAY, make_part
from tests.shop.made_parts import make_supplier

NONE = Decimal(0)


@pytest.fixture
def buyer(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def motor(shop: Shop, morning: datetime) -> Component:
    return make_part("MOT-1")


@pytest.fixture
def fuse(shop: Shop, morning: datetime) -> Component:
    part = make_part("FUS-1")
    Offer.objects.filter(component=part).update(least_quantity=Decimal(5), pack_quantity=Decimal(4))
    return part


@pytest.fixture
def yard(motor: Component) -> Supplier:
    return make_supplier()


@pytest.fixture
def sent(yard: Supplier, motor: Component, fuse: Component, buyer: User) -> PurchaseOrder:
    """Two motors and eight fuses, expected two weeks from the 2nd of March."""
    lines = [(motor, Decimal(2)), (fuse, Decimal(8))]
    return order_send(order=order_make(supplier=yard, lines=lines, person=buyer), person=buyer)


def line(order: PurchaseOrder, component: Component) -> PurchaseOrderLine:
    return order.lines.get(component=component)


def kept(*needs: PartNeed) -> list[Decimal]:
    sums = reserved_by_need()
    return [sums.get(need.pk, NONE) for need in needs]


def test_an_order_is_raised_to_what_the_supplier_sells(
    yard: Supplier, motor: Component, fuse: Component, buyer: User
) -> None:
    order = order_make(supplier=yard, lines=[(motor, Decimal(1)), (fuse, Decimal(3))], person=buyer, note="ring first")
    assert (order.number, order.state, order.supplier, order.note) == ("P-1", "draft", yard, "ring first")
    rows = {row.component.code: row for row in order.lines.select_related("component")}
    # Three fuses wanted, at least five, in packs of four: eight.
    assert {code: row.quantity for code, row in rows.items()} == {"MOT-1": Decimal(1), "FUS-1": Decimal(8)}
    assert (rows["FUS-1"].unit_cost, rows["FUS-1"].expected_on) == (Decimal(14), None)  # half the list price of 28
    event = Event.objects.get(verb="order made")
    assert (event.subject, event.person) == ("P-1", buyer)
    assert event.after == "North Yard: 1 × hub motor 10 kW 72 V, 8 × main fuse 225 A (3 wanted)"


@pytest.mark.parametrize(("wanted", "quantity"), [("0.5", 8), ("5", 8), ("8", 8), ("8.001", 12), ("9", 12)])
def test_packs_are_whole(wanted: str, quantity: int) -> None:
    offer = Offer(least_quantity=Decimal(5), pack_quantity=Decimal(4))
    assert order_quantity(offer, Decimal(wanted)) == quantity


def test_the_same_part_twice_is_added_up(yard: Supplier, motor: Component, buyer: User) -> None:
    order = order_make(supplier=yard, lines=[(motor, Decimal(1)), (motor, Decimal(2))], person=buyer)
    assert line(order, motor).quantity == 3


def test_pressing_twice_makes_one_order(yard: Supplier, motor: Component, buyer: User) -> None:
    first = order_make(supplier=yard, lines=[(motor, Decimal(1))], person=buyer, key="form")
    assert order_make(supplier=yard, lines=[(motor, Decimal(1))], person=buyer, key="form") == first
    assert PurchaseOrder.objects.count() == 1
    with pytest.raises(Refused, match="used for order P-1 already"):
        order_make(supplier=make_supplier("south-yard"), lines=[(motor, Decimal(1))], person=buyer, key="form")


def test_an_order_that_cannot_be_made_takes_no_number(yard: Supplier, motor: Component, buyer: User) -> None:
    other = make_part("CON-1", offered=False)
    for lines, said in (
        ([], "nothing on the order"),
        ([(motor, Decimal(0))], "more than zero"),
        ([(motor, Decimal("0.5"))], "whole pieces"),
        ([(motor, Decimal(1)), (other, Decimal(1))], "North Yard is not entered as selling controller 72 V 200 A"),
    ):
        with pytest.raises(Refused, match=said):
            order_make(supplier=yard, lines=lines, person=buyer)
    assert not PurchaseOrder.objects.exists()
    assert not Sequence.objects.filter(name="order", next_number__gt=1).exists()


def test_a_draft_can_be_changed(yard: Supplier, motor: Component, fuse: Component, buyer: User) -> None:
    order = order_make(supplier=yard, lines=[(motor, Decimal(1))], person=buyer)
    order_line_set(order=order, component=fuse, quantity=Decimal(9), person=buyer)
    order_line_set(order=order, component=motor, quantity=Decimal(2), person=buyer)
    assert set(order.lines.values_list("component__code", "quantity")) == {
        ("FUS-1", Decimal(12)),
        ("MOT-1", Decimal(2)),
    }
    order_line_set(order=order, component=motor, quantity=NONE, person=buyer)
    assert order.lines.get().component == fuse
    with pytest.raises(Refused, match="is not on P-1"):
        order_line_set(order=order, component=motor, quantity=NONE, person=buyer)
    order_send(order=order, person=buyer)
    with pytest.raises(Refused, match="P-1 is sent"):
        order_line_set(order=order, component=fuse, quantity=Decimal(1), person=buyer)


def test_sending_sets_the_days_by_lead_time_around_closed_weeks(
    yard: Supplier, motor: Component, fuse: Component, buyer: User
) -> None:
    SupplierClosure.objects.create(supplier=yard, first=date(2026, 3, 9), last=date(2026, 3, 15))
    order = order_make(supplier=yard, lines=[(motor, Decimal(1)), (fuse, Decimal(8))], person=buyer)
    named = date(2026, 3, 11)
    order_send(order=order, person=buyer, expected={line(order, fuse).pk: named})
    order.refresh_from_db()
    assert (order.state, order.ordered_on) == ("sent", DAY)
    # 14 days from 2 March: 3 to 8 March are 6, then a closed week, 8 more from the 16th: 23 March.
    assert line(order, motor).expected_on == date(2026, 3, 23)
    assert line(order, fuse).expected_on == named
    history = ExpectedDateChange.objects.order_by("pk").values_list("line__component__code", "old", "new", "reason")
    assert list(history) == [
        ("MOT-1", None, date(2026, 3, 23), "The offer's lead time"),
        ("FUS-1", None, named, "The supplier's day"),
    ]
    order_send(order=order, person=buyer)  # again: nothing
    assert ExpectedDateChange.objects.count() == 2


def test_what_cannot_be_sent(yard: Supplier, motor: Component, buyer: User) -> None:
    order = order_make(supplier=yard, lines=[(motor, Decimal(1))], person=buyer)
    with pytest.raises(Refused) as caught:
        order_send(order=order, person=buyer, ordered_on=DAY + timedelta(days=1))
    assert caught.value.field == "ordered_on"
    with pytest.raises(Refused) as caught:
        order_send(order=order, person=buyer, expected={line(order, motor).pk: DAY - timedelta(days=1)})
    assert caught.value.field == "expected"
    order_line_set(order=order, component=motor, quantity=NONE, person=buyer)
    with pytest.raises(Refused, match="has no lines"):
        order_send(order=order, person=buyer)
    order_cancel(order=order, reason="x", person=buyer)
    with pytest.raises(Refused, match="P-1 is cancelled"):
        order_send(order=order, person=buyer)


def test_a_delivery_in_parts_goes_to_the_first_in_line(sent: PurchaseOrder, motor: Component, buyer: User) -> None:
    needs = [make_need(make_build(place), motor, 1, "wiring") for place in (1, 2)]
    first = order_receive(order=sent, received={line(sent, motor): Decimal(1)}, person=buyer, key="first")
    assert kept(*needs) == [1, 0]
    assert [(move.need, move.reserved) for move in first.allotted] == [(needs[0], Decimal(1))]
    assert first.order.state == "sent"
    assert received_by_line() == {line(sent, motor).pk: Decimal(1)}
    order_receive(order=sent, received={line(sent, motor): Decimal(1)}, person=buyer, key="second")
    assert kept(*needs) == [1, 1]


def test_the_order_is_done_when_every_line_has_come(
    sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User
) -> None:
    both = {line(sent, motor): Decimal(2), line(sent, fuse): Decimal(8)}
    done = order_receive(order=sent, received=both, person=buyer, key="all")
    assert done.order.state == "received"
    events = Event.objects.filter(subject="P-1").order_by("-pk")[:2]
    assert [(each.verb, each.after) for each in events] == [
        ("order received", "in full"),
        ("goods received", "2 × hub motor 10 kW 72 V, 8 × main fuse 225 A"),
    ]
    with pytest.raises(Refused, match="P-1 is received"):
        order_receive(order=sent, received=both, person=buyer, key="more")


def test_a_delivery_is_booked_once(sent: PurchaseOrder, motor: Component, buyer: User) -> None:
    first = order_receive(order=sent, received={line(sent, motor): Decimal(2)}, person=buyer, key="form")
    again = order_receive(order=sent, received={line(sent, motor): Decimal(2)}, person=buyer, key="form")
    assert (first.created, again.created, again.moves) == (True, False, first.moves)
    assert StockMove.objects.filter(kind="received").count() == 1


def test_more_than_was_ordered_needs_a_reason(sent: PurchaseOrder, motor: Component, buyer: User) -> None:
    order_receive(order=sent, received={line(sent, motor): Decimal(1)}, person=buyer, key="first")
    two = {line(sent, motor): Decimal(2)}
    with pytest.raises(Refused, match="that is 1 more than was ordered") as caught:
        order_receive(order=sent, received=two, person=buyer, key="second")
    assert caught.value.field == "over_reason"
    assert StockMove.objects.filter(kind="received").count() == 1
    booked = order_receive(order=sent, received=two, person=buyer, key="second", over_reason="kept as a spare")
    assert booked.moves[0].reason == "kept as a spare"


def test_what_cannot_be_received(sent: PurchaseOrder, yard: Supplier, motor: Component, buyer: User) -> None:
    draft = order_make(supplier=yard, lines=[(motor, Decimal(1))], person=buyer)
    for order, received, said in (
        (sent, {}, "how many came"),
        (sent, {line(sent, motor): NONE}, "how many came"),
        (sent, {line(sent, motor): Decimal("0.5")}, "whole pieces"),
        (sent, {line(draft, motor): Decimal(1)}, "not on P-1"),
        (draft, {line(draft, motor): Decimal(1)}, "P-2 is draft"),
    ):
        with pytest.raises(Refused, match=said):
            order_receive(order=order, received=received, person=buyer, key="form")
    assert not StockMove.objects.exists()


def test_another_day_is_noted_with_its_reason(
    sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User
) -> None:
    day = date(2026, 4, 27)
    both = [line(sent, motor), line(sent, fuse)]
    expected_change(lines=both, new_date=day, reason=" six more weeks ", person=buyer)
    assert set(sent.lines.values_list("expected_on", flat=True)) == {day}
    change = both[0].date_changes.order_by("-pk")[0]
    assert (change.old, change.new, change.reason, change.person) == (date(2026, 3, 16), day, "six more weeks", buyer)
    event = Event.objects.filter(verb="expected day changed").order_by("pk")[0]
    assert (event.before, event.after) == ("hub motor 10 kW 72 V: 2026-03-16", "2026-04-27")
    expected_change(lines=both[:1], new_date=None, reason="no day any more", person=buyer)
    assert line(sent, motor).expected_on is None
    # Nothing changes for one that has the day already.
    assert len(expected_change(lines=both, new_date=day, reason="again", person=buyer)) == 1


def test_what_is_no_new_day(sent: PurchaseOrder, motor: Component, buyer: User) -> None:
    row = line(sent, motor)
    for day, reason, field in (
        (DAY - timedelta(days=1), "x", "new_date"),
        (row.expected_on, "x", "new_date"),
        (DAY, " ", "reason"),
    ):
        with pytest.raises(Refused) as caught:
            expected_change(lines=[row], new_date=day, reason=reason, person=buyer)
        assert caught.value.field == field
    order_receive(order=sent, received={row: Decimal(2)}, person=buyer, key="all")
    with pytest.raises(Refused) as caught:
        expected_change(lines=[row], new_date=DAY, reason="x", person=buyer)
    assert caught.value.field == "lines"
    assert row.date_changes.count() == 1


def test_a_slip_is_seen_before_it_is_entered(
    sent: PurchaseOrder, motor: Component, fuse: Component, buyer: User
) -> None:
    builds = [make_build(place, steps=True) for place in (1, 2, 3)]
    make_need(builds[0], motor, 1, "wiring")
    make_need(builds[1], motor, 1, "wiring")
    for build in builds:
        plan = line_plan().build(build.number)
        assert plan is not None
        build.promised_from, build.promised_to = plan.finish_from, plan.finish_to
        build.save()
    rows = list(sent.lines.select_related("order", "component").filter(component=motor))
    preview = slip_preview(lines=rows, new_date=date(2026, 4, 27))
    assert line(sent, motor).expected_on == date(2026, 3, 16)  # a look changes nothing
    # The line that is not named keeps its day, though it is on the same order.
    shown = {change.build.number: change for change in preview.changes}
    assert [change.build.number for change in preview.to_tell] == ["B-1001", "B-1002"]
    assert shown["B-1001"].from_after is not None
    assert shown["B-1001"].from_after > date(2026, 4, 27)
    expected_change(lines=rows, new_date=date(2026, 4, 27), reason="six more weeks", person=buyer)
    after = {build.number: build for build in line_plan().builds}
    for number, change in shown.items():
        new = after[number]
        assert (change.from_after, change.to_after, change.late_days) == (new.finish_from, new.finish_to, new.late_days)
    assert {row.promised_to for row in builds} == {build.promised_to for build in after.values()}


def test_a_slip_of_one_line_leaves_the_others_of_its_order(
    sent: PurchaseOrder, motor: Component, fuse: Component
) -> None:
    build = make_build(1, steps=True)
    make_need(build, fuse, 1, "wiring")
    rows = list(sent.lines.select_related("order", "component").filter(component=motor))
    assert slip_preview(lines=rows, new_date=date(2026, 6, 1)).changes == ()
    rows = list(sent.lines.select_related("order", "component").filter(component=fuse))
    assert len(slip_preview(lines=rows, new_date=date(2026, 6, 1)).changes) == 1


def test_cancelling_what_has_not_come(sent: PurchaseOrder, yard: Supplier, motor: Component, buyer: User) -> None:
    with pytest.raises(Refused) as caught:
        order_cancel(order=sent, reason=" ", person=buyer)
    assert caught.value.field == "reason"
    order_receive(order=sent, received={line(sent, motor): Decimal(1)}, person=buyer, key="first")
    assert order_cancel(order=sent, reason="out of stock", person=buyer).state == "received"
    assert line_plan().builds == ()
    page = order_page(sent.public_id)
    assert [row.left for row in page.lines] == [NONE, NONE]
    with pytest.raises(Refused, match="has come in full"):
        order_cancel(order=sent, reason="x", person=buyer)
    untouched = order_make(supplier=yard, lines=[(motor, Decimal(1))], person=buyer)
    assert order_cancel(order=untouched, reason="changed our mind", person=buyer).state == "cancelled"
    assert order_cancel(order=untouched, reason="again", person=buyer).state == "cancelled"
    assert Event.objects.filter(verb="order cancelled").count() == 2


def test_a_delivery_booked_at_two_places_at_once(threads, morning: datetime, person) -> None:
    made_shop.make_whole_shop()
    motor, buyer = make_part("MOT-1"), person("counter")
    order = order_make(supplier=make_supplier(), lines=[(motor, Decimal(2))], person=buyer)
    order_send(order=order, person=buyer)
    needs = [make_need(make_build(place), motor, 1) for place in (1, 2)]
    at_once = threads()
    row = line(order, motor)
    answers = at_once.run(
        [
            lambda key=key: order_receive(order=order, received={row: Decimal(2)}, person=buyer, key=key)
            for key in ("one", "one", "two")
        ]
    )
    # One is booked; the same press shows it again unless the other till came first, which is more than was ordered.
    assert sum(getattr(answer, "created", False) for answer in answers) == 1
    assert at_once.look(lambda: (StockMove.objects.filter(kind="received").count(), kept(*needs))) == (1, [1, 1])
