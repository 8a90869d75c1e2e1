"""A shelf counted by file in a real browser: a wrong row first, then the right ones, posted and seen in Stores."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from tests.shop.importing.made_files import csv_file
from tests.shop.made_day import Day

pytestmark = pytest.mark.django_db(transaction=True)


def choose(page: Page, *lines: str) -> None:
    page.get_by_label("CSV or XLSX file").set_input_files(
        {"name": "march.csv", "mimeType": "text/csv", "buffer": csv_file(*lines)}
    )
    page.get_by_role("button", name="Look it over").click()


def test_the_shelf_is_counted_by_file(
    day: Day, page_as: Callable[[str], Page], assert_accessible: Callable[[Page], None]
) -> None:
    page = page_as("counter")
    page.goto(reverse("stores"))
    page.get_by_role("link", name="Count by file").click()
    choose(page, "code,counted,shelf", "CHG-1,some,C4")
    expect(page.get_by_role("row", name="Row 2")).to_contain_text("'some' is not a number.")
    assert_accessible(page)
    page.get_by_role("link", name="Another file").click()
    choose(page, "code,counted,shelf", "CHG-1,4,C4")
    expect(page.get_by_role("row", name="On the shelf")).to_contain_text("4")
    assert_accessible(page)
    page.get_by_role("button", name="Apply 1 row").dblclick()
    expect(page.get_by_text("1 counted otherwise than the books").first).to_be_visible()
    page.goto(f"{reverse('stores')}?q=CHG-1")
    row = page.get_by_role("row", name=day.charger.name)
    expect(row).to_contain_text("C4")
    expect(row).to_contain_text("4")
