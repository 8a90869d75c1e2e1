"""One build's money: looked at, taken, given back; and the build that is cancelled."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.money import CancelForm, ClearForm, PayForm, RefundForm
from shop.models import LedgerEntry
from shop.permissions import COUNTER, OWNER, roles_of, roles_required
from shop.selectors.purse import Purse, purse_of
from shop.selectors.shop import shop_today, the_shop
from shop.services.clearing import check_clear
from shop.services.payments import deposit_add
from shop.services.refunds import build_cancel, refund_make
from shop.views.answers import attempt, found_or_404, page_with, person_of, posted


@require_safe
@roles_required(OWNER, COUNTER)
def build_money(request: HttpRequest, public_id: str) -> HttpResponse:
    purse = found_or_404(lambda: purse_of(public_id))
    return render(request, "money/build.html", {"purse": purse, "build": purse.build})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def build_pay(request: HttpRequest, public_id: str) -> HttpResponse:
    """The next deposit, with what each stage asks."""
    purse = found_or_404(lambda: purse_of(public_id))
    stage = purse.next_stage
    initial = {"amount": stage.left if stage else None, "received_on": shop_today()}
    form = PayForm(posted(request), shop=the_shop(), initial=initial)
    if request.method == "POST":
        taken = attempt(form, lambda values: deposit_add(build=purse.build, person=person_of(request), **values))
        if taken:
            return HttpResponseRedirect(reverse("deposit-taken", args=[taken.entry.public_id]))
    return page_with(request, "money/pay.html", {"purse": purse, "build": purse.build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def build_refund(request: HttpRequest, public_id: str) -> HttpResponse:
    purse = found_or_404(lambda: purse_of(public_id))
    form = RefundForm(posted(request), shop=the_shop(), initial={"amount": purse.money.overpaid})
    if request.method == "POST":
        entry = attempt(form, lambda values: refund_make(build=purse.build, person=person_of(request), **values))
        if entry:
            messages.success(request, f"Given back, receipt {entry.receipt}. Print it for the customer.")
            return _back(purse)
    return page_with(request, "money/refund.html", {"purse": purse, "build": purse.build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def build_cancellation(request: HttpRequest, public_id: str) -> HttpResponse:
    """What goes back and what is kept is shown first; confirming asks whether it still holds."""
    purse = found_or_404(lambda: purse_of(public_id))
    owner = OWNER in roles_of(request.user)
    initial = {"shown": purse.settlement.refunded}
    form = CancelForm(posted(request), shop=the_shop(), owner=owner, initial=initial)
    if request.method == "POST":

        def write(values: dict[str, Any]) -> tuple[LedgerEntry | None]:
            return (build_cancel(build=purse.build, person=person_of(request), **values),)

        if attempt(form, write):
            messages.success(request, f"{purse.build} is cancelled. Its place and its parts went to those behind.")
            return _back(purse)
    context = {"purse": purse, "build": purse.build, "settled": purse.settlement, "form": form}
    return page_with(request, "money/cancel.html", context, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def entry_clear(request: HttpRequest, entry_id: str) -> HttpResponse:
    """The day a check cleared."""
    rows = LedgerEntry.objects.select_related("build", "customer").prefetch_related("postings")
    entry = get_object_or_404(rows, public_id=entry_id, build__isnull=False)
    form = ClearForm(posted(request), shop=the_shop(), initial={"cleared_on": shop_today()})
    if request.method == "POST":
        made = attempt(form, lambda values: check_clear(entry=entry, person=person_of(request), **values))
        if made and made.build:
            messages.success(request, f"The check of entry {entry.number} has cleared.")
            return HttpResponseRedirect(reverse("build-money", args=[made.build.public_id]))
    return page_with(request, "money/clear.html", {"entry": entry, "form": form}, form)


def _back(purse: Purse) -> HttpResponseRedirect:
    return HttpResponseRedirect(reverse("build-money", args=[purse.build.public_id]))
