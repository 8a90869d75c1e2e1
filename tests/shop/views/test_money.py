"""A build's money on its screens: looked at, taken, cleared, given back, cancelled."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.models import Build, Component, Customer, LedgerEntry, Shop
from shop.services.clearing import check_clear
from shop.services.payments import deposit_add
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_counter import text
from tests.shop.made_money import make_invoiced_kit, make_kit_build, make_ready_kit
from tests.shop.made_offers import DAY
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, OWNER_ONLY, assert_guarded

D = Decimal


@pytest.fixture
def boss(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture(autouse=True)
def open_shop(shop: Shop, morning: datetime) -> Shop:
    return shop


def address(name: str, row: Build | Customer | LedgerEntry | None) -> str:
    assert row is not None
    return reverse(name, args=[row.public_id])


def shown(client: Client, page: str) -> dict[str, Any]:
    """What the page's form carries as it is shown."""
    form = client.get(page).context["form"]
    return {bound.name: bound.value() for bound in form if bound.value() not in (None, False)}


def sent(client: Client, page: str, **changed: Any) -> Any:
    return client.post(page, {**shown(client, page), **changed})


def test_who_may_look_and_act(boss: User, client_as) -> None:
    build = make_kit_build(boss)
    for name in ("build-money", "build-pay", "build-refund", "build-cancel", "build-statement", "build-hand-over"):
        assert_guarded(client_as, name, build.public_id, roles=DESK)
    for name in ("invoice-new", "storage-new"):
        assert_guarded(client_as, name, build.public_id, roles=DESK)
    assert_guarded(client_as, "entry-clear", LedgerEntry.objects.get().public_id, roles=DESK)
    assert_guarded(client_as, "customer-statement", build.customer.public_id, roles=DESK)
    assert_guarded(client_as, "deposits-held", roles=DESK)
    assert_guarded(client_as, "build-told", build.public_id, roles=DESK, post_only=True)


def test_who_may_deal_with_invoices(boss: User, client_as) -> None:
    invoice = make_invoiced_kit(boss).public_id
    for name in ("invoice", "invoice-pay", "entry-paper"):
        assert_guarded(client_as, name, invoice, roles=DESK)
    for name in ("invoice-credit", "invoice-write-off"):
        assert_guarded(client_as, name, invoice, roles=OWNER_ONLY)


def test_the_purse_shows_what_is_held_spent_and_may_go_back(boss: User, client_as) -> None:
    Shop.objects.update(keep_from="parts", parts_deposit_rate=D("0.50"))
    build = make_kit_build(boss)
    make_order_line(Component.objects.get(), 1, order=make_order(), expected_on=DAY)
    page = client_as("counter").get(address("build-money", build))
    purse = page.context["purse"]
    assert [(stage.label, stage.asked, stage.left) for stage in purse.stages] == [
        ("Deposit for the place", D("465.45"), 0),
        ("Deposit for parts, before they are ordered", D("775.75"), D("310.30")),  # half of 1551.50
        ("Balance at hand-over", D("1551.50"), D("1086.05")),
    ]
    assert purse.settlement.spent.parts_amount == D("1450.00")
    assert purse.refundable == 0
    assert "Parts ordered, kept or fitted: 1,450.00." in text(page)
    assert "Paid far ahead" not in text(page)


def test_money_far_ahead_of_the_work_is_pointed_out(boss: User, client_as) -> None:
    """30 % paid, nothing done, is more than a quarter of the price ahead."""
    page = client_as("counter").get(address("build-money", make_kit_build(boss)))
    assert "Paid far ahead of what is done." in text(page)


def test_the_next_deposit_is_offered_and_taken_once(boss: User, client_as) -> None:
    client, build = client_as("counter"), make_kit_build(boss)
    page = address("build-pay", build)
    form = shown(client, page)
    assert form["amount"] == "1,086.05"
    for _ in range(2):  # pressed twice
        answer = client.post(page, {**form, "amount": "500", "method": "card"})
    entry = LedgerEntry.objects.latest("number")
    assert answer.headers["Location"] == reverse("deposit-taken", args=[entry.public_id])
    assert (entry.number, entry.postings.get().amount) == (2, D(500))
    too_much = sent(client, page, amount="2000", method="card")
    assert too_much.status_code == 422
    assert "Say so if more came in" in text(too_much)
    assert 'value="2000"' in text(too_much)  # what was typed stays
    assert sent(client, page, amount="2000", method="card", allow_more="on").status_code == 302


def test_a_check_is_cleared_on_its_day(boss: User, client_as) -> None:
    client, build = client_as("counter"), make_kit_build(boss, method="checks")
    entry = LedgerEntry.objects.get()
    clear = address("entry-clear", entry)
    assert "has not cleared" in text(client.get(address("build-money", build)))
    assert sent(client, clear, cleared_on="2026-03-03").status_code == 422  # tomorrow
    assert sent(client, clear).headers["Location"] == address("build-money", build)
    page = text(client.get(address("build-money", build)))
    assert "has not cleared" not in page
    assert "<small>cleared " in page
    assert "Enter that it cleared" not in page


def test_cancelling_shows_the_sums_first_and_refuses_when_they_have_moved(boss: User, client_as) -> None:
    Shop.objects.update(keep_from="parts")
    client, build = client_as("counter"), make_kit_build(boss)
    page = address("build-cancel", build)
    assert "$465.45 goes back" in text(client.get(page))
    form = shown(client, page)
    make_order_line(Component.objects.get(), 1, order=make_order(), expected_on=DAY)
    stale = client.post(page, {**form, "reason": "moved", "method": "cash"})
    assert stale.status_code == 422
    assert "The refund is 0.00 by now, not 465.45" in text(stale)
    assert Build.objects.get().state == "in_line"
    answer = sent(client, page, reason="moved", method="cash")
    assert answer.headers["Location"] == address("build-money", build)
    assert LedgerEntry.objects.latest("number").kind == "kept"
    assert Build.objects.get().state == "cancelled"
    assert "Confirm" in text(client.get(page))


def test_only_the_owner_is_asked_for_another_sum(boss: User, client_as) -> None:
    build = make_kit_build(boss)
    assert "Keep another sum" not in text(client_as("counter").get(address("build-cancel", build)))
    owner = client_as("owner")
    sent(owner, address("build-cancel", build), reason="moved", method="cash", kept="65.45")
    entry = LedgerEntry.objects.latest("number")
    assert [posting.amount for posting in entry.postings.order_by("pk")] == [400, D("65.45")]


def test_what_was_paid_too_much_goes_back(boss: User, client_as) -> None:
    client, build = client_as("counter"), make_kit_build(boss)
    page = address("build-refund", build)
    assert "Nothing was paid too much" in text(client.get(page))
    deposit_add(build=build, amount=D(1100), method="cash", person=boss, key="a", allow_more=True)
    assert shown(client, page)["amount"] == "13.95"
    assert sent(client, page, amount="14", method="cash", reason="over").status_code == 422
    assert sent(client, page, method="cash", reason="over").headers["Location"] == address("build-money", build)
    assert LedgerEntry.objects.latest("number").kind == "refund"


def test_builders_see_no_money_in_the_log(boss: User, client_as) -> None:
    build = make_kit_build(boss, method="checks")
    check_clear(entry=LedgerEntry.objects.get(), cleared_on=DAY, person=boss, key="c")
    page = text(client_as("builder").get(reverse("build", args=[build.public_id])))
    for words in ("465.45", "1551.50", "1,551.50", "check cleared", reverse("build-money", args=[build.public_id])):
        assert words not in page, words


def test_a_statement_at_any_day_and_as_a_paper(boss: User, client_as) -> None:
    client, invoice = client_as("counter"), make_invoiced_kit(boss)
    page = address("build-statement", invoice.build)
    statement = client.get(page).context["statement"]
    assert [(row.number, row.charged, row.paid, row.balance) for row in statement.rows] == [
        ("R-1", 0, D("465.45"), D("-465.45")),
        ("INV-1", D("1551.50"), 0, D("1086.05")),
    ]
    assert client.get(page, {"at": "2026-03-01"}).context["statement"].rows == ()
    assert client.get(page, {"at": "someday"}).context["statement"].day == DAY
    assert "favor" not in text(client.get(page))
    everything = client.get(address("customer-statement", invoice.customer))
    assert everything.context["statement"].balance == D("1086.05")


def test_deposits_held_at_a_day_by_age(boss: User, client_as, set_clock) -> None:
    build = make_kit_build(boss)
    set_clock(datetime.fromisoformat("2026-05-05T14:00:00+00:00"))  # 64 days on
    client = client_as("counter")
    held = client.get(reverse("deposits-held")).context["held"]
    assert [(band.label, band.count, band.held) for band in held.bands if band.count] == [
        ("61 to 90 days", 1, D("465.45"))
    ]
    assert (held.rows[0].build, held.rows[0].days) == (build, 64)
    assert client.get(reverse("deposits-held"), {"at": "2026-03-01"}).context["held"].rows == ()


def test_queries_stay_flat(boss: User, client_as) -> None:
    client = client_as("counter")
    build = make_ready_kit(boss)
    pages = [address("build-money", build), address("customer-statement", build.customer), reverse("deposits-held")]
    for page in pages:
        client.get(page)
    one = [queries_of(lambda page=page: client.get(page)) for page in pages]  # type: ignore[misc]
    for number in range(30):
        deposit_add(build=build, amount=D(10), method="checks", person=boss, key=str(number))
    assert [queries_of(lambda page=page: client.get(page)) for page in pages] == one  # type: ignore[misc]
