"""After a supplier's slip: the day taken back, or the customers told, each letter looked over before it goes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shop.forms.builds import PressForm
from shop.forms.telling import TellForm
from shop.letters import Letter, promise_letter
from shop.models import Build, ExpectedDateChange, Mail, PurchaseOrder, Shop
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.selectors.telling import ToTell, to_tell
from shop.services.slips import customer_tell, expected_undo
from shop.views.answers import IN_THE_WAY, UNREADABLE, attempt, person_of


@dataclass(frozen=True)
class Draft:
    """A build to tell, with its form."""

    told: ToTell
    form: TellForm


@require_safe
@roles_required(OWNER, COUNTER)
def order_tell(request: HttpRequest, public_id: str) -> HttpResponse:
    order = get_object_or_404(PurchaseOrder.objects.select_related("supplier"), public_id=public_id)
    drafts = _drafts(to_tell(order), the_shop())
    return render(request, "orders/tell.html", {"order": order, "drafts": drafts})


@require_POST
@roles_required(OWNER, COUNTER)
def order_tell_one(request: HttpRequest, public_id: str, build_id: str) -> HttpResponse:
    """Promise the window and send the letter of one build."""
    order = get_object_or_404(PurchaseOrder.objects.select_related("supplier"), public_id=public_id)
    build = get_object_or_404(Build.objects.select_related("customer"), public_id=build_id)
    shop, rows = the_shop(), to_tell(order)
    form = _form(build, request, shop)

    def write(values: dict[str, Any]) -> Mail:
        return customer_tell(build=build, person=person_of(request), **values)

    mail = attempt(form, write)
    if mail:
        messages.success(request, f"{build}: the new window is promised and the letter to {mail.to} is on its way.")
        return HttpResponseRedirect(reverse("order-tell", args=[public_id]))
    drafts = [Draft(told, form if told.row.build.pk == build.pk else draft.form)
              for told, draft in zip(rows, _drafts(rows, shop), strict=True)]  # fmt: skip
    context = {"order": order, "drafts": drafts, "wrong": form}
    return render(request, "orders/tell.html", context, status=UNREADABLE)


@require_POST
@roles_required(OWNER, COUNTER)
def order_dates_undo(request: HttpRequest, public_id: str, entry: str) -> HttpResponse:
    order = get_object_or_404(PurchaseOrder, public_id=public_id)
    get_object_or_404(ExpectedDateChange.objects.filter(line__order=order, entry=entry)[:1])
    form = PressForm(request.POST, shop=the_shop())
    if attempt(form, lambda _: expected_undo(entry=entry, person=person_of(request))):
        messages.success(request, f"{order}: the day is as it was before.")
        return HttpResponseRedirect(reverse("order", args=[public_id]))
    from_page = {"order": order, "drafts": (), "refusal": form.non_field_errors}
    return render(request, "orders/tell.html", from_page, status=IN_THE_WAY)


def _drafts(rows: Iterable[ToTell], shop: Shop) -> list[Draft]:
    return [Draft(told, _fresh(told, shop)) for told in rows]


def _fresh(told: ToTell, shop: Shop) -> TellForm:
    build = told.row.build
    window = (told.finish_from, told.finish_to)
    old = (build.promised_from, build.promised_to)
    letter = promise_letter(build, old=old, new=window, reason=told.reason, shop=shop)
    initial = {"finish_from": told.finish_from, "finish_to": told.finish_to, "reason": told.reason[:160]}
    return TellForm(shop=shop, letter=letter, initial=initial, prefix=build.public_id)


def _form(build: Build, request: HttpRequest, shop: Shop) -> TellForm:
    """The form as it was sent."""
    return TellForm(request.POST, shop=shop, letter=Letter("", "", ""), initial={}, prefix=build.public_id)
