"""A motor's efficiency grid in the catalogue: typed, refused, shown as a table, and in and out by file."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from shop.importing.plan import plan_import
from shop.importing.written import CSV, XLSX, components_file
from shop.models import Component
from shop.services.catalogue import component_import
from tests.shop.importing.made_files import DAY, csv_file
from tests.shop.made_parts import make_component

GRID = "rpm 20 60 120\n200 0.70 0.72 0.61\n800 0.84 0.89 0.86"
TYPED = "rpm\t20\t60\t120\r\n200\t70%\t72%\t61%\r\n800\t84%\t89%\t86%\r\n"
NEW = {"name": "hub motor", "code": "MOT-9", "tax_class": "parts", "markup_rate": "35", "keep_on_shelf": "0"}

pytestmark = pytest.mark.django_db


@pytest.fixture
def counter(shop, client_as: Callable[[str], Client]) -> Client:
    return client_as("counter")


def test_a_grid_pasted_from_a_sheet_is_kept_and_shown_as_a_table(counter):
    address = reverse("component-new", args=["motor"])
    assert 'name="spec_efficiency_grid"' in counter.get(address).content.decode()
    answer = counter.post(address, {**NEW, "spec_mount": "hub", "spec_efficiency_grid": TYPED})
    made = Component.objects.get()
    assert answer.headers["Location"] == reverse("component", args=[made.public_id])
    assert made.spec["efficiency_grid"] == GRID
    said = counter.get(reverse("component", args=[made.public_id])).content.decode()
    assert '<th scope="col">60</th>' in said
    assert '<th scope="row">800</th><td>0.84</td><td>0.89</td>' in said


def test_saving_it_as_it_is_shown_changes_nothing(counter):
    motor = make_component("MOT-1")
    motor.spec = {**motor.spec, "efficiency_grid": GRID}
    motor.save()
    address = reverse("component-edit", args=[motor.public_id])
    form = counter.get(address).context["form"]
    sent = {bound.html_name: bound.value() for bound in form if bound.value() not in (None, False, "")}
    assert counter.post(address, sent).status_code == 302
    motor.refresh_from_db()
    assert motor.spec["efficiency_grid"] == GRID


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("rpm 20 60\n200 0.7\n800 0.8 0.9", "The row of 200 rpm has 1 of 2 efficiencies. Fill every cell"),
        ("rpm 20 60\n200 0.7 -\n800 0.8 0.9", "is no efficiency. Write 0.85 or 85% in every cell"),
    ],
)
def test_a_grid_with_gaps_is_refused_beside_its_field_and_stays_typed(counter, typed, said):
    answer = counter.post(reverse("component-new", args=["motor"]), {**NEW, "spec_efficiency_grid": typed})
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors["spec_efficiency_grid"])
    assert typed.splitlines()[1] in answer.content.decode()
    assert not Component.objects.exists()


def test_a_file_brings_a_grid_in_and_names_the_cell_that_is_wrong(shop):
    heading = "code,kind,name,efficiency_grid"
    found = plan_import(csv_file(heading, "MOT-9,motor,hub motor,rpm 20 60; 200 0.7 0.8; 800 0.8"), "parts.csv", DAY)
    (problem,) = found.problems
    assert (problem.row, problem.column) == (2, "efficiency_grid")
    assert "The row of 800 rpm has 1 of 2 efficiencies" in problem.problem
    content = csv_file(heading, f"MOT-9,motor,hub motor,{GRID.replace(chr(10), '; ')}")
    component_import(content=content, filename="parts.csv", person=None)
    assert Component.objects.get().spec == {"efficiency_grid": GRID}


@pytest.mark.parametrize("form", [CSV, XLSX])
def test_what_goes_out_comes_back_unchanged(shop, form):
    motor = make_component("MOT-1")
    motor.spec = {**motor.spec, "efficiency_grid": GRID}
    motor.save()
    content = components_file(Component.objects.prefetch_related("offers__supplier"), form)
    assert plan_import(content, f"parts.{form}", DAY).unchanged == 1


def test_the_guide_tells_what_a_grid_is_for(counter):
    said = counter.get(reverse("catalogue-fields")).content.decode()
    assert "rows of figures" in said
    assert "its efficiency at each torque, such as 0.85 or 85%." in said
