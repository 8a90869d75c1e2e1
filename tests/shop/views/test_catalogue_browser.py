"""The catalogue in a real browser: accessible, fitting, searched as one types, a file imported by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shop.models import Component
from tests.shop.importing.made_files import HEADING, ROW, csv_file
from tests.shop.made_day import Day
from tests.shop.made_parts import make_supplier

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (1440, 1000, 390)  # a laptop, a tablet, a phone
SCREENS: dict[str, Callable[[Day], list[str]]] = {
    "catalogue": lambda day: [],
    "component": lambda day: [day.motor.public_id],
    "component-edit": lambda day: [day.motor.public_id],
    "component-kinds": lambda day: [],
    "component-new": lambda day: ["controller"],
    "offer-new": lambda day: [day.motor.public_id],
    "offer-edit": lambda day: [day.motor.public_id, day.supplier.public_id],
    "catalogue-import": lambda day: [],
}


def too_wide(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


@pytest.mark.slow
def test_every_screen_is_accessible_and_fits(
    day: Day, page_as: Callable[[str], Page], assert_accessible: Callable[[Page], None]
) -> None:
    page, wide = page_as("owner"), []
    for name, ids in SCREENS.items():
        page.goto(reverse(name, args=ids(day)))
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 900})
            if too_wide(page):
                wide.append((name, width))
        assert_accessible(page)
    assert wide == []


def test_the_list_follows_what_is_typed_and_the_address_keeps_it(day: Day, page_as: Callable[[str], Page]) -> None:
    page = page_as("counter")
    page.goto(reverse("catalogue"))
    expect(page.get_by_role("link", name=day.cell.name)).to_be_visible()
    page.get_by_label("Name, code or supplier").fill(day.motor.code)
    expect(page.get_by_role("link", name=day.cell.name)).to_have_count(0)
    expect(page.get_by_role("link", name=day.motor.name)).to_be_visible()
    assert f"q={day.motor.code}" in page.url


def test_a_file_is_looked_over_and_applied(
    shop: object, page_as: Callable[[str], Page], assert_accessible: Callable[[Page], None], tmp_path: Path
) -> None:
    make_supplier()
    file = tmp_path / "parts.csv"
    page = page_as("counter")
    file.write_bytes(csv_file(HEADING, ROW, "FUS-8,fuze,Fuse,,,,,,,"))
    page.goto(reverse("catalogue-import"))
    page.get_by_label("CSV or XLSX file").set_input_files(file)
    page.get_by_role("button", name="Look it over").click()
    expect(page.get_by_text("'fuze' is no kind.")).to_be_visible()
    expect(page.get_by_role("button", name="Apply")).to_have_count(0)
    assert_accessible(page)
    file.write_bytes(csv_file(HEADING, ROW))
    page.get_by_role("link", name="Another file").click()
    page.get_by_label("CSV or XLSX file").set_input_files(file)
    page.get_by_role("button", name="Look it over").click()
    page.get_by_role("button", name="Apply: add 1, change 0").click()
    expect(page.get_by_text("1 added, 0 changed, 0 unchanged").first).to_be_visible()
    assert Component.objects.get().code == "FUS-9"


def test_a_component_is_added_by_keyboard(shop: object, page_as: Callable[[str], Page]) -> None:
    page = page_as("counter")
    page.goto(reverse("component-new", args=["fuse"]))
    page.get_by_label("Name", exact=True).fill("Main fuse 200 A")
    page.get_by_label("Code", exact=True).fill("FUS-1")
    page.get_by_label("Rating").fill("200 A")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Main fuse 200 A")).to_be_visible()
    assert Component.objects.get().spec == {"rating_a": 200.0}
