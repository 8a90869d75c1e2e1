"""The Counter in a real browser: typed text and focus survive an answer, all works without script, no barrier."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Browser, Page, Route, expect

from shop.models import Quote, QuoteVersion, Shop
from shop.services.quotes import option_copy
from tests.shop.made_quotes import make_sound_draft
from tests.shop.made_quotes_offered import offer

pytestmark = pytest.mark.django_db(transaction=True)
WIDTHS = (1440, 1000, 390)


@pytest.fixture
def draft(shop: Shop) -> QuoteVersion:
    return make_sound_draft(shop, date.today())  # noqa: DTZ011 - the rows' own day


@pytest.fixture
def at_counter(page_as: Callable[[str], Page], live_server: Any, draft: QuoteVersion) -> Page:
    page = page_as("counter")
    page.goto(live_server.url + reverse("quote", args=[draft.quote.public_id]))
    return page


def test_a_change_marks_what_it_moved_and_leaves_the_next_field_alone(at_counter: Page) -> None:
    page = at_counter
    before = page.inner_text("#price .big")
    page.fill("#id_pack-parallel", "26")
    page.keyboard.press("Tab")
    page.keyboard.type("3.5")  # goes on typing while the answer is on its way
    expect(page.locator("#price .big")).not_to_have_text(before)
    expect(page.locator("[data-figure=total]")).to_have_class("big changed")
    assert page.evaluate("document.activeElement.id") == "id_pack-link_mohm"
    assert page.input_value("#id_pack-link_mohm") == "3.5"
    expect(page.locator("#said")).to_contain_text("Total: ")
    page.wait_for_timeout(2200)
    expect(page.locator("[data-figure=total]")).to_have_class("big")


def test_a_refused_figure_stays_typed_with_its_words_until_it_is_right(
    at_counter: Page, console_errors: list[str]
) -> None:
    page = at_counter
    page.fill("#id_wishes-budget", "a lot")
    page.keyboard.press("Tab")
    expect(page.locator("#id_wishes-budget_error")).to_contain_text("“a lot” is not a number")
    expect(page.locator("#id_wishes-budget")).to_have_attribute("aria-invalid", "true")
    assert page.input_value("#id_wishes-budget") == "a lot"
    page.fill("#id_wishes-budget", "18,000")
    page.keyboard.press("Tab")
    expect(page.locator("#id_wishes-budget_error")).to_be_empty()
    expect(page.locator("#id_wishes-budget")).not_to_have_attribute("aria-invalid", "true")
    assert all("422" in error for error in console_errors)
    console_errors.clear()


def test_what_is_changed_before_the_scripts_are_there_is_saved(at_counter: Page) -> None:
    page = at_counter
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/django_htmx/htmx*.js", hold)
    page.goto(page.url, wait_until="commit")
    page.fill("#id_pack-parallel", "26")
    page.keyboard.press("Tab")
    assert page.evaluate("typeof htmx") == "undefined"
    assert held
    for route in held:
        route.continue_()
    expect(page.locator("#pack-figures")).to_contain_text("20s26p")


def test_an_opened_working_stays_open_across_a_change(at_counter: Page) -> None:
    page = at_counter
    page.click("#road .reading >> nth=0")
    page.fill("#id_pack-parallel", "26")
    page.keyboard.press("Tab")
    expect(page.locator("[data-figure=total]")).to_have_class("big changed")
    expect(page.locator("#road .reading >> nth=0")).to_have_attribute("open", "")


def test_a_part_is_exchanged_and_taken_off_by_keyboard(at_counter: Page) -> None:
    page = at_counter
    lines = page.locator("#parts .line")
    count = lines.count()
    page.locator("#parts .line", has_text="lamp set").get_by_role("link", name="Exchange").press("Enter")
    expect(page.locator(".choose h4")).to_be_focused()
    page.get_by_role("link", name="Close").press("Enter")
    expect(page.locator(".choose")).to_have_count(0)
    page.locator("#parts .line", has_text="lamp set").get_by_role("button", name="Take off").press("Enter")
    expect(lines).to_have_count(count - 1)


def test_pressing_enter_in_a_count_saves_it_and_takes_nothing_off(at_counter: Page, draft: QuoteVersion) -> None:
    page = at_counter
    field = page.get_by_label("Count of battery cable 50 mm2")
    field.fill("4")
    field.press("Enter")
    expect(page.locator("#parts-sum")).to_contain_text("6,682.20")  # 6,668.20 and one more meter at 14.00
    page.wait_for_load_state("networkidle")
    assert draft.options.get().parts.get(component__code="CAB-B").quantity == 4


def test_a_session_that_ended_is_told_and_nothing_typed_is_lost(at_counter: Page) -> None:
    page = at_counter
    page.context.clear_cookies(name="sessionid")
    page.fill("#id_pack-parallel", "26")
    page.keyboard.press("Tab")
    expect(page.locator("#trouble")).to_contain_text("You were signed out. Nothing was saved")
    assert page.input_value("#id_pack-parallel") == "26"


def test_the_bottom_bar_opens_what_it_comes_to_on_a_tablet_and_jumps_there_on_a_phone(at_counter: Page) -> None:
    page = at_counter
    page.set_viewport_size({"width": 1000, "height": 800})
    expect(page.locator("#price")).not_to_be_visible()
    page.click(".bar-figures")
    expect(page.locator("#price")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator("#price")).not_to_be_visible()
    page.set_viewport_size({"width": 390, "height": 800})
    page.click(".bar-figures")
    expect(page.locator("#price")).to_be_in_viewport()


def test_the_whole_of_it_works_without_script(
    browser: Browser, live_server: Any, client_as: Callable[[str], Any], draft: QuoteVersion
) -> None:
    context = browser.new_context(java_script_enabled=False)
    cookie = client_as("counter").cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(live_server.url + reverse("quote", args=[draft.quote.public_id]))
    page.fill("#id_pack-parallel", "30")
    page.get_by_role("button", name="Save the pack").click()
    expect(page.locator("#pack-figures")).to_contain_text("20s30p")
    page.fill("#id_pack-parallel", "many")
    page.get_by_role("button", name="Save the pack").click()
    expect(page.locator("#id_pack-parallel_error")).to_contain_text("is not a number")
    assert page.input_value("#id_pack-parallel") == "many"
    page.goto(live_server.url + reverse("quote", args=[draft.quote.public_id]))
    page.locator("#parts .line", has_text="lamp set").get_by_role("link", name="Exchange").click()
    expect(page.locator("h4")).to_contain_text("Lamps and loads")
    page.get_by_role("link", name="Close").click()
    page.locator("#parts .line", has_text="lamp set").get_by_role("button", name="Take off").click()
    expect(page.locator("#parts .line", has_text="lamp set")).to_have_count(0)
    context.close()


@pytest.mark.slow
@pytest.mark.parametrize("width", WIDTHS)
def test_no_page_of_the_counter_has_a_barrier(
    width: int,
    page_as: Callable[[str], Page],
    live_server: Any,
    draft: QuoteVersion,
    assert_accessible: Callable[[Page], None],
) -> None:
    option_copy(option=draft.options.get(), person=None)
    page = page_as("owner")
    page.set_viewport_size({"width": width, "height": 900})
    quote = Quote.objects.get()

    def look(address: str) -> None:
        page.goto(live_server.url + address)
        assert_accessible(page)
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{address} scrolls sideways"

    for name in ("quote", "quote-compare", "quote-offer"):
        look(reverse(name, args=[quote.public_id]))
    look(reverse("part-choose", args=[quote.public_id, "A", "motor"]))
    version = offer(draft)
    look(reverse("quote-version", args=[version.public_id]))
    look(reverse("version-decline", args=[version.public_id]))
    for name in ("quotes", "quote-new", "patterns"):
        look(reverse(name))
