from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Build
from shop.services.builds import build_hold, build_promise_change
from shop.services.quotes import version_decline
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import MORNING, price_of
from tests.shop.queries import queries_of


def page(token: str) -> str:
    answer = Client().get(reverse("customer-page", args=[token]))
    assert answer.status_code == 200
    return text(answer)


def test_it_asks_for_no_account_and_is_kept_by_nobody(day: Day):
    answer = Client().get(reverse("customer-page", args=[day.build.link_token]))
    assert answer.status_code == 200
    assert "noindex" in answer.headers["X-Robots-Tag"]
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "no-store" in answer.headers["Cache-Control"]
    assert '<meta name="robots" content="noindex' in text(answer)
    assert '<meta name="referrer" content="no-referrer">' in text(answer)
    assert not answer.cookies


@pytest.mark.parametrize("token", ["x" * 22, "B-1", "1"])
def test_only_the_link_itself_opens_it(token: str, day: Day):
    assert Client().get(reverse("customer-page", args=[token])).status_code == 404


def test_it_only_shows(day: Day):
    address = reverse("customer-page", args=[day.build.link_token])
    assert Client().post(address).status_code == 405
    assert "<form" not in page(day.build.link_token)


def test_a_draft_has_no_page_yet(day: Day):
    assert Client().get(reverse("customer-page", args=[day.draft.quote.link_token])).status_code == 404


def test_place_window_money_papers_and_what_was_agreed(day: Day):
    shown, price = page(day.build.link_token), price_of(day.accepted)
    assert "Place 1 in line" in shown
    assert f"${price.due:,.2f}" in shown
    assert f"${price.due - price.deposit:,.2f}" in shown
    assert "What you agreed to" in shown
    assert "hub motor 10 kW 72 V" in shown
    assert reverse("customer-quote-pdf", args=[day.build.link_token, day.accepted.public_id]) in shown
    assert reverse("customer-receipt-pdf", args=[day.build.link_token, day.entry.public_id]) in shown


def test_the_quotes_link_leads_to_the_build_once_a_deposit_was_taken(day: Day):
    assert "Place 1 in line" in page(day.accepted.quote.link_token)


def test_before_a_deposit_it_shows_the_offer_and_its_promise(day: Day):
    shown, price = page(day.offered.quote.link_token), price_of(day.offered)
    assert "A deposit gives you a place in line." in shown
    assert f"${price.due:,.2f}" in shown
    assert f"${price.deposit:,.2f}" in shown
    assert "Still to pay" not in shown


def test_nothing_of_the_shops_own_is_on_it(day: Day, boss):
    """No cost, no margin, no name of anybody who works here, no supplier, no other customer, no staff address."""
    build_hold(build=day.build, reason="Customer owes us an answer", person=boss)
    shown = page(day.build.link_token)
    price = price_of(day.accepted)
    costs = {line.cost for line in price.lines if line.cost} - {line.amount for line in price.lines}
    figures = set(re.findall(r"\d[\d,]*\.\d\d", shown))
    assert costs
    assert figures & {f"{cost:,.2f}" for cost in (*costs, price.cost)} == set()
    hidden = [
        "margin", "cost", boss.username, "Ana Example", "Ben Example", day.supplier.name,
        str(day.offered.quote.customer), "Customer owes us an answer", day.donor.vin,
        reverse("build", args=[day.build.public_id]),
    ]  # fmt: skip
    assert [word for word in hidden if word in shown] == []
    assert "It is on hold at the moment." in shown


def test_a_changed_promise_keeps_its_history_with_the_reason(day: Day, boss):
    build_promise_change(
        build=day.build,
        finish_from=date(2026, 8, 3),
        finish_to=date(2026, 8, 21),
        reason="The motor is late",
        person=boss,
    )
    shown = page(day.build.link_token)
    assert "Aug 3" in shown
    assert "The motor is late" in shown


@pytest.mark.parametrize(
    ("state", "words"),
    [
        ("on_bench", "On the bench"),
        ("testing", "Being tested"),
        ("ready", "Ready for you"),
        ("cancelled", "Cancelled"),
    ],
)
def test_the_state_in_plain_words(state: str, words: str, day: Day):
    place = None if state == "cancelled" else 1
    Build.objects.filter(pk=day.build.pk).update(state=state, place=place)
    assert words in page(day.build.link_token)


def test_an_offer_that_is_over_says_what_to_do(day: Day, boss, set_clock):
    set_clock(MORNING + timedelta(days=40))
    assert "Call the shop for fresh prices and dates." in page(day.offered.quote.link_token)
    version_decline(version=day.offered, person=boss, reason="")
    assert "This quote was declined." in page(day.offered.quote.link_token)


def test_queries_stay_few(day: Day):
    address = reverse("customer-page", args=[day.build.link_token])
    assert queries_of(lambda: Client().get(address)) <= 16
