"""A supplier's price list: its columns named once, every row looked at, applied as it was shown."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shop.importing.price_list import headings_for, plan_price_list
from shop.models import Component, ImportFile, Offer, Supplier, SupplierColumns
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_parts import make_supplier
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, assert_guarded

TODAY = date(2026, 3, 2)
COLUMNS = {"part": "our_no", "unit_cost": "net_usd", "lead_days": "weeks_in_days"}


@pytest.fixture
def yard(db: None) -> Supplier:
    """Sells three fuses, the first under its own number."""
    yard = make_supplier("fuse-yard")
    for number in range(3):
        part = Component.objects.create(code=f"F-{number}", kind="fuse", name=f"fuse {number}")
        Offer.objects.create(
            component=part, supplier=yard, unit_cost=Decimal(10), priced_on=date(2025, 1, 1), lead_days=7,
            supplier_code="XX-0" if number == 0 else "",
        )  # fmt: skip
    return yard


def plan(yard: Supplier, *rows: str, headings: dict[str, str] | None = None):
    content = "\n".join(["Our No,Net USD,Weeks in days", *rows]).encode()
    return plan_price_list(content, "list.csv", yard, headings or COLUMNS, TODAY)


def test_rows_are_matched_and_only_what_differs_changes(yard: Supplier):
    found = plan(yard, "xx-0,12.50,7", "F-1,10,9", "F-2,10,", "Z-9,1,1")
    changes = [(each.offer.component.code, dict(each.after)) for each in found.changes]
    assert changes == [("F-0", {"unit_cost": Decimal("12.5")}), ("F-1", {"lead_days": 9})]
    assert (found.unchanged, found.unknown, found.problems, found.may_apply) == (1, 1, (), True)


def test_every_wrong_row_is_named_exactly(yard: Supplier):
    found = plan(yard, "F-1,12,50", "F-2,ten,7", ",5,7", "F-1,12,9", "XX-0,=1+1,7")
    said = [(each.row, each.column, each.problem) for each in found.problems]
    assert said == [
        (6, "net_usd", "It holds a formula: =1+1"),
        (3, "net_usd", "'ten' is not a number."),
        (4, "our_no", "It is empty."),
        (5, "our_no", "F-1 stands in row 2 already."),
        (6, "net_usd", "'=1+1' is not a number."),
    ]
    assert not found.may_apply


def test_lead_times_have_to_rise_with_those_the_offer_has(yard: Supplier):
    Offer.objects.update(lead_low_days=5, lead_high_days=10)
    assert "do not rise" in plan(yard, "F-1,10,12").problems[0].problem


def test_columns_are_guessed_then_remembered():
    assert headings_for(("sku", "price", "colour"), {})["unit_cost"] == "price"
    assert headings_for(("sku", "price", "net_usd"), {"unit_cost": "net_usd"})["unit_cost"] == "net_usd"
    assert headings_for(("sku", "price"), {"unit_cost": "net_usd"})["unit_cost"] == ""


def test_queries_do_not_grow_with_rows(yard: Supplier):
    few = queries_of(lambda: plan(yard, "F-1,10,9"))
    assert queries_of(lambda: plan(yard, *(f"F-{number % 3},{number},9" for number in range(300)))) == few


def test_uploaded_mapped_once_and_read_again(day: Day, yard: Supplier, client_as):
    assert_guarded(client_as, "price-list", yard.public_id, roles=DESK)
    client, address = client_as("counter"), reverse("price-list", args=[yard.public_id])
    assert client.post(address).status_code == 422

    def upload(price: str) -> str:
        file = SimpleUploadedFile("list.csv", f"Our No,Net USD\nF-1,{price}\nF-2,10\n".encode())
        return str(client.post(address, {"file": file}).headers["Location"])

    page = upload("11")
    assert "Which column is which" in text(client.get(page))
    chosen = f"{page}?part=our_no&unit_cost=net_usd"
    shown = client.get(chosen).context["plan"].fingerprint
    apply = f"{page}apply/?part=our_no&unit_cost=net_usd"
    assert client.post(apply, {"shown": "another"}).status_code == 409
    for _ in range(2):
        client.post(apply, {"shown": shown})
    offer = Offer.objects.get(component__code="F-1")
    assert (offer.unit_cost, offer.priced_on) == (Decimal(11), TODAY)
    assert SupplierColumns.objects.get().headings == {"part": "our_no", "unit_cost": "net_usd"}
    assert ImportFile.objects.get(public_id=page.rstrip("/").rpartition("/")[2]).outcome.startswith("1 changed")
    again = client.get(upload("12")).context["plan"]  # no question the second time
    assert (len(again.changes), again.unchanged) == (1, 1)
    assert client_as("owner").get(page).status_code == 404  # another person's file
