"""Suppliers' pages, price breaks, closed weeks, and when to order again."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from shop.models import Offer, StockMove, SupplierClosure
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import MORNING
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded


def came(day: Day, number: int, days: int) -> None:
    order = make_order(f"P-{400 + number}", ordered_on=MORNING.date() - timedelta(days=days), state="received",
                       supplier=offer(day).supplier)  # fmt: skip
    line = make_order_line(day.motor, 1, order=order)
    StockMove.objects.create(component=day.motor, kind="received", on_hand=Decimal(1), order_line=line)


def offer(day: Day) -> Offer:
    return Offer.objects.select_related("supplier").get(component=day.motor)


def test_who_may_look(day: Day, client_as):
    supplier = day.supplier.public_id
    for name in ("suppliers", "stock-reorder"):
        assert_guarded(client_as, name, roles=DESK)
    assert_guarded(client_as, "supplier", supplier, roles=DESK)
    assert_guarded(client_as, "stock-least", day.motor.public_id, roles=DESK, post_only=True)


def test_measured_lead_times_stand_beside_the_quoted(day: Day, client_as):
    """Quoted 14 days; measured 30, 30, 30, 30, 35: mean 31, deviation 2.2; 17 days slower."""
    for number, days in enumerate((30, 30, 30, 30, 35)):
        came(day, number, days)
    page = text(client_as("counter").get(reverse("supplier", args=[offer(day).supplier.public_id])))
    assert "31 ± 2" in page
    assert "17 days slower than quoted" in page
    assert "North Yard" in text(client_as("counter").get(reverse("suppliers")))


def test_price_breaks_are_read_and_refused(day: Day, client_as):
    client = client_as("counter")
    address = reverse("offer-breaks", args=[offer(day).supplier.public_id, day.motor.public_id])
    for typed, said in (
        ("10 700", "no colon"),
        ("ten: 700", "is not a number"),
        ("0: 700", "above zero"),
        ("10: 700\n10: 690", "twice"),
        ("10: 800", "have to fall"),
        ("1: 700", "least quantity is 1"),
    ):
        answer = client.post(address, {"breaks": typed})
        assert (answer.status_code, said in text(answer)) == (422, True), typed
    client.post(address, {"breaks": "5: 700.50\n\n10: 690"})
    found = [(row.from_quantity, row.unit_cost) for row in offer(day).breaks.all()]
    assert found == [(Decimal(5), Decimal("700.5")), (Decimal(10), Decimal(690))]
    assert "700.50 from 5" in text(client.get(reverse("supplier", args=[offer(day).supplier.public_id])))


def test_closed_weeks_are_entered_and_taken_back(day: Day, client_as):
    client, supplier = client_as("counter"), offer(day).supplier.public_id
    wrong = client.post(reverse("supplier-closed", args=[supplier]), {"first": "2026-08-10", "last": "2026-08-03"})
    assert (wrong.status_code, "lies before the first" in text(wrong)) == (422, True)
    days = {"first": "2026-08-03", "last": "2026-08-21"}
    for _ in range(2):
        client.post(reverse("supplier-closed", args=[supplier]), days)
    assert SupplierClosure.objects.count() == 1
    client.post(reverse("supplier-open", args=[supplier]), days)
    assert SupplierClosure.objects.count() == 0


@pytest.mark.usefixtures("morning")
def test_a_suggested_least_stock_is_taken_over(day: Day, client_as, set_clock):
    need = day.build.needs.get(component=day.motor)
    set_clock(MORNING - timedelta(days=100))
    StockMove.objects.create(component=day.motor, kind="received", on_hand=Decimal(9))
    for days in (80, 60, 40):
        set_clock(MORNING - timedelta(days=days))
        StockMove.objects.create(component=day.motor, kind="issued", on_hand=Decimal(-1), need=need)
    set_clock(MORNING)
    client = client_as("counter")
    page = client.get(reverse("stock-reorder"), {"service": "95"})
    row = page.context["rows"][0]
    assert row.differs
    least = reverse("stock-least", args=[day.motor.public_id])
    assert client.post(least, {"quantity": "some"}).status_code == 422
    client.post(least, {"quantity": str(row.point)})
    day.motor.refresh_from_db()
    assert day.motor.keep_on_shelf == row.point
    again = queries_of(lambda: client.get(reverse("stock-reorder")))
    came(day, 1, 20)
    assert queries_of(lambda: client.get(reverse("stock-reorder"))) == again
