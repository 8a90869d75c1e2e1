"""The plan in a real browser: tried and not entered, dragged along a lane, printed, told how sure it is."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any
from urllib.parse import urlencode

import pypdfium2
import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from shop.models import Build, BuildStep, Event, PromiseEntry, PurchaseOrderLine, StepTurn
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import make_part

pytestmark = pytest.mark.django_db(transaction=True)
WIDTHS = (1280, 820, 390)  # a laptop, a tablet, a phone
Accessible = Callable[[Page], None]


def written() -> list[Any]:
    rows = (Build, BuildStep, StepTurn, PurchaseOrderLine, PromiseEntry, Event)
    return [list(model.objects.order_by("pk").values()) for model in rows]


def fits(page: Page) -> None:
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(wide) == 0, f"{page.url} at {width}"


def test_a_supplier_three_weeks_late_is_tried_then_entered(
    shop: Any, morning: Any, page_as: Callable[[str], Page], assert_accessible: Accessible
) -> None:
    """Only the first build waits for the motor. Nothing is written until it is applied, then only the expected day."""
    motor = make_part("MOT-1")
    first = make_day_build(1, promised_from=date(2026, 3, 20), promised_to=date(2026, 4, 10))
    make_need(first, motor, 1, "wiring")
    make_day_build(2)
    line = make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    before, page = written(), page_as("counter")
    page.goto(reverse("what-if"))
    page.get_by_label("or all that is on its way from").select_option(label=line.order.supplier.name)
    page.get_by_label("Later by").fill("21")
    page.get_by_role("button", name="Show what moves").click()
    expect(page.get_by_text("1 of 2 builds would move, 1 promise broken")).to_be_visible()
    expect(page.get_by_text("simulated runs 1 of 2 builds would move")).to_be_visible()
    assert written() == before
    assert_accessible(page)
    fits(page)
    page.get_by_label("Why").fill("Said on the phone")
    page.get_by_role("button", name="Apply these changes").click()
    expect(page.get_by_text("Promised dates stay as they are")).to_be_visible()
    line.refresh_from_db()
    assert line.expected_on == date(2026, 4, 10)
    assert written()[4] == before[4]  # no promise


def test_a_step_is_dragged_before_another_and_entered_with_a_reason(
    shop: Any, morning: Any, page_as: Callable[[str], Page], assert_accessible: Accessible
) -> None:
    steps = [make_day_build(place).steps.get() for place in (1, 2)]
    page = page_as("builder")
    page.goto(reverse("bench-plan"))
    bars = [page.locator(f'.lanes-drawn [data-step="{step.public_id}"] .stretch') for step in steps]
    target, moved = (bar.bounding_box() for bar in bars)
    assert target is not None
    assert moved is not None
    page.mouse.move(moved["x"] + moved["width"] - 3, moved["y"] + 8)
    page.mouse.down()
    page.mouse.move(target["x"] + 2, moved["y"] + 8, steps=6)
    page.mouse.up()
    expect(page.get_by_role("heading", level=1)).to_contain_text("of B-1002 before Wire and set up of B-1001")
    assert not StepTurn.objects.exists()
    assert_accessible(page)
    fits(page)
    page.get_by_label("Why").fill("Needed for a wedding")
    page.get_by_role("button", name="Do it in this order").click()
    expect(page.get_by_text("Not in the order of the line")).to_be_visible()
    assert StepTurn.objects.get().first == steps[1]


def test_the_plan_prints_on_one_page_however_much_stands_on_it(
    shop: Any, morning: Any, page_as: Callable[[str], Page]
) -> None:
    for place in range(1, 31):
        make_build(place, steps=True)
    page = page_as("owner")
    for query in ({}, {"by": "person", "span": "quarter"}):
        page.goto(f"{reverse('bench-plan')}?{urlencode(query)}")
        printed = page.pdf(prefer_css_page_size=True)
        assert len(pypdfium2.PdfDocument(printed)) == 1


def test_a_calendar_link_is_made_and_copied(
    shop: Any, morning: Any, page_as: Callable[[str], Page], assert_accessible: Accessible
) -> None:
    page = page_as("owner")
    page.goto(reverse("calendars"))
    page.get_by_label("What it tells").select_option("Promised finishes")
    page.get_by_label("Called").fill("Office wall")
    page.get_by_role("button", name="Make the link").click()
    assert page.get_by_label("Link", exact=True).input_value().endswith(".ics")
    assert_accessible(page)
    fits(page)
