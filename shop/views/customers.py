"""Customers: listed, one with all that happened, added and changed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.customers import CustomerForm
from shop.forms.lists import FilterForm
from shop.models import Customer
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.customers import customer_record, customers_list
from shop.selectors.shop import the_shop
from shop.services.customers import customer_save
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
def customers(request: HttpRequest) -> HttpResponse:
    asked = FilterForm(request.GET).read()
    context = {
        "found": customers_list(asked["q"], asked["page"]),
        "text": asked["q"],
        "address": list_address(request),
    }
    return page_or_part(request, "customers/list.html", "customers/_found.html", context)


@require_safe
@roles_required(OWNER, COUNTER)
def customer(request: HttpRequest, public_id: str) -> HttpResponse:
    record = found_or_404(lambda: customer_record(public_id))
    return render(request, "customers/page.html", {"record": record, "customer": record.customer})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def customer_new(request: HttpRequest) -> HttpResponse:
    form = CustomerForm(posted(request), shop=the_shop())
    if request.method == "POST":
        saved = attempt(form, lambda values: customer_save(person=person_of(request), **values))
        if saved:
            messages.success(request, f"{saved.name} is added.")
            return HttpResponseRedirect(reverse("customer", args=[saved.public_id]))
    return page_with(request, "customers/edit.html", {"form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def customer_edit(request: HttpRequest, public_id: str) -> HttpResponse:
    row = get_object_or_404(Customer, public_id=public_id)
    initial = {name: getattr(row, name) for name in CustomerForm.base_fields}
    form = CustomerForm(posted(request), shop=the_shop(), initial=initial)
    if request.method == "POST":
        saved = attempt(form, lambda _: customer_save(person=person_of(request), customer=row, **changed_values(form)))
        if saved:
            messages.success(request, f"{saved.name} is saved.")
            return HttpResponseRedirect(reverse("customer", args=[public_id]))
    return page_with(request, "customers/edit.html", {"form": form, "customer": row}, form)
