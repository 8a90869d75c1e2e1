"""Invoices: made when a build is ready, paid, credited, written off; storage; and the hand-over at the end."""

from __future__ import annotations

import contextlib
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.base import ShopForm
from shop.forms.money import CreditForm, HandOverForm, PayForm, SureForm, ToldForm, WriteOffForm
from shop.models import Build, LedgerEntry
from shop.pdf import PdfUnavailable
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.invoices import InvoicePage, invoice_draft, invoice_page, storage_draft
from shop.selectors.purse import Purse, purse_of
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.storage import storage_due
from shop.selectors.units import unnumbered_needs
from shop.services import credit_notes, invoices
from shop.services.hand_over import build_hand_over, hand_over_lacks
from shop.services.papers import entry_paper_keep
from shop.services.payments import invoice_pay as pay
from shop.views.answers import attempt, found_or_404, page_with, person_of, posted
from shop.written import money


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def invoice_new(request: HttpRequest, public_id: str) -> HttpResponse:
    """What the invoice will say, and what is not as it was agreed, before it is made."""
    build = _build(public_id)
    draft = invoice_draft(build)
    form = SureForm(posted(request), shop=the_shop(), initial={"shown": draft.sheet.due})
    if request.method == "POST":
        made = attempt(form, lambda values: invoices.invoice_make(build=build, person=person_of(request), **values))
        if made:
            return _made(request, made)
    return page_with(request, "money/invoice_new.html", {"draft": draft, "build": build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def storage_new(request: HttpRequest, public_id: str) -> HttpResponse:
    """The days that have come up, at the fee of the quote's terms."""
    build = _build(public_id)
    due = storage_due(build)
    sheet = storage_draft(build, due.days, due.fee, day=shop_today())[1] if due and due.days else None
    form = SureForm(posted(request), shop=the_shop(), initial={"shown": sheet.due if sheet else None})
    if request.method == "POST":
        made = attempt(form, lambda values: invoices.storage_charge(build=build, person=person_of(request), **values))
        if made:
            return _made(request, made)
    context = {"build": build, "due": due, "sheet": sheet, "form": form}
    return page_with(request, "money/storage.html", context, form)


@require_safe
@roles_required(OWNER, COUNTER)
def invoice(request: HttpRequest, invoice_id: str) -> HttpResponse:
    page = _page(invoice_id)
    return render(request, "money/invoice.html", {"page": page, "build": page.entry.build})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def invoice_pay(request: HttpRequest, invoice_id: str) -> HttpResponse:
    page = _page(invoice_id)
    initial = {"amount": page.owed, "received_on": shop_today()}
    form = PayForm(posted(request), shop=the_shop(), initial=initial)
    if request.method == "POST":
        paid = attempt(form, lambda values: pay(invoice=page.entry, person=person_of(request), **values))
        if paid:
            messages.success(request, f"Taken, receipt {paid.receipt}. Print it for the customer.")
            return _to(page)
    return page_with(request, "money/invoice_pay.html", {"page": page, "build": page.entry.build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def invoice_credit(request: HttpRequest, invoice_id: str) -> HttpResponse:
    page, shop = _page(invoice_id), the_shop()
    lines = [
        (str(line.line), f"{line.label}: {money(line.total, shop.currency, shop.locale)}") for line in page.creditable
    ]
    form = CreditForm(posted(request), shop=shop, lines=lines)
    if request.method == "POST":

        def write(values: dict[str, Any]) -> LedgerEntry:
            return credit_notes.credit_note_make(invoice=page.entry, person=person_of(request), **values)

        note = attempt(form, write)
        if note:
            _keep(note)
            messages.success(request, f"{note.document} is made. Print it for the customer.")
            return _to(page)
    return page_with(request, "money/credit.html", {"page": page, "build": page.entry.build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def invoice_write_off(request: HttpRequest, invoice_id: str) -> HttpResponse:
    page = _page(invoice_id)
    form = WriteOffForm(posted(request), shop=the_shop())
    if request.method == "POST":

        def write(values: dict[str, Any]) -> LedgerEntry:
            return credit_notes.write_off(invoice=page.entry, person=person_of(request), **values)

        if attempt(form, write):
            messages.success(request, f"{page.entry.document} asks nothing any more.")
            return _to(page)
    return page_with(request, "money/write_off.html", {"page": page, "build": page.entry.build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def hand_over(request: HttpRequest, public_id: str) -> HttpResponse:
    """What still lacks is said; with nothing lacking it is one press."""
    purse = found_or_404(lambda: purse_of(public_id))
    form = HandOverForm(posted(request), shop=the_shop())
    if request.method == "POST":
        gone = attempt(form, lambda values: build_hand_over(build=purse.build, person=person_of(request), **values))
        if gone:
            messages.success(request, f"{gone} is handed over. Those behind it move up.")
            return HttpResponseRedirect(reverse("build", args=[public_id]))
    return _leaving(request, purse, form, ToldForm(None, shop=the_shop()), form)


@require_POST
@roles_required(OWNER, COUNTER)
def build_told(request: HttpRequest, public_id: str) -> HttpResponse:
    """The customer was told that the bike is ready."""
    purse = found_or_404(lambda: purse_of(public_id))
    told = ToldForm(request.POST, shop=the_shop())
    if attempt(told, lambda values: invoices.build_tell_ready(build=purse.build, person=person_of(request), **values)):
        messages.success(request, "Noted. Storage counts from that day.")
        return HttpResponseRedirect(reverse("build-hand-over", args=[public_id]))
    return _leaving(request, purse, HandOverForm(None, shop=the_shop()), told, told)


def _leaving(request: HttpRequest, purse: Purse, form: HandOverForm, told: ToldForm, sent: ShopForm) -> HttpResponse:
    """What stands between a build and its customer; `sent` the form that was sent, or is the first to be."""
    build = purse.build
    context = {"purse": purse, "build": build, "form": form, "told": told}
    lacks = {"lacks": hand_over_lacks(build), "numbers": unnumbered_needs(build)}
    return page_with(request, "money/hand_over.html", {**context, **lacks}, sent)


def _build(public_id: str) -> Build:
    rows = Build.objects.select_related("customer", "version__quote", "donor__family")
    return get_object_or_404(rows, public_id=public_id)


def _page(invoice_id: str) -> InvoicePage:
    return found_or_404(lambda: invoice_page(invoice_id))


def _made(request: HttpRequest, entry: LedgerEntry) -> HttpResponse:
    _keep(entry)
    messages.success(request, f"{entry.document} is made. Print it for the customer.")
    return HttpResponseRedirect(reverse("invoice", args=[entry.public_id]))


def _keep(entry: LedgerEntry) -> None:
    """The PDF is kept from the first moment; a machine that cannot make it makes it when somebody asks."""
    with contextlib.suppress(PdfUnavailable):
        entry_paper_keep(entry=entry)


def _to(page: InvoicePage) -> HttpResponseRedirect:
    return HttpResponseRedirect(reverse("invoice", args=[page.entry.public_id]))
