"""Invoices, credit notes and refunds as pages and PDFs; statements that were made."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents.entry import entry_paper
from shop.models import EntryKind, IssuedPaper, LedgerEntry, PaperKind
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.documents import entry_by_id, entry_for_customer
from shop.services.papers import entry_paper_keep
from shop.views.paper_answers import Paper, kept_pdf, paper_page, paper_pdf, unlisted


@require_safe
@roles_required(OWNER, COUNTER)
def entry_page(request: HttpRequest, entry_id: str) -> HttpResponse:
    return paper_page(request, lambda: _staffs(entry_id))


@require_safe
@roles_required(OWNER, COUNTER)
def entry_pdf(request: HttpRequest, entry_id: str) -> HttpResponse:
    return paper_pdf(request, lambda: _staffs(entry_id))


@login_not_required
@never_cache
@require_safe
def customer_entry_page(request: HttpRequest, token: str, entry_id: str) -> HttpResponse:
    return unlisted(paper_page(request, lambda: _customers(token, entry_id)))


@login_not_required
@never_cache
@require_safe
def customer_entry_pdf(request: HttpRequest, token: str, entry_id: str) -> HttpResponse:
    return unlisted(paper_pdf(request, lambda: _customers(token, entry_id)))


@require_safe
@roles_required(OWNER, COUNTER)
def statement_pdf(request: HttpRequest, paper_id: str) -> HttpResponse:
    """A statement that was made, as it was made."""
    rows = IssuedPaper.objects.select_related("file", "build", "customer")
    paper = get_object_or_404(rows, public_id=paper_id, kind=PaperKind.STATEMENT)
    return kept_pdf(request, paper, f"statement-{paper.day}")


def _staffs(entry_id: str) -> Paper:
    entry = entry_by_id(entry_id)
    assert entry.build is not None  # noqa: S101 - every entry has one; for the type checker
    invoice = entry if entry.kind in (EntryKind.INVOICE, EntryKind.STORAGE) else entry.concerns
    if invoice is not None and invoice.document:
        back = reverse("invoice", args=[invoice.public_id])
    else:
        back = reverse("build-money", args=[entry.build.public_id])
    return _paper(entry, reverse("entry-paper", args=[entry_id]), reverse("entry-paper-pdf", args=[entry_id]), back)


def _customers(token: str, entry_id: str) -> Paper:
    entry = entry_for_customer(token, entry_id)
    return _paper(
        entry,
        reverse("customer-paper", args=[token, entry_id]),
        reverse("customer-paper-pdf", args=[token, entry_id]),
        reverse("customer-page", args=[token]),
    )


def _paper(entry: LedgerEntry, page: str, pdf: str, back: str) -> Paper:
    made = entry_paper(entry)
    return Paper(
        document=made.document,
        name=made.name,
        keep=lambda: entry_paper_keep(entry=entry),
        page_address=page,
        pdf_address=pdf,
        back_address=back,
    )
