"""Quotes and receipts as PDF, and as a page to look at or print where PDFs cannot be made.

Staff come by the version's or entry's own id; customers by their link, which opens their own papers and no others.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents import document_html, quote_document, receipt_document
from shop.documents.render import Document
from shop.models import IssuedPaper
from shop.pdf import PdfUnavailable
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
from shop.views.answers import IN_THE_WAY, found_or_404

UNAVAILABLE = 503  # RFC 9110 section 15.6.4
DRAFT = "This version is still a draft: nothing in it is fixed yet. Offer it at the Counter, then print it."


@dataclass(frozen=True)
class Paper:
    """A document with its addresses: as a page, as a PDF, and where its reader came from. `keep` gives the PDF kept."""

    document: Document
    name: str
    keep: Callable[[], IssuedPaper]
    page_address: str
    pdf_address: str
    back_address: str


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


# What a paper is, and the two ways to see it


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


def paper_page(request: HttpRequest, read: Callable[[], Paper | None]) -> HttpResponse:
    paper = found_or_404(read)
    if paper is None:
        return no_paper(request, DRAFT, IN_THE_WAY)
    html = document_html(paper.document, pdf_address=paper.pdf_address, back_address=paper.back_address)
    return HttpResponse(html)


def paper_pdf(request: HttpRequest, read: Callable[[], Paper | None]) -> HttpResponse:
    """Shown in the browser; saved under its name when the address ends in ?download=1."""
    paper = found_or_404(read)
    if paper is None:
        return no_paper(request, DRAFT, IN_THE_WAY)
    try:
        kept = paper.keep()
    except PdfUnavailable as reason:
        return no_paper(request, str(reason), UNAVAILABLE, paper.page_address)
    return kept_pdf(request, kept, paper.name)


def kept_pdf(request: HttpRequest, kept: IssuedPaper, name: str) -> HttpResponse:
    """The bytes that were made the first time, under their hash."""
    how = "attachment" if "download" in request.GET else "inline"
    headers = {"Content-Disposition": f'{how}; filename="{name}.pdf"', "ETag": f'"{kept.file_id}"'}
    return HttpResponse(bytes(kept.file.data), content_type="application/pdf", headers=headers)


def no_paper(request: HttpRequest, reason: str, status: int, page_address: str = "") -> HttpResponse:
    context = {"reason": reason, "page_address": page_address}
    return render(request, "documents/unavailable.html", context, status=status)


def unlisted(answer: HttpResponse) -> HttpResponse:
    """The address itself is the key: no search engine keeps it, no other site is told it."""
    answer.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer
