"""A quote's figures as a page to print and as PDF, for staff and, by their link, for the customer."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents import document_html, document_pdf, figures_document
from shop.models import QuoteVersion
from shop.pdf import PdfUnavailable
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.documents import issued_quote, version_by_id, version_for_customer
from shop.views.answers import IN_THE_WAY, found_or_404
from shop.views.documents import DRAFT, UNAVAILABLE, no_paper, unlisted


@require_safe
@roles_required(OWNER, COUNTER)
def figures_page(request: HttpRequest, version_id: str) -> HttpResponse:
    return _page(request, lambda: version_by_id(version_id), "figures", [version_id])


@require_safe
@roles_required(OWNER, COUNTER)
def figures_pdf(request: HttpRequest, version_id: str) -> HttpResponse:
    return _pdf(request, lambda: version_by_id(version_id), "figures", [version_id])


@login_not_required
@never_cache
@require_safe
def customer_figures_page(request: HttpRequest, token: str, version_id: str) -> HttpResponse:
    ids = [token, version_id]
    return unlisted(_page(request, lambda: version_for_customer(token, version_id), "customer-figures", ids))


@login_not_required
@never_cache
@require_safe
def customer_figures_pdf(request: HttpRequest, token: str, version_id: str) -> HttpResponse:
    ids = [token, version_id]
    return unlisted(_pdf(request, lambda: version_for_customer(token, version_id), "customer-figures", ids))


def _page(request: HttpRequest, read: Callable[[], QuoteVersion], name: str, ids: list[str]) -> HttpResponse:
    version = found_or_404(read)
    if version.is_draft:
        return no_paper(request, DRAFT, IN_THE_WAY)
    back = reverse("quote-version", args=ids) if name == "figures" else reverse("customer-page", args=ids[:1])
    document = figures_document(issued_quote(version))
    return HttpResponse(document_html(document, pdf_address=reverse(f"{name}-pdf", args=ids), back_address=back))


def _pdf(request: HttpRequest, read: Callable[[], QuoteVersion], name: str, ids: list[str]) -> HttpResponse:
    """Shown in the browser; saved under its name when the address ends in ?download=1."""
    version = found_or_404(read)
    if version.is_draft:
        return no_paper(request, DRAFT, IN_THE_WAY)
    try:
        data = document_pdf(figures_document(issued_quote(version)))
    except PdfUnavailable as reason:
        return no_paper(request, str(reason), UNAVAILABLE, reverse(f"{name}-document", args=ids))
    how = "attachment" if "download" in request.GET else "inline"
    file_name = f"figures-{version.quote.number}-version-{version.number}.pdf"
    headers = {"Content-Disposition": f'{how}; filename="{file_name}"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)
