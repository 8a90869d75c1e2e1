"""Import by the page: upload, what it would do, apply once; templates and exports to take away."""

from __future__ import annotations

import io
from collections.abc import Callable
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook

from shop.importing.files import MOST_BYTES
from shop.models import Component, ImportFile
from tests.shop.importing.made_files import HEADING, ROW, csv_file, make_fuse, xlsx_file
from tests.shop.made_counter import text
from tests.shop.made_parts import make_supplier
from tests.shop.views.guards import DESK, assert_guarded

IMPORT = reverse("catalogue-import")


@pytest.fixture
def counter(shop, client_as: Callable[[str], Client]) -> Client:
    make_supplier()
    return client_as("counter")


def upload(client: Client, content: bytes, name: str = "parts.csv"):
    return client.post(IMPORT, {"file": SimpleUploadedFile(name, content)})


def looked_over(client: Client, content: bytes, name: str = "parts.csv"):
    answer = upload(client, content, name)
    assert answer.status_code == 302, text(answer)
    return client.get(answer.headers["Location"])


def apply(client: Client, page) -> tuple[str, int]:
    file = page.context["file"]
    answer = client.post(
        reverse("catalogue-import-apply", args=[file.public_id]), {"shown": page.context["plan"].fingerprint}
    )
    return answer.headers.get("Location", ""), answer.status_code


def test_who_may(shop, client_as):
    assert_guarded(client_as, "catalogue-import", roles=DESK)
    for name in ("catalogue-template", "catalogue-export"):
        assert_guarded(client_as, name, "csv", roles=DESK)
    assert_guarded(client_as, "catalogue-columns", roles=DESK)


def test_a_file_is_looked_over_before_anything_is_written(counter):
    page = looked_over(counter, csv_file(HEADING, ROW))
    assert page.status_code == 200
    assert "Apply: add 1, change 0" in text(page)
    assert not Component.objects.exists()


def test_applied_once_whatever_is_pressed(counter):
    page = looked_over(counter, csv_file(HEADING, ROW))
    where, status = apply(counter, page)
    assert status == 302
    assert Component.objects.get().list_price == Decimal("28.5")
    assert "1 added, 0 changed, 0 unchanged" in text(counter.get(where))
    assert apply(counter, page)[1] == 302
    assert Component.objects.count() == 1


def test_an_xlsx_goes_the_same_way(counter):
    content = xlsx_file([["code", "kind", "name", "rating_a"], ["F-7", "fuse", "Fuse", 200]])
    apply(counter, looked_over(counter, content, "parts.xlsx"))
    assert Component.objects.get().spec == {"rating_a": 200.0}


def test_changes_are_shown_field_by_field(counter):
    make_fuse(make_supplier())
    said = text(looked_over(counter, csv_file("code,list_price,dc_v", "FUS-9,31,150")))
    assert "List price" in said
    assert "28.5" in said
    assert "150 V" in said


def test_every_wrong_row_is_named_and_nothing_can_be_applied(counter):
    page = looked_over(counter, csv_file(HEADING, ROW, "FUS-8,fuse,Fuse,x,,,,,,", ",fuse,Fuse,1,,,,,,"))
    said = text(page)
    assert "Apply" not in said
    assert [(problem.row, problem.column) for problem in page.context["plan"].problems] == [
        (3, "list_price"),
        (4, "code"),
    ]
    assert "Write figures only" in said
    assert apply(counter, page)[1] == 409
    assert not Component.objects.exists()


def test_a_catalogue_that_changed_in_between_is_shown_again(counter):
    page = looked_over(counter, csv_file(HEADING, ROW))
    make_fuse(make_supplier(), list_price=Decimal(5))
    answer = counter.post(
        reverse("catalogue-import-apply", args=[page.context["file"].public_id]),
        {"shown": page.context["plan"].fingerprint},
    )
    assert answer.status_code == 409
    assert "Look the file over again" in text(answer)
    assert "Apply: add 0, change 1" in text(answer)
    assert Component.objects.get().list_price == Decimal(5)


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (b"", "parts.csv", "The file is empty"),
        (b"x" * (MOST_BYTES + 1), "parts.csv", "2,000,000 is the most"),
    ],
)
def test_files_that_are_not_kept_say_why(counter, content, name, said):
    answer = upload(counter, content, name)
    assert answer.status_code == 422
    assert said in text(answer)
    assert not ImportFile.objects.exists()


def test_no_file_chosen(counter):
    answer = counter.post(IMPORT, {})
    assert answer.status_code == 422
    assert "Choose a file." in text(answer)


@pytest.mark.parametrize(("content", "name"), [(b"caf\xe9;x", "parts.csv"), (b"%PDF-1.7", "parts.pdf")])
def test_a_file_that_cannot_be_read_says_so_on_its_page(counter, content, name):
    said = text(looked_over(counter, content, name))
    assert "Save it as" in said
    assert "Apply" not in said


def test_a_file_is_its_uploaders_alone(counter, client_as):
    page = looked_over(counter, csv_file(HEADING, ROW))
    file = page.context["file"]
    for client in (client_as("owner"), client_as("counter")):
        assert client.get(reverse("catalogue-import-file", args=[file.public_id])).status_code == 404
        assert client.post(reverse("catalogue-import-apply", args=[file.public_id])).status_code == 404


def test_a_name_with_markup_is_text(counter):
    page = looked_over(counter, csv_file(HEADING, ROW), "<b>parts<script>.csv")
    assert "<script>.csv" not in page.content.decode()


def test_templates_and_exports_are_files_to_keep(counter):
    make_fuse(make_supplier())
    template = counter.get(f"{reverse('catalogue-template', args=['xlsx'])}?kind=fuse")
    assert template.headers["Content-Disposition"] == 'attachment; filename="components-fuse-template.xlsx"'
    assert load_workbook(io.BytesIO(template.content)).sheetnames == ["components", "help"]
    export = counter.get(reverse("catalogue-export", args=["csv"]))
    assert export.headers["Content-Disposition"] == 'attachment; filename="components.csv"'
    assert b"FUS-9" in export.content
    assert b"rating_a" in counter.get(reverse("catalogue-columns")).content


def test_unknown_kinds_and_forms_are_not_found(counter):
    assert counter.get(f"{reverse('catalogue-template', args=['csv'])}?kind=steam").status_code == 404
    assert counter.get(reverse("catalogue-template", args=["pdf"])).status_code == 404
    assert counter.get(reverse("catalogue-export", args=["pdf"])).status_code == 404
