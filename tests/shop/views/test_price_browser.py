"""Change orders, tax and exports in a real browser: accessible, fitting, agreed without leaving the page's flow."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shop.models import ChangeOrder
from tests.shop.made_day import Day

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]

WIDTHS = (1280, 820, 390)  # a laptop, a tablet, a phone
SCREENS: dict[str, Callable[[Day], list[str]]] = {
    "change": lambda day: [day.change.public_id],
    "change-new": lambda day: [day.build.public_id],
    "tax": lambda day: [],
    "tax-import": lambda day: [],
    "exports": lambda day: [],
}


def too_wide(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


def test_every_screen_is_accessible_and_fits(
    day: Day, page_as: Callable[[str], Page], assert_accessible: Callable[[Page], None]
) -> None:
    page, wide = page_as("owner"), []
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        for name, ids in SCREENS.items():
            page.goto(reverse(name, args=ids(day)))
            for width in WIDTHS:
                page.set_viewport_size({"width": width, "height": 900})
                if too_wide(page):
                    wide.append((name, width))
            assert_accessible(page)
    assert wide == []


def test_both_agree_at_the_page(day: Day, page_as: Callable[[str], Page]) -> None:
    page = page_as("counter")
    page.goto(reverse("change", args=[day.change.public_id]))
    page.get_by_label("Signed on paper").check()
    page.get_by_role("button", name="Both agree: change the build").click()
    expect(page.get_by_text("follows")).to_be_visible()
    assert ChangeOrder.objects.get(pk=day.change.pk).accepted_at is not None
