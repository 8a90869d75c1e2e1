"""Donor bikes: listed, one with its quotes and builds, added and changed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.donors import DonorForm
from shop.forms.lists import FilterForm
from shop.models import Customer, Donor
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.donors import donor_record, donors_list
from shop.selectors.shop import the_shop
from shop.services.donors import donor_save
from shop.views.answers import (
    attempt,
    changed_values,
    found_or_404,
    list_address,
    page_or_part,
    page_with,
    person_of,
    posted,
)


@require_safe
@roles_required(OWNER, COUNTER)
def donors(request: HttpRequest) -> HttpResponse:
    asked = FilterForm(request.GET).read()
    context = {
        "found": donors_list(asked["q"], asked["page"]),
        "text": asked["q"],
        "address": list_address(request),
    }
    return page_or_part(request, "donors/list.html", "donors/_found.html", context)


@require_safe
@roles_required(OWNER, COUNTER)
def donor(request: HttpRequest, public_id: str) -> HttpResponse:
    record = found_or_404(lambda: donor_record(public_id))
    return render(request, "donors/page.html", {"record": record, "donor": record.donor})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def donor_new(request: HttpRequest) -> HttpResponse:
    """Add a bike; ?owner= says whose it is when it is added from a customer's page."""
    owner = Customer.objects.filter(public_id=request.GET.get("owner", "")).first()
    form = DonorForm(posted(request), shop=the_shop(), initial={"owner": owner})
    if request.method == "POST":
        saved = attempt(form, lambda values: donor_save(person=person_of(request), **values))
        if saved:
            messages.success(request, f"{saved} is added.")
            return HttpResponseRedirect(reverse("donor", args=[saved.public_id]))
    return page_with(request, "donors/edit.html", {"form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def donor_edit(request: HttpRequest, public_id: str) -> HttpResponse:
    row = get_object_or_404(Donor.objects.select_related("family", "owner"), public_id=public_id)
    initial = {name: getattr(row, name) for name in DonorForm.base_fields}
    form = DonorForm(posted(request), shop=the_shop(), initial=initial)
    if request.method == "POST":
        saved = attempt(form, lambda _: donor_save(person=person_of(request), donor=row, **changed_values(form)))
        if saved:
            messages.success(request, f"{saved} is saved.")
            return HttpResponseRedirect(reverse("donor", args=[public_id]))
    return page_with(request, "donors/edit.html", {"form": form, "donor": row}, form)
