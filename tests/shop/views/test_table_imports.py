"""Stock counts and past purchases by the page: upload, what it would do, apply once; templates and exports."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from shop.importing.files import MOST_BYTES
from shop.models import PastPurchase, StockMove
from shop.selectors.balances import stock_balances
from shop.views.file_imports import SUBJECTS
from tests.shop.importing.made_files import csv_file, xlsx_file
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.views.guards import DESK, assert_guarded

BOUGHT = csv_file(
    "supplier,code,ordered_on,received_on,quantity", "north-yard,MOT-1,2025-01-01,2025-01-11,1"
)  # fmt: skip


@pytest.fixture
def counter(day: Day, client_as: Callable[[str], Client]) -> Client:
    return client_as("counter")


def upload(client: Client, subject: str, content: bytes, name: str = "sheet.csv") -> Any:
    return client.post(reverse(f"{subject}-import"), {"file": SimpleUploadedFile(name, content)})


def looked_over(client: Client, subject: str, content: bytes, name: str = "sheet.csv") -> Any:
    answer = upload(client, subject, content, name)
    assert answer.status_code == 302, text(answer)
    return client.get(answer.headers["Location"])


def apply(client: Client, subject: str, page: Any) -> Any:
    address = reverse(f"{subject}-import-apply", args=[page.context["file"].public_id])
    return client.post(address, {"shown": page.context["plan"].fingerprint})


@pytest.mark.parametrize("subject", SUBJECTS)
def test_who_may(day: Day, client_as: Callable[[str], Client], subject: str) -> None:
    assert_guarded(client_as, f"{subject}-import", roles=DESK)
    for name in ("template", "export"):
        assert_guarded(client_as, f"{subject}-{name}", "csv", roles=DESK)


def test_a_count_is_looked_over_posted_once_and_then_like_it_already(counter: Client, day: Day) -> None:
    content = xlsx_file([["code", "counted"], ["CHG-1", 4]])
    page = looked_over(counter, "counts", content, "march.xlsx")
    assert "Apply 1 row<" in text(page)
    assert stock_balances()[day.charger.pk].on_hand == 1
    where = apply(counter, "counts", page).headers["Location"]
    assert "1 counted otherwise than the books" in text(counter.get(where))
    moves = StockMove.objects.count()
    assert apply(counter, "counts", page).status_code == 302
    assert stock_balances()[day.charger.pk].on_hand == 4
    again = text(looked_over(counter, "counts", content, "march.xlsx"))
    assert "There is nothing to apply" in again
    assert StockMove.objects.count() == moves


def test_wrong_rows_stand_with_what_to_do_and_nothing_is_applied(counter: Client, day: Day) -> None:
    page = looked_over(counter, "counts", csv_file("code,counted", "CHG-1,some", "NONE,1"))
    said = text(page)
    assert "Write figures only" in said
    assert "import the component first" in said
    assert "Apply" not in said
    assert apply(counter, "counts", page).status_code == 409
    assert "cannot be read" in text(looked_over(counter, "counts", b"PK\x03\x04broken", "a.xlsx"))


def test_a_count_that_no_longer_fits_is_shown_again(counter: Client, day: Day) -> None:
    page = looked_over(counter, "counts", csv_file("code,counted", "CHG-1,4"))
    StockMove.objects.create(component=day.charger, kind="received", on_hand=1)
    answer = apply(counter, "counts", page)
    assert (answer.status_code, "Look the file over again" in text(answer)) == (409, True)


@pytest.mark.parametrize(("content", "said"), [(b"", "empty"), (b"x" * (MOST_BYTES + 1), "is the most")])
@pytest.mark.parametrize("subject", SUBJECTS)
def test_files_that_are_not_kept_say_why(counter: Client, subject: str, content: bytes, said: str) -> None:
    answer = upload(counter, subject, content)
    assert (answer.status_code, said in text(answer)) == (422, True)


def test_past_purchases_are_applied_once(counter: Client) -> None:
    page = looked_over(counter, "purchases", BOUGHT)
    assert "ordered 2025-01-01, came 2025-01-11: 10 days" in text(page)
    assert "Apply: add 1, change 0" in text(page)
    for _ in range(2):
        assert apply(counter, "purchases", page).status_code == 302
    assert PastPurchase.objects.get().reference == ""


def test_only_who_uploaded_a_file_sees_it_and_only_as_what_it_is(
    counter: Client, client_as: Callable[[str], Client]
) -> None:
    file = looked_over(counter, "purchases", BOUGHT).context["file"].public_id
    assert client_as("counter").get(reverse("purchases-import-file", args=[file])).status_code == 404
    assert counter.get(reverse("counts-import-file", args=[file])).status_code == 404


@pytest.mark.parametrize("subject", SUBJECTS)
def test_templates_and_exports_have_the_columns_and_say_what_they_mean(counter: Client, subject: str) -> None:
    names = [column.name for column in SUBJECTS[subject].columns]
    for what in ("template", "export"):
        lines = counter.get(reverse(f"{subject}-{what}", args=["csv"])).content.decode("utf-8-sig").splitlines()
        assert lines[0].split(",") == names
        book = load_workbook(io.BytesIO(counter.get(reverse(f"{subject}-{what}", args=["xlsx"])).content))
        assert [cell.value for cell in next(book.worksheets[0].iter_rows())] == names
        assert [row[0].value for row in book["help"].iter_rows(min_row=2)] == names
    assert counter.get(reverse(f"{subject}-export", args=["pdf"])).status_code == 404
