"""Templates and exports: every column explained, no formula gets out, and what goes out comes back unchanged."""

import csv
import io
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from quoting.parts import KINDS, spec_fields
from shop.importing.columns import all_columns
from shop.importing.plan import plan_import
from shop.importing.written import CSV, XLSX, components_file, explained_file, guarded, template_file
from shop.models import Component
from shop.services.catalogue import component_import
from tests.shop.importing.made_files import DAY, make_fuse
from tests.shop.made_parts import make_sound_components, make_supplier

HOSTILE = ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", '=HYPERLINK("http://example.org")']


def csv_rows(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))


@pytest.mark.parametrize("kind", KINDS)
def test_a_template_has_every_column_of_its_kind_and_explains_it(kind):
    book = load_workbook(io.BytesIO(template_file([kind], XLSX)))
    assert book.sheetnames == ["components", "help"]
    heading = [cell.value for cell in next(book["components"].rows)]
    assert {field.name for field in spec_fields(KINDS[kind].part_type)} <= set(heading)
    explained = {row[0].value: row for row in list(book["help"].rows)[1:]}
    assert list(explained) == heading
    for field in spec_fields(KINDS[kind].part_type):
        assert (explained[field.name][2].value or "") == field.unit


def test_the_csv_template_is_the_same_heading_and_its_column_list_explains_it():
    heading = csv_rows(template_file(list(KINDS), CSV))
    assert heading == [[column.name for column in all_columns()]]
    assert [row[0] for row in csv_rows(explained_file(list(KINDS)))[1:]] == heading[0]


def test_the_limits_of_a_field_stand_in_its_help():
    explained = {row[0]: row for row in csv_rows(explained_file(["fuse"]))}
    assert explained["rating_a"][2:4] == ["A", "fuse"]
    assert explained["rating_a"][4].endswith("1 to 2000 A.")


@pytest.mark.parametrize("text", HOSTILE)
def test_text_a_spreadsheet_would_compute_is_guarded(text):
    assert guarded(text) == f"'{text}"
    assert guarded(f"plain {text}") == f"plain {text}"


@pytest.mark.django_db
@pytest.mark.parametrize("form", [CSV, XLSX])
def test_no_formula_leaves_the_shop_and_it_comes_back_as_it_was(form):
    make_fuse(make_supplier(), name="=cmd()", notes="@SUM(A1)")
    content = components_file(Component.objects.prefetch_related("offers__supplier"), form)
    if form == XLSX:
        sheet = load_workbook(io.BytesIO(content))["components"]
        cells = [cell for row in sheet.rows for cell in row]
        assert [cell.value for cell in cells if cell.data_type == "f"] == []
        assert "'=cmd()" in [cell.value for cell in cells]
    else:
        assert all(not cell.startswith(("=", "@")) for row in csv_rows(content) for cell in row)
    assert plan_import(content, f"parts.{form}", DAY).unchanged == 1


@pytest.mark.django_db
@pytest.mark.parametrize("form", [CSV, XLSX])
def test_an_export_read_back_changes_nothing(form):
    make_sound_components(DAY)
    content = components_file(Component.objects.prefetch_related("offers__supplier").order_by("pk"), form)
    found = plan_import(content, f"components.{form}", DAY)
    assert found.problems == ()
    assert (found.added, found.changed, found.unchanged) == (0, 0, Component.objects.count())


@pytest.mark.django_db
@pytest.mark.parametrize("form", [CSV, XLSX])
def test_an_export_fills_an_empty_catalogue_with_the_same(form):
    before = {component.code: component for component in make_sound_components(DAY).values()}
    kept = {code: (component.spec, component.list_price) for code, component in before.items()}
    costs = {code: component.offers.get().unit_cost for code, component in before.items()}
    content = components_file(Component.objects.prefetch_related("offers__supplier").order_by("pk"), form)
    Component.objects.all().delete()
    component_import(content=content, filename=f"components.{form}", person=None, day=DAY)
    after = {component.code: component for component in Component.objects.all()}
    assert {code: (component.spec, component.list_price) for code, component in after.items()} == kept
    assert {code: component.offers.get().unit_cost for code, component in after.items()} == costs
    assert all(component.offers.get().preferred for component in after.values())


@pytest.mark.django_db
def test_numbers_in_a_workbook_are_numbers():
    make_fuse(make_supplier(), markup_rate=Decimal("0.425"))
    sheet = load_workbook(io.BytesIO(components_file(Component.objects.prefetch_related("offers__supplier"), XLSX)))
    rows = list(sheet["components"].rows)
    values = {head.value: cell.value for head, cell in zip(*rows, strict=True)}
    assert (values["list_price"], values["markup_percent"], values["rating_a"]) == (28.5, 42.5, 225)
