"""Whose quote it is and which bike: found or added without leaving it; the VIN looked at as it is typed."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from quoting.vin import check_vin
from shop.forms.people import OWN, CustomerForm, DonorForm
from shop.models import Customer, Donor, Quote
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.customers import customers_found
from shop.selectors.donors import donors_found
from shop.selectors.shop import the_shop
from shop.services.customers import customer_save
from shop.services.donors import donor_save
from shop.services.quotes import quote_set_customer, quote_set_donor
from shop.views.answers import person_of
from shop.views.quotes.drafts import CUSTOMER, DONOR, HOURS, PACK, act, change, changes_draft, draft_of

BIKE = (CUSTOMER, DONOR, PACK, HOURS)  # another bike brings its owner, its bays and its family's steps


@require_safe
@roles_required(OWNER, COUNTER)
def customer_find(request: HttpRequest, public_id: str) -> HttpResponse:
    text = request.GET.get("find_customer", "")
    quote = get_object_or_404(Quote, public_id=public_id)
    context = {"customers": customers_found(text), "sought": text, "quote": quote}
    return render(request, "quotes/_customers_found.html", context)


@changes_draft
def customer_choose(request: HttpRequest, public_id: str) -> HttpResponse:
    """Take a customer that is known; an empty choice takes the customer off again."""
    draft = draft_of(public_id)
    chosen = request.POST.get("customer", "")
    customer = get_object_or_404(Customer, public_id=chosen) if chosen else None
    return act(
        request,
        draft,
        request.POST.get("option", ""),
        lambda: quote_set_customer(quote=draft.quote, customer=customer, person=person_of(request)),
        rebuilt=(CUSTOMER,),
    )


@changes_draft
def customer_new(request: HttpRequest, public_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    form = CustomerForm(request.POST, shop=the_shop(), prefix="customer")

    def write(values: dict[str, Any]) -> None:
        customer = customer_save(person=person_of(request), **values)
        quote_set_customer(quote=draft.quote, customer=customer, person=person_of(request))

    return change(request, draft, request.POST.get("option", ""), form, write, rebuilt=(CUSTOMER,))


@require_safe
@roles_required(OWNER, COUNTER)
def donor_find(request: HttpRequest, public_id: str) -> HttpResponse:
    text = request.GET.get("find_donor", "")
    quote = get_object_or_404(Quote, public_id=public_id)
    context = {"donors": donors_found(text), "donor_sought": text, "quote": quote}
    return render(request, "quotes/_donors_found.html", context)


@changes_draft
def donor_choose(request: HttpRequest, public_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    chosen = request.POST.get("donor", "")
    donor = get_object_or_404(Donor, public_id=chosen) if chosen else None
    return act(
        request,
        draft,
        request.POST.get("option", ""),
        lambda: quote_set_donor(quote=draft.quote, donor=donor, person=person_of(request)),
        rebuilt=BIKE,
    )


@changes_draft
def donor_new(request: HttpRequest, public_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    form = DonorForm(request.POST, shop=the_shop(), prefix="donor")

    def write(values: dict[str, Any]) -> None:
        whose = values.pop("whose")
        values |= {name: values[name] or None for name in ("title_seen", "stolen_check_done")}
        owner = draft.quote.customer if whose == OWN else None
        donor = donor_save(person=person_of(request), owner=owner, **values)
        quote_set_donor(quote=draft.quote, donor=donor, person=person_of(request))

    return change(request, draft, request.POST.get("option", ""), form, write, rebuilt=BIKE)


@require_safe
@roles_required(OWNER, COUNTER)
def vin_check(request: HttpRequest) -> HttpResponse:
    """What can be said of a number as typed; fields may come with the prefix of the form they are in."""

    def typed(name: str) -> str:
        return request.GET.get(f"donor-{name}", request.GET.get(name, ""))

    year = typed("year")
    checked = check_vin(
        typed("vin"), year=int(year) if year.isascii() and year.isdigit() else None, market=typed("market") or None
    )
    return render(request, "quotes/_vin.html", {"checked": checked, "typed": typed("vin").strip()})
