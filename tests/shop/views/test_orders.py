from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from shop.models import Component, ExpectedDateChange, PurchaseOrder
from shop.selectors.balances import stock_balances
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.made_offers import MORNING
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

ORDERS = reverse("orders")


def address(name: str, order: PurchaseOrder, *more: str) -> str:
    return reverse(name, args=[order.public_id, *more])


def test_who_may_order(day: Day, client_as):
    order = day.sent.public_id
    assert_guarded(client_as, "orders", roles=DESK)
    for name in ("order", "order-send", "order-receive", "order-dates", "order-cancel", "order-confirm", "order-wrong"):
        assert_guarded(client_as, name, order, roles=DESK)
    assert_guarded(client_as, "order-line-cancel", order, day.line.public_id, roles=DESK)
    assert_guarded(client_as, "order-line", order, day.line.public_id, roles=DESK, post_only=True)


def test_late_orders_come_first_with_their_days(day: Day, set_clock, client_as):
    """The 26th of March is six days after the 20th."""
    make_order("P-312")  # newer, and not late
    set_clock(MORNING + timedelta(days=24))
    page = client_as("counter").get(ORDERS)
    assert page.context["found"].rows[0].order == day.sent
    assert '<span class="late">late by 6 days</span>' in text(page)
    late = client_as("counter").get(ORDERS, {"state": "late"}).context["found"].rows
    assert [row.order for row in late] == [day.sent]


def test_filters_and_search(day: Day, client_as):
    client = client_as("counter")

    def numbers(**query: str) -> set[str]:
        return {row.order.number for row in client.get(ORDERS, query).context["found"].rows}

    assert numbers(state="draft") == {"P-311"}
    assert numbers(q="hub motor") == {"P-310"}
    assert numbers(state="received") == set()
    assert numbers(state="no such state") == {"P-310", "P-311"}
    part = text(client.get(ORDERS, {"q": "P-311"}, headers=htmx(True)))
    assert ("<html" in part, "P-311" in part) == (False, True)


def test_an_order_with_its_lines_and_who_waits_for_them(day: Day, client_as):
    page = text(client_as("counter").get(address("order", day.sent)))
    assert "in 18 days" in page  # the 2nd to the 20th of March
    assert day.build.number in page
    assert f"{address('order-dates', day.sent)}" in page


def test_a_draft_is_changed_then_said_to_be_sent(day: Day, client_as):
    client, line = client_as("counter"), day.unsent.lines.get()
    change = address("order-line", day.unsent, line.public_id)
    assert client.post(change, {f"{line.public_id}-quantity": "3"}).status_code == 302
    assert day.unsent.lines.get().quantity == 3
    wrong = client.post(change, {f"{line.public_id}-quantity": "many"})
    assert (wrong.status_code, 'value="many"' in text(wrong)) == (422, True)
    sent = {"ordered_on": "2026-03-02", f"expected-{line.public_id}": "2026-03-16"}
    client.post(address("order-send", day.unsent), sent)
    day.unsent.refresh_from_db()
    assert (day.unsent.state, day.unsent.lines.get().expected_on) == ("sent", date(2026, 3, 16))
    late = client.post(change, {f"{line.public_id}-quantity": "1"})
    assert (late.status_code, "Only a draft can be changed" in text(late)) == (422, True)


def test_zero_takes_a_line_off(day: Day, client_as):
    line = day.unsent.lines.get()
    client_as("counter").post(address("order-line", day.unsent, line.public_id), {f"{line.public_id}-quantity": "0"})
    assert not day.unsent.lines.exists()
    answer = client_as("counter").post(address("order-send", day.unsent), {"ordered_on": "2026-03-02"})
    assert (answer.status_code, "has no lines. Add a part first." in text(answer)) == (422, True)


def test_a_day_ahead_is_no_day_it_was_sent(day: Day, client_as):
    answer = client_as("counter").post(address("order-send", day.unsent), {"ordered_on": "2026-03-09"})
    assert answer.status_code == 422
    assert answer.context["form"].errors["ordered_on"] == ["The day it was ordered lies ahead. Enter today or earlier."]


def test_goods_come_in_parts_and_go_to_who_is_first_in_line(day: Day, client_as):
    client, receive = client_as("counter"), address("order-receive", day.sent)
    day.sent.lines.update(quantity=Decimal(2))
    form = client.get(receive).context["form"]
    came = f"came-{day.line.public_id}"
    assert form[came].value() == "2"
    number = f"serials-{day.line.public_id}"
    bare = client.post(receive, {"key": form["key"].value(), came: "1"})
    assert (bare.status_code, "Enter a number for each unit" in text(bare)) == (422, True)
    sent = {"key": form["key"].value(), came: "1", number: "M-77 "}
    answer = client.post(receive, sent, follow=True)
    assert f"Booked. Kept for {day.build.number}." in text(answer)
    again = client.post(receive, sent, follow=True)
    assert "This delivery was booked already." in text(again)
    assert stock_balances()[day.motor.pk].on_hand == 1
    assert [unit.serial for unit in day.motor.units.all()] == ["M-77"]
    day.sent.refresh_from_db()
    assert day.sent.state == "sent"


def test_more_than_was_ordered_is_asked_about(day: Day, client_as):
    client, receive = client_as("counter"), address("order-receive", day.sent)
    sent = {"key": "a-delivery", f"came-{day.line.public_id}": "2", "over_reason": "", "unnumbered": "on"}
    answer = client.post(receive, sent)
    assert answer.status_code == 422
    assert "that is 1 more than was ordered" in text(answer)
    client.post(receive, {**sent, "over_reason": "sent as a gift"})
    assert stock_balances()[day.motor.pk].on_hand == 2


@pytest.mark.parametrize(
    ("typed", "said"), [("one", "is not a number"), ("0.5", "Write a whole number."), ("", "Enter how many")]
)
def test_what_came_has_to_be_read(typed: str, said: str, day: Day, client_as):
    sent = {"key": "a-delivery", f"came-{day.line.public_id}": typed}
    answer = client_as("counter").post(address("order-receive", day.sent), sent)
    assert (answer.status_code, said in text(answer)) == (422, True)


def test_cancelled_with_its_reason_after_seeing_who_waits(day: Day, client_as):
    client, cancel = client_as("counter"), address("order-cancel", day.sent)
    assert day.build.number in text(client.get(cancel))
    assert client.post(cancel, {"reason": ""}).status_code == 422
    client.post(cancel, {"reason": "The supplier gave up"})
    day.sent.refresh_from_db()
    assert day.sent.state == "cancelled"


def test_another_day_shows_what_moves_before_it_counts(day: Day, client_as):
    client, dates = client_as("counter"), address("order-dates", day.sent)
    query = {"lines": day.line.public_id, "new_date": "2026-09-01"}
    page = client.get(dates, query)
    (change,) = page.context["preview"].changes
    assert (change.build, change.breaks) == (day.build, True)
    assert f"{day.customer.name} ({day.build.number})" in text(page)
    assert not ExpectedDateChange.objects.filter(new=date(2026, 9, 1)).exists()
    part = text(client.get(dates, query, headers=htmx(True)))
    assert ("<html" in part, "To tell:" in part) == (False, True)
    address_then = f"{dates}?lines={day.line.public_id}&new_date=2026-09-01"
    assert client.post(address_then, {"reason": ""}).status_code == 422
    answer = client.post(address_then, {"reason": "Ship is late"}, follow=True)
    assert f"To tell: {day.customer.name}." in text(answer)
    day.line.refresh_from_db()
    assert day.line.expected_on == date(2026, 9, 1)


def test_from_waiting_only_that_part_is_ticked(day: Day, client_as):
    make_order_line(day.cell, 480, order=day.sent, expected_on=date(2026, 3, 20))
    dates = address("order-dates", day.sent)
    form = client_as("counter").get(dates, {"part": day.motor.public_id}).context["asked"]
    assert form["lines"].value() == [day.line.public_id]
    assert len(client_as("counter").get(dates).context["asked"]["lines"].value()) == 2


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ({"new_date": "2026-09-01"}, "Choose at least one part."),
        ({"lines": "the line", "new_date": ""}, "Enter the day, or say that the supplier names none"),
        ({"lines": "the line", "new_date": "2026-09-01", "no_day": "on"}, "Enter the day, or say"),
        ({"lines": "another", "new_date": "2026-09-01"}, "Select a valid choice"),
    ],
)
def test_a_day_that_is_not_said_clearly(query: dict[str, str], said: str, day: Day, client_as):
    asked = {name: day.line.public_id if value == "the line" else value for name, value in query.items()}
    answer = client_as("counter").get(address("order-dates", day.sent), asked)
    assert (answer.status_code, said in text(answer)) == (422, True)


def test_the_supplier_takes_the_day_back(day: Day, client_as):
    dates = f"{address('order-dates', day.sent)}?lines={day.line.public_id}&no_day=on"
    client_as("counter").post(dates, {"reason": "They do not know"})
    day.line.refresh_from_db()
    assert day.line.expected_on is None


def test_a_draft_has_nothing_on_its_way(day: Day, client_as):
    assert "nothing of it is on its way" in text(client_as("counter").get(address("order-dates", day.unsent)))


def test_queries_stay_flat_from_one_order_to_fifty(shop, morning, client_as):
    client, motor = client_as("counter"), Component.objects.create(code="M", kind="hardware", name="motor", spec={})
    make_order_line(motor, 1, order=make_order("P-1"), expected_on=date(2026, 2, 20))
    client.get(ORDERS)
    one = queries_of(lambda: client.get(ORDERS))
    for number in range(2, 51):
        make_order_line(motor, 1, order=make_order(f"P-{number}"), expected_on=date(2026, 2, 20))
    assert queries_of(lambda: client.get(ORDERS)) == one


def test_the_suppliers_confirmation_with_its_days(day: Day, client_as):
    client, confirm = client_as("counter"), address("order-confirm", day.sent)
    key = day.line.public_id
    sent = {"on": "2026-03-02", "note": "AB 7", f"line-{key}": "on", f"day-{key}": "2026-03-24"}
    assert client.post(confirm, {**sent, "on": "2026-03-03"}).status_code == 422  # tomorrow
    page = text(client.post(confirm, sent, follow=True))
    assert ("is confirmed by North Yard" in page, "confirmed" in page) == (True, True)
    assert day.sent.lines.get().expected_on == date(2026, 3, 24)


def test_a_line_is_cancelled_after_seeing_who_waits(day: Day, client_as):
    client, cancel = client_as("counter"), address("order-line-cancel", day.sent, day.line.public_id)
    assert day.build.number in text(client.get(cancel))
    wrong = client.post(cancel, {"quantity": "3", "reason": "gone"})
    assert (wrong.status_code, "1 are still due" in text(wrong)) == (422, True)
    client.post(cancel, {"quantity": "1", "reason": "gone"})
    day.sent.refresh_from_db()
    assert day.sent.state == "cancelled"


def test_something_else_came_and_is_kept(day: Day, client_as):
    client, wrong = client_as("counter"), address("order-wrong", day.sent)
    form = client.get(wrong).context["form"]
    sent = {"key": form["key"].value(), "component": day.charger.public_id, "quantity": "1", "kept": "yes"}
    assert client.post(wrong, sent).status_code == 422
    assert client.post(wrong, {**sent, "component": "none", "note": "x"}).status_code == 422
    client.post(wrong, {**sent, "note": "instead of the motor"})
    assert stock_balances()[day.charger.pk].on_hand == 2


def test_a_charged_price_shows_beside_the_ordered_one(day: Day, client_as):
    client, receive = client_as("counter"), address("order-receive", day.sent)
    key = day.line.public_id
    sent = {"key": "a-delivery", f"came-{key}": "1", f"cost-{key}": "11.50", "unnumbered": "on"}
    page = text(client.post(receive, sent, follow=True))
    assert "charged 11.50" in page


def test_an_order_is_mailed_after_a_look_at_the_letter(day: Day, client_as, django_capture_on_commit_callbacks):
    client, mail = client_as("counter"), address("order-mail", day.unsent)
    form = client.get(mail).context["form"]
    assert "P-311" in form["body"].value()
    assert "1 x controller 72 V 200 A" in form["body"].value()
    sent = {name: form[name].value() for name in ("key", "subject", "body")}
    wrong = client.post(mail, {**sent, "to": "nobody"})
    assert (wrong.status_code, "no mail address" in text(wrong)) == (422, True)
    with django_capture_on_commit_callbacks(execute=True):
        page = text(client.post(mail, {**sent, "to": "yard@example.com"}, follow=True))
    assert "The letter to yard@example.com is on its way." in page
    day.unsent.refresh_from_db()
    assert day.unsent.state == "sent"
    assert "sent <" in text(client.get(address("order", day.unsent)))
    assert_guarded(client_as, "order-mail", day.unsent.public_id, roles=DESK)
    assert_guarded(client_as, "order-document", day.unsent.public_id, roles=DESK)
