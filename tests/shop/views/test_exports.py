"""Exports on screen and as files: for the owner only, safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from shop.models import Customer, LedgerEntry
from tests.shop.made_day import Day
from tests.shop.views.guards import OWNER_ONLY, assert_guarded
from tests.shop.views.test_change_orders import text

MARCH = {"first": "2026-03-01", "last": "2026-03-31"}


@pytest.fixture
def owner(day: Day, client_as) -> Client:
    client: Client = client_as("owner")
    return client


def table(client: Client, name: str, **asked: str) -> list[dict[str, str]]:
    answer: Any = client.get(reverse("export-file", args=[name, "csv"]), asked or MARCH)
    content = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(content)))


def test_only_the_owner_takes_the_books_away(day: Day, client_as):
    assert_guarded(client_as, "exports", roles=OWNER_ONLY)
    assert client_as("counter").get(reverse("export-file", args=["ledger", "csv"])).status_code == 403
    assert Client().get(reverse("export-file", args=["margin", "csv"])).status_code == 302


def test_the_page_says_how_many_rows_and_how_much(day: Day, owner: Client):
    page = owner.get(reverse("exports"), MARCH)
    amount = day.entry.postings.get().amount
    known = {each.key: (each.count, each.total) for each in page.context["exports"]}
    assert known["ledger"] == (1, amount)
    assert known["deposits"] == (1, amount)
    assert known["tax"] == (0, 0)
    assert known["margin"][0] == 1


def test_without_a_period_it_is_last_month(day: Day, owner: Client):
    page = owner.get(reverse("exports"))
    assert (str(page.context["first"]), str(page.context["last"])) == ("2026-02-01", "2026-02-28")
    assert page.context["exports"][0].count == 0


@pytest.mark.parametrize("asked", [{"first": "2026-03-31", "last": "2026-03-01"}, {"first": "soon", "last": "x"}])
def test_a_period_that_cannot_be_read_is_said(owner: Client, asked: dict[str, str]):
    page = owner.get(reverse("exports"), asked)
    assert page.status_code == 422
    assert f'value="{asked["first"]}"' in page.content.decode()


def test_the_cash_book_as_csv(day: Day, owner: Client):
    (row,) = table(owner, "ledger")
    assert row["day"] == "2026-03-02"
    assert row["entered"] == "2026-03-02 09:00"  # the shop's zone
    assert (row["build"], row["credit"], row["receipt"]) == (day.build.number, "Deposits held", day.entry.receipt)
    assert row["amount"] == f"{day.entry.postings.get().amount:f}"


def test_as_xlsx_numbers_are_numbers_and_days_are_days(day: Day, owner: Client):
    answer = owner.get(reverse("export-file", args=["ledger", "xlsx"]), MARCH)
    sheet = load_workbook(io.BytesIO(answer.content)).active
    headings = [cell.value for cell in sheet[1]]
    values = dict(zip(headings, [cell.value for cell in sheet[2]], strict=True))
    assert float(values["amount"]) == float(day.entry.postings.get().amount)
    assert values["day"].date().isoformat() == "2026-03-02"


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t"])
def test_what_a_spreadsheet_would_compute_is_kept_from_it(day: Day, owner: Client, start: str):
    Customer.objects.filter(pk=day.customer.pk).update(name=f'{start}HYPERLINK("x")')
    assert table(owner, "ledger")[0]["customer"] == f'\'{start}HYPERLINK("x")'
    assert table(owner, "deposits")[0]["customer"].startswith("'")
    answer = owner.get(reverse("export-file", args=["deposits", "xlsx"]), MARCH)
    cell = load_workbook(io.BytesIO(answer.content)).active["B2"]
    assert (cell.data_type, str(cell.value).startswith("'")) == ("s", True)


def test_more_rows_than_an_xlsx_is_made_of_are_refused_with_what_to_do(owner: Client, monkeypatch):
    monkeypatch.setattr("shop.views.exports.MOST_XLSX_ROWS", 0)
    answer = owner.get(reverse("export-file", args=["ledger", "xlsx"]), MARCH)
    assert (answer.status_code, "Take the CSV, or a shorter period" in text(answer)) == (422, True)
    assert len(table(owner, "ledger")) == LedgerEntry.objects.count()


@pytest.mark.parametrize(("name", "form"), [("payroll", "csv"), ("ledger", "ods")])
def test_there_is_no_other_table(owner: Client, name: str, form: str):
    assert owner.get(reverse("export-file", args=[name, form]), MARCH).status_code == 404


def test_the_ways_there(day: Day, owner: Client, client_as):
    assert reverse("exports") in owner.get(reverse("cash-book")).content.decode()
    assert reverse("exports") not in client_as("counter").get(reverse("cash-book")).content.decode()
