from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from shop.models import LedgerEntry, QuoteVersion
from shop.pdf import PANGO_REMEDY, PdfUnavailable
from tests.shop.documents.reading import needs_pango, text_of
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.views.guards import DESK, UNKNOWN, assert_guarded


def pdf_of(answer: Any) -> bytes:
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/pdf"
    return bytes(answer.content)


def customers_addresses(day: Day) -> dict[str, str]:
    """The four addresses of a customer's papers, by view name."""
    token = day.build.link_token
    return {
        name: reverse(name, args=[token, public_id])
        for names, public_id in (
            (("customer-quote-document", "customer-quote-pdf"), day.accepted.public_id),
            (("customer-receipt-document", "customer-receipt-pdf"), day.entry.public_id),
        )
        for name in names
    }


@needs_pango
def test_who_may_print(day: Day, client_as):
    for name in ("quote-document", "quote-pdf"):
        assert_guarded(client_as, name, day.accepted.public_id, roles=DESK)
    for name in ("receipt-document", "receipt-pdf"):
        assert_guarded(client_as, name, day.entry.public_id, roles=DESK)


@needs_pango
def test_the_quote_is_shown_in_the_browser_or_saved(day: Day, client_as):
    client, address = client_as("counter"), reverse("quote-pdf", args=[day.accepted.public_id])
    shown = client.get(address)
    assert shown.headers["Content-Disposition"] == 'inline; filename="quote-Q-1-version-1.pdf"'
    words = text_of(pdf_of(shown))
    assert "Quote Q-1" in words
    assert "Casey Example" in words
    saved = client.get(address, {"download": "1"})
    assert saved.headers["Content-Disposition"] == 'attachment; filename="quote-Q-1-version-1.pdf"'
    assert saved.content == shown.content


@needs_pango
def test_the_receipt(day: Day, client_as):
    answer = client_as("owner").get(reverse("receipt-pdf", args=[day.entry.public_id]))
    assert answer.headers["Content-Disposition"] == f'inline; filename="receipt-{day.entry.receipt}.pdf"'
    words = text_of(pdf_of(answer))
    assert f"Receipt {day.entry.receipt}" in words
    assert "Place 1 in line" in words
    assert f"Build {day.build.number}" in words


def test_the_page_says_the_same_and_leads_to_the_pdf_and_back(day: Day, client_as):
    page = text(client_as("counter").get(reverse("quote-document", args=[day.accepted.public_id])))
    assert "Quote Q-1" in page
    for address in (
        reverse("quote-pdf", args=[day.accepted.public_id]),
        f"{reverse('quote-pdf', args=[day.accepted.public_id])}?download=1",
        reverse("quote-version", args=[day.accepted.public_id]),
    ):
        assert f'href="{address}"' in page
    receipt = text(client_as("counter").get(reverse("receipt-document", args=[day.entry.public_id])))
    assert f'href="{reverse("deposit-taken", args=[day.entry.public_id])}"' in receipt


def test_the_page_carries_nothing_our_own_policy_refuses(day: Day, client_as):
    """No inline style or script: the browser would drop it (CSP level 3), and page and PDF would differ."""
    for name, public_id in (("quote-document", day.accepted.public_id), ("receipt-document", day.entry.public_id)):
        page = text(client_as("counter").get(reverse(name, args=[public_id])))
        assert not re.search(r"<style|<script|\sstyle=|\son[a-z]+=", page)


def test_a_draft_says_what_to_do_first(day: Day, client_as):
    for name in ("quote-document", "quote-pdf"):
        answer = client_as("counter").get(reverse(name, args=[day.draft.public_id]))
        assert answer.status_code == 409
        assert "Offer it at the Counter" in text(answer)


def test_an_entry_without_a_receipt_is_not_found(day: Day, client_as):
    entry = LedgerEntry.objects.create(
        number=999,
        kind="reversal",
        reverses=day.entry,
        build=day.build,
        day=day.entry.day,
        customer=day.customer,
        key="undo",
        reason="odd",
    )
    for name in ("receipt-document", "receipt-pdf", "entry-paper", "entry-paper-pdf"):
        assert client_as("owner").get(reverse(name, args=[entry.public_id])).status_code == 404


@pytest.fixture
def no_pango(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> bytes:
        raise PdfUnavailable(f"PDFs cannot be made here: Pango is missing. {PANGO_REMEDY}")

    monkeypatch.setattr("shop.documents.render.render_pdf", refuse)


def test_without_pango_the_sentence_and_a_page_to_print(day: Day, client_as, no_pango):
    answer = client_as("counter").get(reverse("quote-pdf", args=[day.accepted.public_id]))
    assert answer.status_code == 503
    page = text(answer)
    assert "Pango is missing" in page
    assert "apt-get install" in page
    address = reverse("quote-document", args=[day.accepted.public_id])
    assert re.search(rf'href="{address}"[^>]*>Print this page<', page)
    assert client_as("counter").get(address).status_code == 200


def test_without_pango_a_customer_can_print_too(day: Day, no_pango):
    addresses = customers_addresses(day)
    answer = Client().get(addresses["customer-receipt-pdf"])
    assert answer.status_code == 503
    assert addresses["customer-receipt-document"] in text(answer)
    assert reverse("receipt-document", args=[day.entry.public_id]) not in text(answer)


@needs_pango
def test_a_customer_gets_their_own_papers_without_an_account(day: Day):
    for name, address in customers_addresses(day).items():
        answer = Client().get(address)
        assert answer.status_code == 200, name
        assert answer.headers["X-Robots-Tag"] == "noindex, nofollow, noarchive"
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert "no-store" in answer.headers["Cache-Control"]
    assert "Quote Q-1" in text_of(pdf_of(Client().get(customers_addresses(day)["customer-quote-pdf"])))


@needs_pango
def test_the_customers_pdf_is_the_shops(day: Day, client_as):
    staff = client_as("counter").get(reverse("quote-pdf", args=[day.accepted.public_id]))
    assert Client().get(customers_addresses(day)["customer-quote-pdf"]).content == staff.content


def test_the_customers_page_leads_to_no_staff_page(day: Day):
    for name in ("customer-quote-document", "customer-receipt-document"):
        page = text(Client().get(customers_addresses(day)[name]))
        addresses = {found for found in re.findall(r'href="([^"]+)"', page) if not found.startswith("/static/")}
        assert addresses
        assert all(re.match(rf"(http://testserver)?/c/{day.build.link_token}/|http://testserver/c/", found)
                   for found in addresses)  # fmt: skip


@pytest.mark.parametrize("whose", ["another's link", "no link", "a row of another"])
def test_a_link_opens_nobody_elses_papers(day: Day, whose):
    token = {"another's link": day.offered.quote.link_token, "no link": UNKNOWN}.get(whose, day.build.link_token)
    version, entry = day.accepted.public_id, day.entry.public_id
    if whose == "a row of another":
        version, entry = day.offered.public_id, UNKNOWN
    for name, public_id in (
        ("customer-quote-document", version),
        ("customer-quote-pdf", version),
        ("customer-receipt-document", entry),
        ("customer-receipt-pdf", entry),
    ):
        assert Client().get(reverse(name, args=[token, public_id])).status_code == 404, name


def test_a_draft_is_not_for_customers(day: Day):
    QuoteVersion.objects.filter(pk=day.draft.pk).update(quote=day.accepted.quote, number=2)
    for name in ("customer-quote-document", "customer-quote-pdf"):
        address = reverse(name, args=[day.build.link_token, day.draft.public_id])
        assert Client().get(address).status_code == 404


def test_customers_papers_are_only_looked_at(day: Day):
    for address in customers_addresses(day).values():
        assert Client().post(address).status_code == 405


def test_queries_are_few(day: Day, client_as, django_assert_max_num_queries):
    client = client_as("counter")
    for name, public_id in (("quote-document", day.accepted.public_id), ("receipt-document", day.entry.public_id)):
        address = reverse(name, args=[public_id])
        client.get(address)
        with django_assert_max_num_queries(8):
            client.get(address)
