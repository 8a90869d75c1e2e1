"""Tax places on one page: what each takes today, an address looked up, a holiday entered."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shop.forms.base import ShopForm
from shop.forms.tax import HolidayForm, LookUpForm
from shop.models import QuoteVersion, TaxAuthority
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.tax_lookup import LookUp, tax_lookup
from shop.selectors.tax_page import tax_page
from shop.services.errors import Refused
from shop.services.quotes import quote_set_tax_place
from shop.services.tax_places import tax_holiday_add, tax_place_of
from shop.views.answers import UNREADABLE, attempt, person_of
from shop.views.quotes.drafts import quote_address


@require_safe
@roles_required(OWNER, COUNTER)
def tax(request: HttpRequest) -> HttpResponse:
    """?address= looks an address up."""
    form = LookUpForm(request.GET if "address" in request.GET else None, shop=the_shop())
    found = None
    if form.is_bound and form.is_valid():
        found = tax_lookup(form.cleaned_data["address"], shop_today())
    return _page(request, form, found)


@require_POST
@roles_required(OWNER, COUNTER)
def tax_place_make(request: HttpRequest) -> HttpResponse:
    """The place of the authorities in `code`; with `version` that draft is taxed there."""
    codes, version_id = request.POST.getlist("code"), request.POST.get("version", "")
    version = get_object_or_404(QuoteVersion, public_id=version_id) if version_id else None
    person = person_of(request)
    try:
        place = tax_place_of(codes=codes, person=person)
        if version is not None:
            quote_set_tax_place(version=version, tax_place=place, person=person)
    except Refused as refused:
        messages.error(request, refused.message)
        return HttpResponseRedirect(quote_address(version.quote) if version else reverse("tax"))
    if version is not None:
        return HttpResponseRedirect(quote_address(version.quote, anchor="sale"))
    messages.success(request, f"{place} can be chosen on quotes.")
    return HttpResponseRedirect(reverse("tax"))


@require_POST
@roles_required(OWNER)
def tax_holiday(request: HttpRequest) -> HttpResponse:
    form = HolidayForm(request.POST, shop=the_shop(), prefix="holiday")

    def write(values: dict[str, Any]) -> TaxAuthority:
        return tax_holiday_add(person=person_of(request), **values)

    made = attempt(form, write)
    if made:
        messages.success(request, f"The holiday of {made} is entered. Offered quotes keep their rates.")
        return HttpResponseRedirect(reverse("tax"))
    return _page(request, LookUpForm(shop=the_shop()), None, holiday=form)


def _page(request: HttpRequest, form: ShopForm, found: LookUp | None, holiday: ShopForm | None = None) -> HttpResponse:
    shop = the_shop()
    context = {
        "page": tax_page(shop_today(shop)),
        "form": form,
        "found": found,
        "holiday": holiday or HolidayForm(shop=shop, prefix="holiday"),
    }
    wrong = bool(form.is_bound and form.errors) or holiday is not None
    return render(request, "tax/page.html", context, status=UNREADABLE if wrong else 200)
