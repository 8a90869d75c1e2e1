"""Quotes and receipts as PDF, and as a page to look at or print where PDFs cannot be made.

Staff come by the version's or entry's own id; customers by their link, which opens their own papers and no others.
"""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents import quote_document, receipt_document
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.documents import (
    entry_by_id,
    entry_for_customer,
    issued_quote,
    issued_receipt,
    version_by_id,
    version_for_customer,
)
from shop.services.papers import entry_paper_keep, version_paper_keep
from shop.views.paper_answers import Paper, paper_page, paper_pdf, unlisted

# For staff


@require_safe
@roles_required(OWNER, COUNTER)
def quote_page(request: HttpRequest, version_id: str) -> HttpResponse:
    return paper_page(request, lambda: _quote(version_id))


@require_safe
@roles_required(OWNER, COUNTER)
def quote_pdf(request: HttpRequest, version_id: str) -> HttpResponse:
    return paper_pdf(request, lambda: _quote(version_id))


@require_safe
@roles_required(OWNER, COUNTER)
def receipt_page(request: HttpRequest, entry_id: str) -> HttpResponse:
    return paper_page(request, lambda: _receipt(entry_id))


@require_safe
@roles_required(OWNER, COUNTER)
def receipt_pdf(request: HttpRequest, entry_id: str) -> HttpResponse:
    return paper_pdf(request, lambda: _receipt(entry_id))


# For customers


@login_not_required
@never_cache
@require_safe
def customer_quote_page(request: HttpRequest, token: str, version_id: str) -> HttpResponse:
    return unlisted(paper_page(request, lambda: _customers_quote(token, version_id)))


@login_not_required
@never_cache
@require_safe
def customer_quote_pdf(request: HttpRequest, token: str, version_id: str) -> HttpResponse:
    return unlisted(paper_pdf(request, lambda: _customers_quote(token, version_id)))


@login_not_required
@never_cache
@require_safe
def customer_receipt_page(request: HttpRequest, token: str, entry_id: str) -> HttpResponse:
    return unlisted(paper_page(request, lambda: _customers_receipt(token, entry_id)))


@login_not_required
@never_cache
@require_safe
def customer_receipt_pdf(request: HttpRequest, token: str, entry_id: str) -> HttpResponse:
    return unlisted(paper_pdf(request, lambda: _customers_receipt(token, entry_id)))


def _quote(version_id: str) -> Paper | None:
    """None for a draft."""
    version = version_by_id(version_id)
    if version.is_draft:
        return None
    return Paper(
        document=quote_document(issued_quote(version)),
        name=f"quote-{version.quote.number}-version-{version.number}",
        keep=lambda: version_paper_keep(version=version),
        page_address=reverse("quote-document", args=[version_id]),
        pdf_address=reverse("quote-pdf", args=[version_id]),
        back_address=reverse("quote-version", args=[version_id]),
    )


def _receipt(entry_id: str) -> Paper:
    entry = entry_by_id(entry_id)
    return Paper(
        document=receipt_document(issued_receipt(entry)),
        name=f"receipt-{entry.receipt}",
        keep=lambda: entry_paper_keep(entry=entry),
        page_address=reverse("receipt-document", args=[entry_id]),
        pdf_address=reverse("receipt-pdf", args=[entry_id]),
        back_address=reverse("deposit-taken", args=[entry_id]),
    )


def _customers_quote(token: str, version_id: str) -> Paper:
    version = version_for_customer(token, version_id)
    return Paper(
        document=quote_document(issued_quote(version)),
        name=f"quote-{version.quote.number}-version-{version.number}",
        keep=lambda: version_paper_keep(version=version),
        page_address=reverse("customer-quote-document", args=[token, version_id]),
        pdf_address=reverse("customer-quote-pdf", args=[token, version_id]),
        back_address=reverse("customer-page", args=[token]),
    )


def _customers_receipt(token: str, entry_id: str) -> Paper:
    entry = entry_for_customer(token, entry_id)
    return Paper(
        document=receipt_document(issued_receipt(entry)),
        name=f"receipt-{entry.receipt}",
        keep=lambda: entry_paper_keep(entry=entry),
        page_address=reverse("customer-receipt-document", args=[token, entry_id]),
        pdf_address=reverse("customer-receipt-pdf", args=[token, entry_id]),
        back_address=reverse("customer-page", args=[token]),
    )
