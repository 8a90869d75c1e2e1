"""Invoice, credit note, refund and statement as papers: accessible, complete, the same each time, no cost on them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from decimal import Decimal

import pikepdf
import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.documents import document_pdf
from shop.documents.entry import entry_paper
from shop.documents.render import Document, document_html
from shop.documents.statement import statement_document
from shop.models import LedgerEntry, Shop
from shop.selectors.statements import customer_statement
from shop.services.credit_notes import credit_note_make
from shop.services.payments import invoice_pay
from shop.services.refunds import build_cancel
from tests.shop.documents.reading import elements, needs_pango, opened, pages_of, text_of
from tests.shop.documents.test_no_costs import DESK_WORDS
from tests.shop.made_money import make_invoiced_kit, make_kit_build

MADE_AT = datetime(2026, 3, 2, 15, tzinfo=UTC)


@pytest.fixture
def boss(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def papers(shop: Shop, morning: datetime, boss: User) -> dict[str, Document]:
    """One of each, of a kit of 1551.50 with a deposit of 465.45."""
    Shop.objects.update(keep_from="work", storage_fee=Decimal(25))
    invoice = make_invoiced_kit(boss)
    paid = invoice_pay(invoice=invoice, amount=Decimal("1086.05"), method="checks", person=boss, key="p")
    note = credit_note_make(invoice=invoice, lines=None, reason="wrong motor", person=boss, key="c")
    gone = build_cancel(build=make_kit_build(boss, "Q-2"), reason="moved", method="cash", person=boss, key="g")
    assert gone is not None
    entries = {"invoice": invoice, "payment": paid, "credit note": note, "refund": gone}
    found = {
        name: entry_paper(LedgerEntry.objects.select_related("build", "concerns", "person").get(pk=entry.pk)).document
        for name, entry in entries.items()
    }
    return {**found, "statement": statement_document(customer_statement(invoice.customer), MADE_AT)}


SAID = {
    "invoice": ("Invoice INV-1", "Billed to", "To pay", "$1,086.05", "Deposit R-1, Mar 2, 2026 −465.45", "1,450.00",
                "Port Example state, 6 % on 1,450.00 87.00", "Port Example county, 1 % on 1,450.00 14.50",
                "Total, tax included 1,551.50", "then $25.00 a day", "Page 1 of 1"),
    "payment": ("Receipt R-2", "Payment received", "Invoice INV-1 1,551.50", "Paid or credited before −465.45", "$0.00",
                "A check counts once it has cleared"),
    "credit note": ("Credit note CN-1", "On invoice INV-1, Mar 2, 2026", "$1,551.50", "Why: wrong motor",
                    "Held for you 1,551.50", "1,450.00 101.50 1,551.50"),
    "refund": ("Refund R-4", "$465.45", "Held for you 465.45", "Build B-2 is cancelled.", "Why: moved",
               "the terms give the whole deposit back"),
    "statement": ("Statement", "At the end of Mar 2, 2026", "In your favor", "$1,551.50", "Payment on INV-1",
                  "Credit note on INV-1: wrong motor", "Deposits held −1,551.50"),
}  # fmt: skip


@needs_pango
def test_what_they_say_on_one_page_each_in_accessible_form(papers: dict[str, Document]) -> None:
    """PDF/UA-1 (ISO 14289-1:2014): clauses 5, 7.1, 7.2, 7.4.2 and 7.5 as in test_pdf."""
    for name, document in papers.items():
        data = document_pdf(document)
        (text,) = pages_of(data)
        for words in SAID[name]:
            assert words in text.replace("\xa0", " "), (name, words)
        assert document_pdf(document) == data, name
        with opened(data) as pdf:
            with pdf.open_metadata() as metadata:
                assert metadata["pdfuaid:part"] == "1"
            assert str(pdf.Root.Lang) == "en-US"
            tree = list(elements(pdf.Root.StructTreeRoot))
            levels = [int(str(e.S)[2:]) for e in tree if str(e.S).startswith("/H")]
            assert (levels[0], levels.count(1), set(levels)) == (1, 1, {1, 2}), name
            for cell in (element for element in tree if element.S == "/TH"):
                attributes = cell.A if isinstance(cell.A, pikepdf.Array) else [cell.A]
                assert any("/Scope" in attribute for attribute in attributes), name
            sizes = {tuple(float(edge) for edge in page.MediaBox) for page in pdf.pages}
        assert sizes == {(0.0, 0.0, 612.0, 792.0)}, name  # ANSI Letter


@needs_pango
def test_paper_is_the_shops(shop: Shop, morning: datetime, boss: User) -> None:
    Shop.objects.update(paper="A4", locale="en-GB")
    entry = make_invoiced_kit(boss)
    with opened(document_pdf(entry_paper(entry).document)) as pdf:
        width, height = (float(edge) for edge in list(pdf.pages[0].MediaBox)[2:])
    assert (width, height) == pytest.approx((595.28, 841.89), abs=0.01)


def test_no_cost_is_on_any_paper_or_page_a_customer_sees(papers: dict[str, Document]) -> None:
    """The motor costs the shop 1000.00 in the made offers; no margin, no cost word, no supplier either."""
    for name, document in papers.items():
        html = document_html(document)
        assert not DESK_WORDS.search(html), name
        assert "1,000.00" not in html, name
    for entry in LedgerEntry.objects.exclude(receipt=None, document=None).select_related("build"):
        assert entry.build is not None
        for name in ("customer-page", "customer-paper"):
            ids = [entry.build.link_token] + ([entry.public_id] if name == "customer-paper" else [])
            page = Client().get(reverse(name, args=ids))
            assert page.status_code == 200
            assert not DESK_WORDS.search(page.content.decode()), (name, entry)


@needs_pango
def test_no_cost_is_in_the_text_of_a_pdf(papers: dict[str, Document]) -> None:
    for name in ("invoice", "credit note"):
        assert not DESK_WORDS.search(text_of(document_pdf(papers[name]))), name


def test_anothers_link_opens_no_paper(papers: dict[str, Document]) -> None:
    invoice = LedgerEntry.objects.get(kind="invoice")
    other = LedgerEntry.objects.exclude(build=invoice.build).filter(kind="deposit").get()
    assert other.build is not None
    address = reverse("customer-paper", args=[other.build.link_token, invoice.public_id])
    assert Client().get(address).status_code == 404
    applied = LedgerEntry.objects.get(kind="applied")
    assert invoice.build is not None
    assert (
        Client().get(reverse("customer-paper", args=[invoice.build.link_token, applied.public_id])).status_code == 404
    )
