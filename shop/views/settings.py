"""The owner's settings: the shop's row, opening hours, closed days; what is edited more rarely is linked."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.settings import ClosedForm, HoursForm, SettingsForm
from shop.models import OpeningHours, Shop
from shop.permissions import OWNER, roles_required
from shop.selectors.hours import closed_days_from, opening_rows
from shop.selectors.shop import shop_today, the_shop
from shop.services.shop import closed_days_add, closed_days_remove, opening_hours_set, shop_save
from shop.views.answers import UNREADABLE, attempt, changed_values, page_with, person_of, posted

# Words, what they lead to in the settings' own site, and what is found there.
ELSEWHERE = (
    ("People", "person", "who works here, their skills, leave and sign-in"),
    ("Skills", "skill", "what an hour is sold for and costs"),
    ("Benches", "bench", "work places and days out of use"),
    ("Steps of a job", "routingstep", "hours of each step, and the parts it waits for"),
    ("Suppliers", "supplier", "who parts come from, and their closed days"),
    ("Suppliers' prices", "offer", "cost, lead time, least quantity"),
    ("Exchange rates", "exchangerate", "for suppliers in another currency"),
    ("Tax places", "taxplace", "which authorities tax a sale"),
    ("Tax authorities", "taxauthority", "their dated rates"),
    ("Country sheets", "countrysheet", "what a place lets a conversion change"),
    ("Sign-ins", "user", "accounts and roles"),
)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def shop_settings(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    form = SettingsForm(posted(request), shop=shop, initial=SettingsForm.shown(shop))
    if request.method == "POST":

        def write(_: dict[str, Any]) -> Shop:
            return shop_save(person=person_of(request), **changed_values(form))

        if attempt(form, write):
            messages.success(request, "The settings are saved. Offered quotes keep what they were offered with.")
            return HttpResponseRedirect(reverse("shop-settings"))
    elsewhere = [(words, reverse(f"admin:{_app(name)}_{name}_changelist"), what) for words, name, what in ELSEWHERE]
    return page_with(request, "settings/shop.html", {"form": form, "elsewhere": elsewhere}, form)


def _app(name: str) -> str:
    return "auth" if name == "user" else "shop"


@require_safe
@roles_required(OWNER)
def opening_hours(request: HttpRequest) -> HttpResponse:
    return _hours_page(request)


@require_POST
@roles_required(OWNER)
def opening_hours_save(request: HttpRequest) -> HttpResponse:
    form = HoursForm(request.POST, shop=the_shop(), hours=opening_rows())

    def write(_: dict[str, Any]) -> tuple[OpeningHours, ...]:
        return opening_hours_set(spans=form.spans(), person=person_of(request))

    if attempt(form, write):
        messages.success(request, "The hours are saved. What is to be expected follows; promises stay.")
        return HttpResponseRedirect(reverse("opening-hours"))
    return _hours_page(request, hours=form)


@require_POST
@roles_required(OWNER)
def closed_days_new(request: HttpRequest) -> HttpResponse:
    form = ClosedForm(request.POST, shop=the_shop())
    added = attempt(form, lambda values: closed_days_add(person=person_of(request), **values))
    if added:
        messages.success(request, f"Closed {added}.")
        return HttpResponseRedirect(reverse("opening-hours"))
    return _hours_page(request, closed=form)


@require_POST
@roles_required(OWNER)
def closed_days_gone(request: HttpRequest) -> HttpResponse:
    """Open again on days named by their first and last."""
    form = ClosedForm({**request.POST.dict(), "reason": "-"}, shop=the_shop())
    if form.is_valid():
        closed_days_remove(first=form.cleaned_data["first"], last=form.cleaned_data["last"], person=person_of(request))
        messages.success(request, "Open again on those days.")
        return HttpResponseRedirect(reverse("opening-hours"))
    return _hours_page(request, closed=form)


def _hours_page(request: HttpRequest, hours: HoursForm | None = None, closed: ClosedForm | None = None) -> HttpResponse:
    shop = the_shop()
    today = shop_today(shop)
    context = {
        "hours": hours or HoursForm(shop=shop, hours=opening_rows()),
        "closed": closed or ClosedForm(shop=shop),
        "days": closed_days_from(today),
    }
    return render(request, "settings/hours.html", context, status=UNREADABLE if hours or closed else 200)
