"""Find builds in a real browser: opened in place by keyboard, a set put on an option after asking."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shop.models import Shop
from tests.shop.made_quotes import make_sound_draft

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_set_is_found_in_place_and_used_after_asking(
    page_as: Callable[[str], Page], live_server: Any, shop: Shop, assert_accessible: Callable[[Page], None]
) -> None:
    draft = make_sound_draft(shop, date.today())  # noqa: DTZ011 - the rows' own day
    page = page_as("counter")
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(live_server.url + reverse("quote", args=[draft.quote.public_id]))
    page.get_by_role("link", name="Find builds that meet this").press("Enter")
    expect(page.locator("#found-head")).to_be_focused()
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    assert_accessible(page)
    page.locator(".uses summary").first.press("Enter")
    expect(page.get_by_text("They give way to this set").first).to_be_visible()
    page.get_by_role("button", name="Replace the parts of A").first.press("Enter")
    expect(page.locator(".messages")).to_contain_text("Option A holds this set.")
