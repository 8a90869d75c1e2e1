"""The day's screens in a real browser: at a desk, on a tablet and a phone, by day and by night."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core import mail as outbox
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page, expect

from shop.models import Build, LedgerEntry, Person
from shop.services.stock_count import stock_receive
from tests.shop.made_builds import make_build
from tests.shop.made_day import Day

pytestmark = pytest.mark.django_db(transaction=True)

WIDTHS = (1440, 1000, 390)  # a laptop, a tablet, a phone
PHONE = {"width": 390, "height": 844}

# name of the address -> which of the day's ids it takes
SCREENS: dict[str, Callable[[Day], list[str]]] = {
    "today": lambda day: [],
    "line": lambda day: [],
    "build-move": lambda day: [day.build.public_id],
    "waiting": lambda day: [],
    "bench-plan": lambda day: [],
    "what-if": lambda day: [],
    "promise-log": lambda day: [],
    "build": lambda day: [day.build.public_id],
    "build-promise": lambda day: [day.build.public_id],
    "build-hold": lambda day: [day.build.public_id],
    "my-bench": lambda day: [],
    "stores": lambda day: [],
    "stock": lambda day: [day.motor.public_id],
    "stock-count": lambda day: [day.motor.public_id],
    "orders": lambda day: [],
    "orders-to-make": lambda day: [],
    "order": lambda day: [day.sent.public_id],
    "order-receive": lambda day: [day.sent.public_id],
    "order-dates": lambda day: [day.sent.public_id],
    "order-send": lambda day: [day.unsent.public_id],
    "order-mail": lambda day: [day.unsent.public_id],
    "order-confirm": lambda day: [day.sent.public_id],
    "order-wrong": lambda day: [day.sent.public_id],
    "order-tell": lambda day: [day.sent.public_id],
    "order-line-cancel": lambda day: [day.sent.public_id, day.line.public_id],
    "suppliers": lambda day: [],
    "supplier": lambda day: [day.supplier.public_id],
    "stock-reorder": lambda day: [],
    "counts-import": lambda day: [],
    "purchases-import": lambda day: [],
    "stock-receive": lambda day: [day.motor.public_id],
    "stock-send-back": lambda day: [day.motor.public_id],
    "stock-stand-ins": lambda day: [day.motor.public_id],
    "need-lend": lambda day: [day.build.public_id, day.charger.public_id],
    "need-swap": lambda day: [day.build.public_id, day.motor.public_id],
    "need-numbers": lambda day: [day.build.public_id, day.charger.public_id],
    "customers": lambda day: [],
    "customer": lambda day: [day.customer.public_id],
    "customer-edit": lambda day: [day.customer.public_id],
    "donors": lambda day: [],
    "donor": lambda day: [day.donor.public_id],
    "donor-edit": lambda day: [day.donor.public_id],
    "families": lambda day: [],
    "family": lambda day: [day.family.public_id],
    "deposit-take": lambda day: [day.offered.public_id],
    "deposit-taken": lambda day: [day.entry.public_id],
    "cash-book": lambda day: [],
    "entry-correct": lambda day: [day.entry.public_id],
    "entry-reverse": lambda day: [day.entry.public_id],
    "shop-settings": lambda day: [],
    "opening-hours": lambda day: [],
    "customer-page": lambda day: [day.build.link_token],
    "build-money": lambda day: [day.build.public_id],
    "build-pay": lambda day: [day.build.public_id],
    "build-cancel": lambda day: [day.build.public_id],
    "build-hand-over": lambda day: [day.build.public_id],
    "invoice-new": lambda day: [day.build.public_id],
    "invoice": lambda day: [day.invoice.public_id],
    "invoice-pay": lambda day: [day.invoice.public_id],
    "invoice-credit": lambda day: [day.invoice.public_id],
    "customer-statement": lambda day: [day.customer.public_id],
    "deposits-held": lambda day: [],
}


def too_wide(page: Page) -> int:
    """By how many pixels the page is wider than its window."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


@pytest.mark.slow
def test_every_screen_is_accessible_and_fits_laptop_tablet_and_phone(
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


def test_a_deposit_pressed_twice_and_gone_back_is_taken_once(day: Day, page_as: Callable[[str], Page]) -> None:
    page = page_as("counter")
    page.goto(reverse("deposit-take", args=[day.offered.public_id]))
    expect(page.get_by_text("Place 2", exact=True)).to_be_visible()
    page.get_by_label("Cash").check()
    page.get_by_role("button", name="Take the deposit").dblclick()
    expect(page.get_by_role("link", name="Receipt PDF")).to_be_visible()
    page.go_back()
    expect(
        page.get_by_role("link", name="Receipt PDF")
    ).to_be_visible()  # the form is gone, what came of it stands there
    assert LedgerEntry.objects.count() == 2
    assert Build.objects.filter(version=day.offered).count() == 1


def test_who_moves_is_shown_in_place_then_moved(shop: Any, morning: Any, page_as: Callable[[str], Page]) -> None:
    builds = [make_build(place, steps=True) for place in (1, 2, 3)]
    page = page_as("owner")
    page.goto(reverse("build-move", args=[builds[2].public_id]))
    page.get_by_label("New place").fill("1")
    page.get_by_role("button", name="Show who moves").click()
    expect(page.get_by_text("3 builds would move")).to_be_visible()
    page.get_by_label("Why").fill("Needed for a wedding")
    page.get_by_role("button", name="Move to place 1").click()
    expect(page.get_by_text("B-1003 has place 1.")).to_be_visible()
    assert [row.number for row in Build.objects.order_by("place")] == ["B-1003", "B-1001", "B-1002"]


def test_a_supplier_says_six_more_weeks(day: Day, page_as: Callable[[str], Page]) -> None:
    """The slip is entered, looked at, applied; the customer is told, and the line shows both windows and why."""
    page = page_as("counter")
    page.goto(reverse("waiting"))
    page.get_by_role("link", name="New date for hub motor").click()
    page.get_by_label("Expected on").fill("2026-09-01")
    page.get_by_role("button", name="Show what moves").click()
    expect(page.get_by_text("To tell:")).to_be_visible()
    moved = page.get_by_role("row", name=day.build.number)
    expect(moved).to_contain_text(f"{day.build.promised_from:%b} {day.build.promised_from.day}")  # type: ignore[union-attr]
    expect(moved).to_contain_text("Sep")
    assert day.sent.lines.get().expected_on != date(2026, 9, 1)  # only looked at so far
    page.get_by_label("Why").fill("The ship is late")
    page.get_by_role("button", name="Enter Sep 1, 2026").click()
    expect(page.get_by_text(f"To tell: {day.customer.name}.")).to_be_visible()
    assert day.sent.lines.get().expected_on.isoformat() == "2026-09-01"  # type: ignore[union-attr]
    before = day.build.promised_from
    expect(page.get_by_role("heading", name="P-310: customers to tell")).to_be_visible()
    page.get_by_label("To", exact=True).fill("casey@example.com")
    page.get_by_role("button", name=f"Promise it and send the letter for {day.build.number}").click()
    expect(page.get_by_text("the letter to casey@example.com is on its way")).to_be_visible()
    expect(page.get_by_text("Nobody to tell")).to_be_visible()
    assert [letter.to for letter in outbox.outbox] == [["casey@example.com"]]
    page.goto(reverse("line"))
    row = page.get_by_role("row", name=day.build.number)
    expect(row.get_by_text("The ship is late")).to_be_visible()
    day.build.refresh_from_db()
    after = day.build.promised_from
    assert before is not None
    assert after is not None
    assert after > before
    for first in (before, after):
        expect(row).to_contain_text(f"{first:%b} {first.day}")


def test_a_builder_starts_and_finishes_with_a_thumb(shop: Any, morning: Any, page_as: Callable[[str], Page]) -> None:
    build, page = make_build(1, steps=True), page_as("builder")
    Person.objects.filter(name="Ana Example").update(user=User.objects.get(groups__name="builder"))
    page.set_viewport_size(PHONE)  # type: ignore[arg-type]
    page.goto(reverse("my-bench"))
    start = page.get_by_role("button", name="Start Take the engine out")
    box = start.bounding_box()
    assert box is not None
    assert min(box["width"], box["height"]) >= 44  # WCAG 2.2, 2.5.5
    start.click()
    expect(page.get_by_role("heading", name="Under way")).to_be_visible()
    page.get_by_role("button", name="Finish Take the engine out").click()
    expect(page.get_by_text("Take the engine out is finished.")).to_be_visible()
    assert build.steps.get(code="teardown").state == "done"


def test_stores_are_searched_as_one_types(day: Day, boss: User, page_as: Callable[[str], Page]) -> None:
    stock_receive(component=day.motor, quantity=Decimal(1), person=boss)
    page = page_as("builder")
    page.goto(reverse("stores"))
    page.get_by_label("Part, code or shelf").press_sequentially("hub motor")
    expect(page.get_by_text("1 part.")).to_be_visible()
    assert "q=hub%20motor" in page.url
    page.go_back()
    page.go_forward()
    expect(page.get_by_role("heading", name="Stores")).to_be_visible()


def test_the_day_works_without_script(
    day: Day, browser: Any, live_server: Any, client_as: Callable[[str], Client]
) -> None:
    cookie = client_as("owner").cookies["sessionid"].value
    context = browser.new_context(base_url=live_server.url, java_script_enabled=False)
    context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page = context.new_page()
    page.goto(reverse("stores"))
    page.get_by_label("Part, code or shelf").fill("hub motor")
    page.get_by_role("button", name="Search").click()
    expect(page.get_by_text("1 part.")).to_be_visible()
    page.goto(reverse("order-dates", args=[day.sent.public_id]))
    page.get_by_label("Expected on").fill("2026-09-01")
    page.get_by_role("button", name="Show what moves").click()
    expect(page.get_by_text("To tell:")).to_be_visible()
    page.goto(reverse("build-hold", args=[day.build.public_id]))
    page.get_by_label("Why").fill("Title is missing")
    page.get_by_role("button", name="Put on hold").click()
    expect(page.get_by_text("On hold: Title is missing", exact=True)).to_be_visible()
    context.close()


@pytest.mark.parametrize("name", ["line", "orders"])
def test_lists_print_without_controls(name: str, day: Day, page_as: Callable[[str], Page]) -> None:
    page = page_as("owner")
    page.goto(reverse(name))
    page.emulate_media(media="print")
    for control in (".top", ".filters", ".choices-row", "button"):
        for each in page.locator(control).all():
            expect(each).to_be_hidden()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(page.locator("table")).to_be_visible()
