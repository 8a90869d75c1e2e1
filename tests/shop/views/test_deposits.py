from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import Build, LedgerEntry, QuoteVersion
from shop.services.cash_reverse import entry_reverse
from shop.services.quotes import option_copy, part_remove
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.made_offers import DAY, MORNING, price_of
from tests.shop.made_quotes import make_sound_draft
from tests.shop.made_quotes_offered import offer
from tests.shop.views.guards import DESK, assert_guarded


def take(version: QuoteVersion) -> str:
    return reverse("deposit-take", args=[version.public_id])


def shown(client: Client, version: QuoteVersion) -> dict[str, Any]:
    """What the form carries as it is shown."""
    form = client.get(take(version)).context["form"]
    return {bound.name: bound.value() for bound in form if bound.value() not in (None, False)}


def test_who_may_take_a_deposit(day: Day, client_as):
    assert_guarded(client_as, "deposit-take", day.offered.public_id, roles=DESK)
    assert_guarded(client_as, "deposit-taken", day.entry.public_id, roles=DESK)


def test_a_draft_is_not_there_to_take_money_for(day: Day, client_as):
    assert client_as("counter").get(take(day.draft)).status_code == 404


def test_price_place_and_window_are_shown_before_anything_is_pressed(day: Day, client_as):
    page = client_as("counter").get(take(day.offered))
    option, price = page.context["option"], price_of(day.offered)
    assert (option.due, option.deposit, option.now.place) == (price.due, price.deposit, 2)
    assert "Place 2" in text(page)
    assert f'value="{price.deposit:,.2f}"' in text(page)
    assert f"${price.due:,.2f}" in text(page)
    assert page.context["form"]["received_on"].value() == date(2026, 3, 2)
    assert LedgerEntry.objects.count() == 1


def test_taken_it_leads_to_what_the_customer_takes_along(day: Day, client_as):
    client = client_as("counter")
    answer = client.post(take(day.offered), {**shown(client, day.offered), "method": "card", "reference": "slip 17"})
    entry = LedgerEntry.objects.get(reference="slip 17")
    assert answer.headers["Location"] == reverse("deposit-taken", args=[entry.public_id])
    page = text(client.get(answer.headers["Location"]))
    build = Build.objects.get(version=day.offered)
    assert "Place 2" in page
    assert reverse("receipt-pdf", args=[entry.public_id]) in page
    assert reverse("customer-page", args=[build.link_token]) in page
    assert "<svg" in page  # the code to scan
    assert "card terminal, slip 17" in page


def test_pressed_twice_and_gone_back_it_is_taken_once(day: Day, client_as):
    client = client_as("counter")
    sent = {**shown(client, day.offered), "method": "cash"}
    first = client.post(take(day.offered), sent)
    second = client.post(take(day.offered), sent, follow=True)
    assert second.redirect_chain == [(first.headers["Location"], 302)]
    assert "it was not taken again" in text(second)
    assert Build.objects.filter(version=day.offered).count() == 1
    assert client.get(take(day.offered)).headers["Location"] == first.headers["Location"]  # back, and the page again


def test_a_second_till_is_told_who_was_first(day: Day, client_as):
    one, two = client_as("counter"), client_as("owner")
    early, late = shown(one, day.offered), shown(two, day.offered)
    one.post(take(day.offered), {**early, "method": "cash"})
    answer = two.post(take(day.offered), {**late, "method": "card", "reference": "slip 18"})
    assert answer.status_code == 409
    assert "was accepted already: build B-2." in text(answer)
    assert 'value="slip 18"' in text(answer)
    assert LedgerEntry.objects.count() == 2


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"amount": ""}, "amount", "Fill this in."),
        ({"amount": "1,80"}, "amount", "is not a number"),
        ({"amount": "0"}, "amount", "The amount must be more than zero."),
        ({"amount": "9,999,999"}, "amount", "is more than the whole price of"),
        ({"amount": "1.005"}, "amount", "has more decimals than USD has"),
        ({"method": ""}, "method", "Fill this in."),
        ({"method": "shells"}, "method", "Select a valid choice"),
        ({"received_on": "2026-03-09"}, "received_on", "lies ahead. Enter today or earlier."),
        ({"received_on": "monday"}, "received_on", "This is not a date."),
    ],
)
def test_what_cannot_be_taken_stands_beside_its_field_and_stays_typed(
    changed: dict[str, str], field: str, said: str, day: Day, client_as
):
    client = client_as("counter")
    sent = {**shown(client, day.offered), "method": "cash", "reference": "typed before", **changed}
    answer = client.post(take(day.offered), sent)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert 'value="typed before"' in text(answer)
    assert LedgerEntry.objects.count() == 1


def test_only_the_owner_may_take_less_than_the_policy_asks(day: Day, client_as):
    counter, owner = client_as("counter"), client_as("owner")
    sent = {**shown(counter, day.offered), "method": "cash", "amount": "50", "allow_less": "on"}
    refused = counter.post(take(day.offered), sent)
    assert refused.status_code == 422
    assert "The owner may take less." in text(refused)
    assert "Take less than" not in text(refused)
    assert owner.post(take(day.offered), {**sent, "allow_less": ""}).status_code == 422
    assert owner.post(take(day.offered), sent).status_code == 302
    assert LedgerEntry.objects.latest("number").postings.get().amount == Decimal(50)


def test_a_quote_that_has_lapsed_takes_no_money(day: Day, set_clock, client_as):
    set_clock(MORNING + timedelta(days=31))
    client = client_as("counter")
    page = text(client.get(take(day.offered)))
    assert "has lapsed. Revise it, so that prices are fresh." in page
    assert "Take the deposit" not in page
    sent = {"key": "k", "amount": "500", "method": "cash", "received_on": "2026-04-02"}
    assert client.post(take(day.offered), sent).status_code == 409


def test_each_option_brings_its_own_figures(shop, morning, boss, client_as):
    """Option B is option A without its lamps: it costs less, and its deposit is 30 % of less."""
    draft = make_sound_draft(shop, DAY)
    other = option_copy(option=draft.options.get(key="A"), person=boss)
    part_remove(part=other.parts.get(component__code="LMP-1"), person=boss)
    version = offer(draft)
    client = client_as("counter")
    page = client.get(take(version), {"option": "B"})
    one, two = page.context["page"].options
    assert (one.key, two.key, page.context["option"]) == ("A", "B", two)
    assert two.due < one.due
    assert f'value="{two.deposit:,.2f}"' in text(page)
    assert client.get(take(version), {"option": "C"}).context["option"] == one
    sent = {bound.name: bound.value() for bound in page.context["form"] if bound.value() not in (None, False)}
    client.post(f"{take(version)}?option=B", {**sent, "method": "cash"})
    build = Build.objects.get(version=version)
    assert (build.option_key, build.total) == ("B", two.due)


def test_a_deposit_that_was_undone_says_so(day: Day, boss, client_as):
    entry_reverse(entry=day.entry, reason="The check bounced", person=boss, key="undo")
    page = text(client_as("counter").get(reverse("deposit-taken", args=[day.entry.public_id])))
    assert "Undone" in page
    assert "The check bounced" in page
