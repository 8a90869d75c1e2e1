"""The shelf and what was bought, as CSV and XLSX."""

from __future__ import annotations

import csv
import io

from django.urls import reverse
from openpyxl import load_workbook

from shop.models import Component
from shop.services.orders_receive import order_receive
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded


def rows_of(client, name: str) -> list[dict[str, str]]:
    content = client.get(reverse(name, args=["csv"])).content.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(content)))


def test_what_was_bought_line_by_line(day: Day, client_as, boss):
    assert_guarded(client_as, "orders-export", "csv", roles=DESK)
    order_receive(order=day.sent, received={day.line: day.line.quantity}, person=boss, key="k")
    rows = rows_of(client_as("counter"), "orders-export")
    assert [(row["order"], row["code"], row["received"], row["last_received_on"]) for row in rows] == [
        ("P-310", "MOT-1", "1", "2026-03-02")  # the draft was never bought
    ]


def test_the_shelf_with_its_sums_and_nothing_a_spreadsheet_computes(day: Day, client_as):
    assert_guarded(client_as, "stores-export", "csv", roles=DESK)
    Component.objects.filter(pk=day.charger.pk).update(name="=1+1")
    client = client_as("counter")
    found = {row["code"]: row for row in rows_of(client, "stores-export")}
    assert (found["CHG-1"]["part"], found["CHG-1"]["on_hand"], found["CHG-1"]["free"]) == ("'=1+1", "1", "0")
    book = load_workbook(io.BytesIO(client.get(reverse("stores-export", args=["xlsx"])).content))
    cells = {row[0].value: row for row in book.worksheets[0].iter_rows(min_row=2)}
    assert cells["CHG-1"][4].value == 1
    assert client.get(reverse("stores-export", args=["pdf"])).status_code == 404
    few = queries_of(lambda: client.get(reverse("stores-export", args=["csv"])))
    for number in range(5):
        Component.objects.create(code=f"X-{number}", kind="fuse", name="fuse")
    assert queries_of(lambda: client.get(reverse("stores-export", args=["csv"]))) == few
