"""Invoices on their screens, and the hand-over."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.urls import reverse

from shop.models import Build, IssuedPaper, LedgerEntry, PaperFile, Shop, TaxRate
from shop.selectors.invoices import invoice_owed
from shop.services.cash_reverse import entry_reverse
from shop.services.invoices import build_tell_ready
from tests.shop.documents.reading import needs_pango, text_of
from tests.shop.made_counter import text
from tests.shop.made_money import make_invoiced_kit, make_kit_build, make_ready_kit
from tests.shop.made_offers import DAY
from tests.shop.views.test_money import address, sent, shown

D = Decimal


@pytest.fixture
def boss(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture(autouse=True)
def open_shop(shop: Shop, morning: datetime) -> Shop:
    return shop


def test_it_is_shown_before_it_is_made(boss: User, client_as) -> None:
    client, build = client_as("counter"), make_ready_kit(boss)
    page = address("invoice-new", build)
    looked_at = text(client.get(page))
    for words in ("$1,086.05", "1,551.50", "Deposit R-1", "−465.45", "Port Example state 6", "Taxed in Port Example"):
        assert words in looked_at, words
    assert "Not as it was agreed" not in looked_at
    answer = sent(client, page)
    invoice = LedgerEntry.objects.get(kind="invoice")
    assert answer.headers["Location"] == address("invoice", invoice)
    again = client.get(page)
    assert "is invoiced already" in text(again)


def test_another_rate_than_was_agreed_is_said_before(boss: User, client_as, set_clock) -> None:
    client, build = client_as("counter"), make_ready_kit(boss)
    form = shown(client, address("invoice-new", build))
    rate = TaxRate.objects.get(authority__level="county", tax_class="parts")
    TaxRate.objects.filter(pk=rate.pk).update(end=date(2026, 3, 2))
    TaxRate.objects.create(authority=rate.authority, tax_class="parts", rate=D("0.02"), begin=date(2026, 3, 3))
    set_clock(datetime.fromisoformat("2026-03-03T14:00:00+00:00"))
    page = text(client.get(address("invoice-new", build)))
    assert "Not as it was agreed." in page
    assert "Port Example county rate 1% to 2%." in page
    stale = client.post(address("invoice-new", build), form)
    assert stale.status_code == 422
    assert "It comes to 1566.00 by now, not 1551.50" in text(stale)  # 1450.00 x 1.08
    assert not LedgerEntry.objects.filter(kind="invoice").exists()


def test_not_ready_not_invoiced(boss: User, client_as) -> None:
    build = make_kit_build(boss)
    page = address("invoice-new", build)
    assert "is in line. It is invoiced when it is ready." in text(client_as("counter").get(page))
    answer = client_as("counter").post(page, {"key": "k", "shown": "1551.50"})
    assert answer.status_code == 422


def test_paid_credited_and_written_off(boss: User, client_as) -> None:
    client, invoice = client_as("owner"), make_invoiced_kit(boss)
    pay, credit = address("invoice-pay", invoice), address("invoice-credit", invoice)
    assert shown(client, pay)["amount"] == "1,086.05"
    assert sent(client, pay, amount="86.05", method="cash").headers["Location"] == address("invoice", invoice)
    assert invoice_owed(invoice) == 1000
    nothing = client.post(credit, {"key": "k", "reason": "wrong"})
    assert nothing.status_code == 422
    assert "Choose at least one line" in text(nothing)
    assert client.post(credit, {"key": "k", "reason": "", "whole": "on"}).status_code == 422
    assert client.post(credit, {"key": "k", "reason": "wrong", "lines": ["99"]}).status_code == 422
    sent(client, address("invoice-write-off", invoice), reason="gone")
    assert invoice_owed(invoice) == 0
    client.post(credit, {"key": "k", "reason": "wrong", "lines": ["0"]})
    assert LedgerEntry.objects.get(kind="credit_note").reason == "wrong"
    assert "It was credited whole already" in text(client.get(credit))
    page = text(client.get(address("invoice", invoice)))
    for words in ("Nothing left to pay", "CN-1", "R-2", "gone", "wrong"):
        assert words in page, words


def test_storage_is_noted_and_invoiced(boss: User, client_as, set_clock) -> None:
    Shop.objects.update(storage_fee=D(25))
    client, build = client_as("counter"), make_ready_kit(boss)
    told = reverse("build-told", args=[build.public_id])
    assert client.post(told, {"told_on": "2026-03-03"}).status_code == 422  # tomorrow
    assert client.post(told, {"told_on": "2026-03-02"}).headers["Location"] == address("build-hand-over", build)
    assert "Nothing has come up since" in text(client.get(address("storage-new", build)))
    set_clock(datetime.fromisoformat("2026-03-10T14:00:00+00:00"))
    page = text(client.get(address("storage-new", build)))
    assert "Storage, 3 days" in page
    assert "75.00" in page
    sent(client, address("storage-new", build))
    assert LedgerEntry.objects.get(kind="storage").document == "INV-1"


def test_handed_over_when_it_is_paid_or_the_owner_says_so(boss: User, client_as) -> None:
    invoice = make_invoiced_kit(boss)
    counter, owner = client_as("counter"), client_as("owner")
    page = address("build-hand-over", invoice.build)
    assert "$1,086.05 to pay" in text(counter.get(page))
    assert "Hand it over</button>" not in text(counter.get(page))
    assert counter.post(page, {"override": "a friend"}).status_code == 422
    assert owner.post(page, {"override": ""}).status_code == 422
    assert owner.post(page, {"override": "pays on Friday"}).status_code == 302
    assert Build.objects.get().state == "handed_over"
    assert "Handed over on" in text(owner.get(page))


def test_a_build_that_is_not_invoiced_is_sent_to_its_invoice(boss: User, client_as) -> None:
    build = make_ready_kit(boss)
    client = client_as("owner")
    page = address("build-hand-over", build)
    assert address("invoice-new", build) in text(client.get(page))
    assert client.post(page, {"override": "never mind"}).status_code == 422


@needs_pango
def test_a_pdf_is_made_once_and_served_unchanged(boss: User, client_as) -> None:
    client, build = client_as("counter"), make_ready_kit(boss)
    sent(client, address("invoice-new", build))
    invoice = LedgerEntry.objects.get(kind="invoice")
    kept = IssuedPaper.objects.get()  # from the moment it was made
    assert (kept.entry, kept.kind) == (invoice, "invoice")
    Shop.objects.update(name="Another name", address="Elsewhere")
    first = client.get(address("entry-paper-pdf", invoice))
    assert first.content == bytes(PaperFile.objects.get().data)
    assert first.headers["ETag"] == f'"{kept.file_id}"'
    for words in ("Invoice INV-1", "Harbor Lane Electrics", "$1,086.05", "Deposit R-1"):
        assert words in text_of(first.content), words
    link = reverse("customer-paper-pdf", args=[build.link_token, invoice.public_id])
    assert client_as("builder").get(link).content == first.content
    assert IssuedPaper.objects.count() == 1


@needs_pango
def test_a_receipt_that_was_undone_is_another_paper(boss: User, client_as) -> None:
    client = client_as("counter")
    make_kit_build(boss)
    entry = LedgerEntry.objects.get()
    before = client.get(reverse("receipt-pdf", args=[entry.public_id])).content
    entry_reverse(entry=entry, reason="bounced", person=boss, key="u")
    after = client.get(reverse("receipt-pdf", args=[entry.public_id])).content
    assert "Void" in text_of(after)
    assert "Void" not in text_of(before)
    assert sorted(IssuedPaper.objects.values_list("kind", flat=True)) == ["receipt", "void"]
    assert bytes(PaperFile.objects.get(papers__kind="receipt").data) == before


@needs_pango
def test_a_statement_that_was_made_stays_as_it_was(boss: User, client_as) -> None:
    client, invoice = client_as("counter"), make_invoiced_kit(boss)
    page = address("build-statement", invoice.build)
    paper = client.post(page).headers["Location"]
    before = client.get(paper).content
    sent(client, address("invoice-pay", invoice), method="cash")
    assert client.get(paper).content == before
    assert "$1,086.05" in text_of(before)
    assert "Settled" in text_of(client.get(client.post(page).headers["Location"]).content)
    assert paper in text(client.get(page))


def test_the_customers_page_shows_the_invoice_and_that_it_went(boss: User, client_as) -> None:
    invoice = make_invoiced_kit(boss)
    build = build_tell_ready(build=invoice.build, told_on=DAY, person=boss)  # type: ignore[arg-type]
    page = text(client_as("builder").get(reverse("customer-page", args=[build.link_token])))
    for words in ("Invoiced, all in", "$1,086.05", "Invoice INV-1", "Receipt R-1"):
        assert words in page, words
    sent(client_as("owner"), address("build-hand-over", build), override="a friend")
    assert "Handed over" in text(client_as("builder").get(reverse("customer-page", args=[build.link_token])))
