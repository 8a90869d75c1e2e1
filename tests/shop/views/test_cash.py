from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from django.urls import reverse

from shop.models import Account, Build, LedgerEntry, Posting
from tests.shop.made_builds import make_build
from tests.shop.made_counter import htmx, text
from tests.shop.made_day import Day
from tests.shop.made_offers import price_of
from tests.shop.queries import queries_of
from tests.shop.views.guards import DESK, OWNER_ONLY, assert_guarded

BOOK = reverse("cash-book")


def test_who_may_look_and_put_right(day: Day, client_as):
    assert_guarded(client_as, "cash-book", roles=DESK)
    assert_guarded(client_as, "entry-correct", day.entry.public_id, roles=DESK)
    assert_guarded(client_as, "entry-reverse", day.entry.public_id, roles=OWNER_ONLY)


def test_the_month_with_its_entries_accounts_and_deposits_held(day: Day, client_as):
    page = client_as("counter").get(BOOK)
    deposit = price_of(day.accepted).deposit
    book = page.context["book"]
    assert (book.first, book.last) == (date(2026, 3, 1), date(2026, 3, 31))
    assert [row.entry for row in book.rows] == [day.entry]
    assert {each.label: each.after for each in book.balances} == {"Cash drawer": deposit, "Deposits held": deposit}
    assert f"${deposit:,.2f}" in text(page)
    assert [row.build for row in page.context["held"].rows] == [day.build]
    assert reverse("deposit-taken", args=[day.entry.public_id]) in text(page)


def test_period_kind_and_words_stand_in_the_address(day: Day, client_as):
    client = client_as("counter")

    def numbers(**query: str) -> list[int]:
        return [row.entry.number for row in client.get(BOOK, query).context["book"].rows]

    assert numbers(first="2026-02-01", last="2026-02-28") == []
    assert numbers(first="2026-03-31", last="2026-03-01") == [1]  # the wrong way round is turned
    assert numbers(kind="reversal") == []
    assert numbers(q=day.build.number) == [1]
    assert numbers(q="nobody") == []
    assert numbers(first="soon", kind="gift") == [1]  # what cannot be read counts as not given
    part = text(client.get(BOOK, headers=htmx(True)))
    assert ("<html" in part, "Deposit taken" in part) == (False, True)


def test_an_empty_period_says_where_entries_come_from(shop, client_as):
    assert "Deposits are taken on an offered quote" in text(client_as("owner").get(BOOK))


def test_a_slip_is_corrected_with_a_new_receipt_and_the_place_stays(day: Day, client_as):
    client, correct = client_as("counter"), reverse("entry-correct", args=[day.entry.public_id])
    form = client.get(correct).context["form"]
    amount = price_of(day.accepted).deposit + 100
    sent = {bound.name: bound.value() for bound in form if bound.value() is not None}
    answer = client.post(correct, {**sent, "amount": str(amount), "method": "card", "reason": "Wrong drawer"})
    made = LedgerEntry.objects.latest("number")
    assert answer.headers["Location"] == reverse("deposit-taken", args=[made.public_id])
    assert (made.postings.get().amount, made.method, made.build) == (amount, "card", day.build)
    assert Build.objects.get(pk=day.build.pk).place == 1
    page = text(client.get(BOOK))
    assert "Wrong drawer" in page
    assert "undone by entry 2" in page


@pytest.mark.parametrize(
    ("changed", "field"), [({"reason": ""}, "reason"), ({"amount": "x"}, "amount"), ({"amount": "0"}, "amount")]
)
def test_a_correction_that_cannot_be(changed: dict[str, str], field: str, day: Day, client_as):
    client, correct = client_as("counter"), reverse("entry-correct", args=[day.entry.public_id])
    sent = {"key": "k", "amount": "5000", "method": "cash", "received_on": "2026-03-02", "reason": "r", **changed}
    answer = client.post(correct, sent)
    assert answer.status_code == 422
    assert answer.context["form"].errors[field]
    assert LedgerEntry.objects.count() == 1


def test_undone_the_build_leaves_the_line_as_was_said(day: Day, client_as):
    client, undo = client_as("owner"), reverse("entry-reverse", args=[day.entry.public_id])
    page = client.get(undo)
    assert f"{day.build.number} leaves the line." in text(page)
    assert client.post(undo, {"key": page.context["form"]["key"].value(), "reason": ""}).status_code == 422
    sent = {"key": page.context["form"]["key"].value(), "reason": "The check bounced"}
    client.post(undo, sent)
    client.post(undo, sent)  # pressed twice
    assert LedgerEntry.objects.filter(kind="reversal").count() == 1
    assert Build.objects.get(pk=day.build.pk).state == "cancelled"
    page = client.get(BOOK)
    assert "$0.00</strong> held as deposits" in text(page)
    assert page.context["held_on"] == date(2026, 3, 2)  # the month has days to come


def test_queries_stay_flat_from_one_entry_to_fifty(day: Day, client_as):
    client = client_as("counter")
    client.get(BOOK)
    one = queries_of(lambda: client.get(BOOK))
    for number in range(2, 51):
        build = make_build(number)
        entry = LedgerEntry.objects.create(
            number=number, kind="deposit", day=date(2026, 3, 2), build=build, customer=build.customer, method="cash",
            receipt=f"R-{number}", key=f"k{number}", person=day.entry.person,
        )  # fmt: skip
        Posting.objects.create(entry=entry, debit=Account.CASH, credit=Account.DEPOSITS, amount=Decimal(100))
    assert len(client.get(BOOK).context["book"].rows) == 50
    assert queries_of(lambda: client.get(BOOK)) == one
    undo = LedgerEntry.objects.create(
        number=51, kind="reversal", day=date(2026, 3, 2), build=build, customer=build.customer, reverses=entry,
        reason="bounced", key="undo", person=day.entry.person,
    )  # fmt: skip
    Posting.objects.create(entry=undo, debit=Account.DEPOSITS, credit=Account.CASH, amount=Decimal(100))
    page = client.get(BOOK)
    assert "of entry 50: bounced" in text(page)
    assert "undone by entry 51" in text(page)
    assert queries_of(lambda: client.get(BOOK)) == one  # what a row names of other entries comes with it
