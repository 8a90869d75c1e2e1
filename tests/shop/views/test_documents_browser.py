"""A document in a real browser: on a screen and a phone, printed from there, and from a customer's own page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import BrowserContext, Page, expect

from shop.models import QuoteVersion, Shop
from shop.services.quotes import option_copy
from tests.shop.documents.reading import figure, pages_of
from tests.shop.made_quotes import make_sound_draft
from tests.shop.made_quotes_offered import offer

pytestmark = pytest.mark.django_db(transaction=True)
ORIGIN = "http://testserver"  # BASE_URL of the tests: where the document's own link leads


@pytest.fixture
def offered(shop: Shop) -> QuoteVersion:
    return offer(make_sound_draft(shop, date.today()))  # noqa: DTZ011 - the rows' own day


@pytest.fixture
def document(page_as: Callable[[str], Page], live_server: Any, offered: QuoteVersion) -> Page:
    page = page_as("counter")
    page.goto(live_server.url + reverse("quote-document", args=[offered.public_id]))
    return page


def printed(page: Page, tmp_path: Path) -> list[str]:
    """What the browser itself makes of the page on paper."""
    made = tmp_path / "printed.pdf"
    page.pdf(path=made, format="Letter", prefer_css_page_size=True)
    return pages_of(made.read_bytes())


def test_no_barrier_in_it(document: Page, assert_accessible: Callable[[Page], None]) -> None:
    assert_accessible(document)


def test_it_is_a_sheet_on_a_desk_and_fits_a_phone(document: Page) -> None:
    sheet = document.locator("main.sheet").bounding_box()
    assert sheet is not None
    assert sheet["width"] == pytest.approx(216 / 25.4 * 96, abs=2)  # 216 mm at 96 px an inch
    assert document.evaluate("getComputedStyle(document.querySelector('.total')).fontFamily").startswith("Inter")
    document.set_viewport_size({"width": 390, "height": 844})
    assert document.evaluate("document.documentElement.scrollWidth") == 390


def test_printed_from_the_browser_it_has_the_same_two_pages_and_no_controls(document: Page, tmp_path: Path) -> None:
    total = document.inner_text(".total")
    first, second = printed(document, tmp_path)
    assert "Open the PDF" not in first
    assert "Finished between" in first
    assert total in first
    assert figure(second.partition("Total, tax included ")[2].partition(" ")[0], 2) == figure(total, 2)
    assert "Cautions" in second
    assert "Page 2 of 2" in second


def test_options_are_printed_side_by_side_first(
    page_as: Callable[[str], Page], live_server: Any, shop: Shop, tmp_path: Path
) -> None:
    draft = make_sound_draft(shop, date.today())  # noqa: DTZ011 - the rows' own day
    option_copy(option=draft.options.get(), person=None)
    page = page_as("counter")
    page.goto(live_server.url + reverse("quote-document", args=[offer(draft).public_id]))
    expect(page.get_by_role("heading", name="Your options side by side")).to_be_visible()
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    pages = printed(page, tmp_path)
    assert "Your options side by side" in pages[0]
    assert ["Option A" in page and "Item Quantity" in page for page in pages] == [False, True, False, False]
    assert ["Option B" in page and "Item Quantity" in page for page in pages] == [False, False, True, False]


def test_a_customer_looks_at_it_without_an_account(
    context: BrowserContext, live_server: Any, offered: QuoteVersion, assert_accessible: Callable[[Page], None]
) -> None:
    page = context.new_page()
    page.goto(live_server.url + reverse("customer-quote-document", args=[offered.quote.link_token, offered.public_id]))
    expect(page.get_by_role("heading", level=1)).to_have_text(f"Quote {offered.quote.number}")
    own_page = reverse("customer-page", args=[offered.quote.link_token])
    assert page.locator(".finish a").get_attribute("href") == ORIGIN + own_page
    assert_accessible(page)
    page.get_by_role("link", name="Back").click()
    expect(page).to_have_url(live_server.url + own_page)
