"""The main job in a real browser, from the walk-in to the customer's own phone."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pypdfium2
import pytest
from django.contrib.auth.models import Group, User
from playwright.sync_api import Browser, Page, expect

from quoting.parts import KINDS
from shop.models import Build, LedgerEntry, Quote, Shop, VersionState
from shop.selectors.shop import shop_today
from tests.shop import made_parts, made_shop

pytestmark = pytest.mark.django_db(transaction=True)
PHRASE = "a long invented phrase"
AMOUNT = r"[\d,]+\.\d\d"


@pytest.fixture
def stocked(db: None) -> Shop:
    """The invented shop with a donor family, the parts of a sound build, a motor on the shelf, people to sign in."""
    shop = made_shop.make_whole_shop()
    components = made_parts.make_sound_components(shop_today(shop))
    made_parts.make_family()
    made_parts.receive(components["MOT-1"], 1)
    for role in ("owner", "counter"):
        user = User.objects.create_user(role, password=PHRASE)
        user.groups.add(Group.objects.get_or_create(name=role)[0])
    return shop


def sign_in(page: Page, address: str, name: str) -> None:
    page.goto(f"{address}/")
    page.locator("[name=username]").fill(name)
    page.locator("[name=password]").fill(PHRASE)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Today", exact=True)).to_be_visible()


def add_customer(page: Page) -> None:
    sheet = page.locator("#customer")
    sheet.get_by_text("New customer").click()
    sheet.get_by_label("Name", exact=True).fill("Wren Holloway")
    sheet.get_by_label("Mail address").fill("wren@example.org")
    sheet.get_by_role("button", name="Add the customer").click()
    expect(sheet).to_contain_text("wren@example.org")
    expect(sheet.get_by_label("Mail address")).not_to_be_visible()


def add_bike(page: Page) -> None:
    """The VIN is judged while it is typed: one wrong digit is told, the right one is taken."""
    sheet = page.locator("#donor")
    sheet.get_by_text("New bike").click()
    sheet.get_by_role("combobox", name="Family").select_option(label="Anvil 500")
    vin = made_parts.invented_vin(7)
    field = sheet.get_by_label("VIN or frame number")
    field.press_sequentially(vin[:-1] + "8")
    expect(sheet.locator("#vin-said")).to_contain_text("check digit", ignore_case=True)
    field.fill(vin)
    sheet.get_by_role("textbox", name="Year").fill("1999")
    sheet.get_by_label("Title seen").check()
    sheet.get_by_label("Stolen check done").check()
    sheet.get_by_role("button", name="Add the bike").click()
    expect(sheet).to_contain_text(vin)


def set_wishes(page: Page) -> None:
    wishes = page.locator("#wishes, [aria-labelledby=wishes-head]").first
    wishes.get_by_label("Range, town").fill("50")
    wishes.get_by_label("Budget, all in").fill("20,000")
    wishes.get_by_label("Charged from").fill("120")
    wishes.get_by_label("Breaker").fill("20")
    wishes.get_by_label("Breaker").press("Tab")


def add_parts(page: Page) -> None:
    """Every part of the sound build, by kind; cells are counted by series and parallel."""
    page.get_by_label("In series").fill(str(made_parts.SERIES))
    page.get_by_label("In parallel").fill(str(made_parts.PARALLEL))
    page.get_by_label("In parallel").press("Tab")  # the list of parts is rebuilt while the first kind is being opened
    for kind, name, _price, quantity, _x, _spec in made_parts.SOUND.values():
        page.locator("#parts").get_by_role("link", name=KINDS[kind].label, exact=True).click()
        page.locator(".choose").get_by_role("button", name=f"Take {name}", exact=True).click()
        line = page.locator("#parts .line", has_text=name)
        expect(line).to_have_count(1)
        if kind != "cell" and Decimal(quantity) != 1:
            line.get_by_label(f"Count of {name}").fill(quantity)
            line.get_by_label(f"Count of {name}").press("Tab")
    expect(page.locator("#pack-figures")).to_contain_text("20s24p")


def decide_checks(page: Page) -> None:
    """A person says why each check may stand; there must be no stop."""
    findings = page.locator("#findings")
    expect(findings.locator(".finding.stop")).to_have_count(0)
    while findings.get_by_text(re.compile(r"^Decide( all \d+)?$")).count():
        left = findings.get_by_text(re.compile(r"^Decide( all \d+)?$")).count()
        findings.get_by_text(re.compile(r"^Decide( all \d+)?$")).first.click()
        finding = findings.locator(".finding", has=page.locator("details[open][id^=decide-]")).first
        finding.get_by_role("textbox").fill("Seen with the customer at the counter.")
        finding.get_by_role("button", name="Keep the decision").click()
        expect(findings.get_by_text(re.compile(r"^Decide( all \d+)?$"))).to_have_count(left - 1)


def add_options(page: Page) -> None:
    """Two more options as copies with a smaller and a larger pack; checks are decided on each."""
    for key, parallel in (("B", "22"), ("C", "26")):
        page.get_by_role("button", name=re.compile(r"^Copy [AB]$")).click()
        expect(page.get_by_role("heading", name=f"Option {key} and its pack")).to_be_visible()
        page.get_by_label("In parallel").fill(parallel)
        page.get_by_label("In parallel").press("Tab")
        expect(page.locator("#pack-figures")).to_contain_text(f"20s{parallel}p")
        decide_checks(page)


def pdf_text(page: Page, link_name: str) -> str:
    address = page.get_by_role("link", name=link_name).first.get_attribute("href")
    answer = page.request.get(f"{page.url.split('/', 3)[0]}//{page.url.split('/', 3)[2]}{address}")
    assert answer.status == 200
    document = pypdfium2.PdfDocument(answer.body())
    return "\n".join(sheet.get_textpage().get_text_bounded() for sheet in document)


def offer(page: Page) -> dict[str, Any]:
    """Three options side by side, then the offer; its PDF reads back with the total and every authority's tax.

    Returns option A's frozen price.
    """
    page.goto(page.url.split("?")[0] + "compare/")
    for key in "ABC":
        expect(page.get_by_role("columnheader", name=re.compile(rf"^{key}\b"))).to_be_visible()
    page.goto(page.url.replace("compare/", "offer/"))
    page.get_by_role("button", name=re.compile("^Offer")).click()
    expect(page.get_by_role("link", name="PDF")).to_be_visible()
    version = Quote.objects.get().versions.get()
    assert version.state == VersionState.OFFERED
    sheet: dict[str, Any] = (version.result or {})["options"][0]["price"]
    text = pdf_text(page, "PDF")
    assert version.quote.number in text
    assert f"{Decimal(sheet['total']):,.2f}" in text
    for share in sheet["taxes"]:
        assert share["authority"] in text
        assert f"{Decimal(share['amount']):,.2f}" in text
    return sheet


def take_deposit(page: Page, asked: Decimal) -> tuple[Build, str]:
    """The deposit gives place 1; its receipt says so. Returns the build and the customer's link."""
    page.get_by_role("link", name="Take deposit").click()
    expect(page.get_by_role("main")).to_contain_text("Place 1")
    page.get_by_label(re.compile("Reference", re.IGNORECASE)).fill("TERMINAL 0042")
    page.get_by_label("Card terminal").check()
    page.get_by_role("button", name="Take the deposit").click()
    expect(page.get_by_role("link", name="Receipt PDF")).to_be_visible()
    entry, build = LedgerEntry.objects.get(), Build.objects.get()
    assert entry.postings.get().amount == asked
    assert build.promised_to is not None
    receipt = pdf_text(page, "Receipt PDF")
    for words in (str(entry.receipt), f"{asked:,.2f}", build.number, str(build.promised_to.year)):
        assert words in receipt
    assert re.search(r"place\s+1\b", receipt, re.IGNORECASE)
    return build, str(page.locator(".link a").get_attribute("href"))


def look_at_the_line(page: Page, build: Build) -> None:
    """The build stands in line, and waits for what the shelf lacks; the motor on the shelf is kept for it."""
    page.get_by_role("link", name="Line", exact=True).click()
    expect(page.get_by_role("main")).to_contain_text(build.number)
    expect(page.get_by_role("main")).to_contain_text("Wren Holloway")
    page.get_by_role("link", name="Waiting", exact=True).click()
    expect(page.get_by_role("main")).to_contain_text("controller 72 V 200 A")
    expect(page.get_by_role("main")).not_to_contain_text("hub motor 10 kW 72 V")


def test_from_the_walk_in_to_the_customers_phone(
    page: Page, browser: Browser, live_server: Any, stocked: Shop, assert_accessible: Callable[[Page], None]
) -> None:
    sign_in(page, live_server.url, "counter")
    page.get_by_role("link", name="New quote").click()
    page.get_by_role("button", name="Start the quote").click()
    add_customer(page)
    add_bike(page)
    set_wishes(page)
    add_parts(page)
    decide_checks(page)
    add_options(page)
    price = offer(page)
    asked = Decimal(price["deposit"])
    build, link = take_deposit(page, asked)
    look_at_the_line(page, build)

    phone = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    try:
        mine = phone.new_page()
        mine.goto(re.sub(r"^https?://[^/]+", live_server.url, link))
        expect(mine.get_by_role("banner")).to_contain_text(build.number)
        expect(mine.get_by_role("main")).to_contain_text("Place 1 in line")
        expect(mine.get_by_role("main")).to_contain_text(f"{Decimal(price['due']) - asked:,.2f}")
        assert mine.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        assert_accessible(mine)
    finally:
        phone.close()
