"""The cash book, and putting an entry right: nothing is edited, what was wrong is reversed."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.cash import KINDS, CashFilterForm
from shop.forms.deposits import CorrectForm, ReverseForm
from shop.models import EntryKind, LedgerEntry
from shop.permissions import COUNTER, OWNER, roles_of, roles_required
from shop.selectors.cash import month_of
from shop.selectors.cash_list import cash_found
from shop.selectors.liability import liability
from shop.selectors.shop import shop_today, the_shop
from shop.services.cash_reverse import deposit_correct
from shop.services.cash_reverse import entry_reverse as reverse_entry
from shop.views.answers import attempt, list_address, page_or_part, page_with, person_of, posted


@require_safe
@roles_required(OWNER, COUNTER)
def cash_book(request: HttpRequest) -> HttpResponse:
    today = shop_today()
    filters = CashFilterForm(request.GET).filters(today)
    this_month = month_of(today)
    context = {
        "book": cash_found(filters),
        "filters": filters,
        "held_on": min(filters.last, today),  # no entry is of a day ahead
        "address": list_address(request),
        "kinds": KINDS,
        "held": liability(today),
        "periods": (
            ("This month", this_month),
            ("Last month", month_of(this_month[0] - timedelta(days=1))),
            ("This year", (today.replace(month=1, day=1), today.replace(month=12, day=31))),
        ),
    }
    return page_or_part(request, "cash/book.html", "cash/_rows.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def entry_reverse(request: HttpRequest, entry_id: str) -> HttpResponse:
    entry = _entry(entry_id)
    leaves = entry.kind == EntryKind.DEPOSIT and entry.build is not None and entry.build.is_open
    form = ReverseForm(posted(request), shop=the_shop(), leaves=leaves)
    if request.method == "POST":
        undone = attempt(form, lambda values: reverse_entry(entry=entry, person=person_of(request), **values))
        if undone:
            messages.success(request, f"Entry {entry.number} is undone by entry {undone.number}.")
            return HttpResponseRedirect(reverse("cash-book"))
    return page_with(request, "cash/reverse.html", {"entry": entry, "form": form, "leaves": leaves}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def entry_correct(request: HttpRequest, entry_id: str) -> HttpResponse:
    entry = _entry(entry_id)
    amount = next((posting.amount for posting in entry.postings.all()), None)
    initial: dict[str, Any] = {"amount": amount, "method": entry.method, "reference": entry.reference}
    form = CorrectForm(
        posted(request),
        shop=the_shop(),
        owner=OWNER in roles_of(request.user),
        initial={**initial, "received_on": entry.day},
    )
    if request.method == "POST":
        made = attempt(form, lambda values: deposit_correct(entry=entry, person=person_of(request), **values))
        if made:
            messages.success(request, f"Entered anew as {made.receipt}. Give the customer the new receipt.")
            return HttpResponseRedirect(reverse("deposit-taken", args=[made.public_id]))
    return page_with(request, "cash/correct.html", {"entry": entry, "form": form}, form)


def _entry(entry_id: str) -> LedgerEntry:
    rows = LedgerEntry.objects.select_related("build", "customer").prefetch_related("postings")
    return get_object_or_404(rows, public_id=entry_id)
