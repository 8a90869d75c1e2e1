"""Customers: listed, one with all that happened, added and changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.base import ShopForm
from shop.forms.customers import CertificateEndForm, CustomerForm, certificate_form, one_list_for
from shop.forms.lists import FilterForm
from shop.models import Customer, Shop
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.certificates import CertificateRow
from shop.selectors.customers import customer_record, customers_list
from shop.selectors.shop import shop_today, the_shop
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
    return customer_shown(request, public_id)


def customer_shown(request: HttpRequest, public_id: str, wrong: ShopForm | None = None) -> HttpResponse:
    """The page; with a form of a certificate that was sent and is `wrong` in its place."""
    shop = the_shop()
    record = found_or_404(lambda: customer_record(public_id, shop_today(shop)))
    sent = {wrong.prefix: wrong} if wrong else {}
    rows = [_certificate(row, shop, sent) for row in record.certificates]
    new = sent.get("new") or certificate_form(None, shop=shop)
    one_list_for([new, *(row.form for row in rows)])
    context = {
        "record": record,
        "customer": record.customer,
        "certificates": rows,
        "new_certificate": new,
        "new_is_wrong": "new" in sent,
    }
    return page_with(request, "customers/page.html", context, *sent.values())


@dataclass(frozen=True)
class CertificateForms:
    """A certificate with its two forms, and which of them was sent and is wrong."""

    row: CertificateRow
    form: ShopForm
    end: ShopForm
    is_wrong: bool
    end_is_wrong: bool


def _certificate(row: CertificateRow, shop: Shop, sent: Mapping[str | None, ShopForm]) -> CertificateForms:
    one, ends = row.certificate.public_id, f"end-{row.certificate.public_id}"
    last = {"last": shop_today(shop)}
    return CertificateForms(
        row=row,
        form=sent.get(one) or certificate_form(row.certificate, shop=shop),
        end=sent.get(ends) or CertificateEndForm(shop=shop, initial=last, prefix=ends),
        is_wrong=one in sent,
        end_is_wrong=ends in sent,
    )


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
