"""The change order as a page to print and as PDF, for staff and behind the customer's link."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.documents import change_document
from shop.models import ChangeOrder
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.change_page import change_by_id, change_for_customer
from shop.services.papers import change_paper_keep
from shop.views.paper_answers import Paper, paper_page, paper_pdf, unlisted

DRAFT = "This change order is still a draft: nothing in it is fixed yet. Offer it at the Counter, then print it."


@require_safe
@roles_required(OWNER, COUNTER)
def change_page(request: HttpRequest, change_id: str) -> HttpResponse:
    return paper_page(request, lambda: _staffs(change_id), DRAFT)


@require_safe
@roles_required(OWNER, COUNTER)
def change_pdf(request: HttpRequest, change_id: str) -> HttpResponse:
    return paper_pdf(request, lambda: _staffs(change_id), DRAFT)


@login_not_required
@never_cache
@require_safe
def customer_change_page(request: HttpRequest, token: str, change_id: str) -> HttpResponse:
    return unlisted(paper_page(request, lambda: _customers(token, change_id), DRAFT))


@login_not_required
@never_cache
@require_safe
def customer_change_pdf(request: HttpRequest, token: str, change_id: str) -> HttpResponse:
    return unlisted(paper_pdf(request, lambda: _customers(token, change_id), DRAFT))


def _staffs(change_id: str) -> Paper | None:
    return _paper(change_by_id(change_id), "change", [change_id], reverse("change", args=[change_id]))


def _customers(token: str, change_id: str) -> Paper | None:
    back = reverse("customer-page", args=[token])
    return _paper(change_for_customer(token, change_id), "customer-change", [token, change_id], back)


def _paper(change: ChangeOrder, name: str, ids: list[str], back: str) -> Paper | None:
    """None for a draft."""
    if change.version.is_draft:
        return None
    return Paper(
        document=change_document(change),
        name=f"change-order-{change.number}",
        page_address=reverse(f"{name}-document", args=ids),
        pdf_address=reverse(f"{name}-pdf", args=ids),
        back_address=back,
        keep=lambda: change_paper_keep(change=change),
    )
