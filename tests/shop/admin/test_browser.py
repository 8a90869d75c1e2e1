"""The settings pages in a real browser: the content policy and the console stay quiet, and a row can be added."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import pytest
from playwright.sync_api import Page, expect

from shop.models import TaxAuthority
from tests.shop.made_shop import make_whole_shop


@pytest.mark.django_db(transaction=True)
def test_an_owner_adds_a_rate_in_the_browser(page_as: Callable[[str], Page]) -> None:
    make_whole_shop()
    state = TaxAuthority.objects.get(level="state")
    page = page_as("owner")
    page.goto("/admin/")
    expect(page.get_by_role("heading", name="What is edited a few times a year")).to_be_visible()
    page.get_by_role("link", name="Tax authorities").first.click()
    page.get_by_role("link", name="Port Example state").click()
    page.get_by_text("Add another Tax rate", exact=True).click()
    row = page.locator("#rates-6")
    row.locator("select[name$=tax_class]").select_option("parts")
    row.locator("input[name$=rate]").fill("0.065")
    row.locator("input[name$=begin]").fill("2026-07-01")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("End the earlier rate the day before this one begins.")).to_be_visible()
    parts = page.locator("tr.form-row:has(option[value=parts][selected])").first
    parts.locator("input[name$=end]").fill("2026-06-30")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("was changed successfully")).to_be_visible()
    assert state.rates.get(begin=date(2026, 7, 1)).tax_class == "parts"
