"""Suppliers: listed; one with its offers, measured lead times and closed weeks; and when to order again."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop import written
from shop.forms.suppliers import BreaksForm, ClosureForm, LeastForm
from shop.models import Component, Offer
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.reorder import SERVICES, reorder_rows
from shop.selectors.shop import the_shop
from shop.selectors.suppliers import supplier_page, supplier_rows
from shop.services.suppliers import closure_add, closure_remove, least_set, offer_breaks_set
from shop.views.answers import UNREADABLE, attempt, found_or_404, page_with, person_of, posted

USUAL_SERVICE = 95  # of 100 times there is enough (our own choice)


@require_safe
@roles_required(OWNER, COUNTER)
def suppliers(request: HttpRequest) -> HttpResponse:
    return render(request, "suppliers/list.html", {"rows": supplier_rows()})


@require_safe
@roles_required(OWNER, COUNTER)
def supplier(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: supplier_page(public_id))
    form = ClosureForm(shop=the_shop())
    return render(request, "suppliers/page.html", {"page": page, "supplier": page.supplier, "form": form})


@require_POST
@roles_required(OWNER, COUNTER)
def supplier_closed(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: supplier_page(public_id))
    form, person = ClosureForm(request.POST, shop=the_shop()), person_of(request)
    if attempt(form, lambda values: closure_add(supplier=page.supplier, person=person, **values)):
        messages.success(request, f"{page.supplier} ships nothing on these days. Every date that rests on it follows.")
        return HttpResponseRedirect(reverse("supplier", args=[public_id]))
    context = {"page": page, "supplier": page.supplier, "form": form}
    return render(request, "suppliers/page.html", context, status=UNREADABLE)


@require_POST
@roles_required(OWNER, COUNTER)
def supplier_open(request: HttpRequest, public_id: str) -> HttpResponse:
    """Closed days taken back."""
    page = found_or_404(lambda: supplier_page(public_id))
    form = ClosureForm(request.POST, shop=the_shop())
    if form.is_valid():
        closure_remove(supplier=page.supplier, person=person_of(request), **form.cleaned_data)
        return HttpResponseRedirect(reverse("supplier", args=[public_id]))
    context = {"page": page, "supplier": page.supplier, "form": form}
    return render(request, "suppliers/page.html", context, status=UNREADABLE)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def offer_breaks(request: HttpRequest, public_id: str, component_id: str) -> HttpResponse:
    rows = Offer.objects.select_related("supplier", "component").prefetch_related("breaks")
    offer = get_object_or_404(rows, supplier__public_id=public_id, component__public_id=component_id)
    shop, person = the_shop(), person_of(request)
    lines = [
        f"{written.quantity(row.from_quantity, shop.locale)}: {written.quantity(row.unit_cost, shop.locale, 4)}"
        for row in offer.breaks.all()
    ]
    form = BreaksForm(posted(request), shop=shop, initial={"breaks": "\n".join(lines)})

    def write(values: dict[str, Any]) -> bool:
        offer_breaks_set(offer=offer, person=person, **values)
        return True

    if request.method == "POST" and attempt(form, write):
        messages.success(request, f"{offer.component.name}: the price breaks are entered.")
        return HttpResponseRedirect(reverse("supplier", args=[public_id]))
    return page_with(request, "suppliers/breaks.html", {"offer": offer, "supplier": offer.supplier, "form": form}, form)


@require_safe
@roles_required(OWNER, COUNTER)
def stock_reorder(request: HttpRequest) -> HttpResponse:
    """?service= of 100 times there is enough until the next delivery."""
    asked = request.GET.get("service", "")
    service = int(asked) if asked in {str(each) for each in SERVICES} else USUAL_SERVICE
    context = {"rows": reorder_rows(service), "service": service, "services": SERVICES}
    return render(request, "stores/reorder.html", context)


@require_POST
@roles_required(OWNER, COUNTER)
def stock_least(request: HttpRequest, public_id: str) -> HttpResponse:
    """Take a suggested least stock over."""
    component = get_object_or_404(Component, public_id=public_id)
    form, person = LeastForm(request.POST, shop=the_shop()), person_of(request)
    if attempt(form, lambda values: least_set(component=component, person=person, reason="reorder point", **values)):
        messages.success(request, f"{component.name}: least stock set.")
        return HttpResponseRedirect(reverse("stock-reorder"))
    context = {"rows": reorder_rows(USUAL_SERVICE), "service": USUAL_SERVICE, "services": SERVICES, "wrong": form}
    return render(request, "stores/reorder.html", context, status=UNREADABLE)
