"""The change order as a page to print and as PDF, for staff and behind the customer's link."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents import change_document, document_html, document_pdf
from shop.models import ChangeOrder
from shop.pdf import PdfUnavailable
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.change_page import change_by_id, change_for_customer
from shop.views.answers import IN_THE_WAY, found_or_404

UNAVAILABLE = 503  # RFC 9110 section 15.6.4
DRAFT = "This change order is still a draft: nothing in it is fixed yet. Offer it at the Counter, then print it."


@require_safe
@roles_required(OWNER, COUNTER)
def change_page(request: HttpRequest, change_id: str) -> HttpResponse:
    return _page(request, _staffs(change_id), "change", [change_id])


@require_safe
@roles_required(OWNER, COUNTER)
def change_pdf(request: HttpRequest, change_id: str) -> HttpResponse:
    return _pdf(request, _staffs(change_id), "change", [change_id])


@login_not_required
@never_cache
@require_safe
def customer_change_page(request: HttpRequest, token: str, change_id: str) -> HttpResponse:
    return _unlisted(_page(request, _customers(token, change_id), "customer-change", [token, change_id]))


@login_not_required
@never_cache
@require_safe
def customer_change_pdf(request: HttpRequest, token: str, change_id: str) -> HttpResponse:
    return _unlisted(_pdf(request, _customers(token, change_id), "customer-change", [token, change_id]))


def _staffs(change_id: str) -> Callable[[], ChangeOrder]:
    return lambda: change_by_id(change_id)


def _customers(token: str, change_id: str) -> Callable[[], ChangeOrder]:
    return lambda: change_for_customer(token, change_id)


def _page(request: HttpRequest, read: Callable[[], ChangeOrder], name: str, ids: list[str]) -> HttpResponse:
    change = found_or_404(read)
    if change.version.is_draft:
        return _cannot(request, DRAFT, IN_THE_WAY)
    back = reverse("customer-page", args=ids[:1]) if name == "customer-change" else reverse("change", args=ids)
    html = document_html(change_document(change), pdf_address=reverse(f"{name}-pdf", args=ids), back_address=back)
    return HttpResponse(html)


def _pdf(request: HttpRequest, read: Callable[[], ChangeOrder], name: str, ids: list[str]) -> HttpResponse:
    """Shown in the browser; saved under its name when the address ends in ?download=1."""
    change = found_or_404(read)
    if change.version.is_draft:
        return _cannot(request, DRAFT, IN_THE_WAY)
    try:
        data = document_pdf(change_document(change))
    except PdfUnavailable as reason:
        return _cannot(request, str(reason), UNAVAILABLE, reverse(f"{name}-document", args=ids))
    how = "attachment" if "download" in request.GET else "inline"
    headers = {"Content-Disposition": f'{how}; filename="change-order-{change.number}.pdf"'}
    return HttpResponse(data, content_type="application/pdf", headers=headers)


def _cannot(request: HttpRequest, reason: str, status: int, page_address: str = "") -> HttpResponse:
    context = {"reason": reason, "page_address": page_address}
    return render(request, "documents/unavailable.html", context, status=status)


def _unlisted(answer: HttpResponse) -> HttpResponse:
    """The address itself is the key: no search engine keeps it, no other site is told it."""
    answer.headers["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    answer.headers["Referrer-Policy"] = "no-referrer"
    return answer
