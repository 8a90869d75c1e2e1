"""A quote's figures as a page to print and as PDF, for staff and, by their link, for the customer."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents import figures_document
from shop.models import QuoteVersion
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.documents import issued_quote, version_by_id, version_for_customer
from shop.views.paper_answers import Paper, paper_page, paper_pdf, unlisted


@require_safe
@roles_required(OWNER, COUNTER)
def figures_page(request: HttpRequest, version_id: str) -> HttpResponse:
    return paper_page(request, lambda: _staffs(version_id))


@require_safe
@roles_required(OWNER, COUNTER)
def figures_pdf(request: HttpRequest, version_id: str) -> HttpResponse:
    return paper_pdf(request, lambda: _staffs(version_id))


@login_not_required
@never_cache
@require_safe
def customer_figures_page(request: HttpRequest, token: str, version_id: str) -> HttpResponse:
    return unlisted(paper_page(request, lambda: _customers(token, version_id)))


@login_not_required
@never_cache
@require_safe
def customer_figures_pdf(request: HttpRequest, token: str, version_id: str) -> HttpResponse:
    return unlisted(paper_pdf(request, lambda: _customers(token, version_id)))


def _staffs(version_id: str) -> Paper | None:
    back = reverse("quote-version", args=[version_id])
    return _paper(version_by_id(version_id), "figures", [version_id], back)


def _customers(token: str, version_id: str) -> Paper | None:
    back = reverse("customer-page", args=[token])
    return _paper(version_for_customer(token, version_id), "customer-figures", [token, version_id], back)


def _paper(version: QuoteVersion, name: str, ids: list[str], back: str) -> Paper | None:
    """None for a draft."""
    if version.is_draft:
        return None
    return Paper(
        document=figures_document(issued_quote(version)),
        name=f"figures-{version.quote.number}-version-{version.number}",
        page_address=reverse(f"{name}-document", args=ids),
        pdf_address=reverse(f"{name}-pdf", args=ids),
        back_address=back,
    )
