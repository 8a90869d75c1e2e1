"""The catalogue: listed, one component, added and changed, and what suppliers ask for it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quoting.guide import kinds_guide
from quoting.parts import KINDS
from shop.forms.catalogue import SHOWN, CatalogueFilterForm, ComponentForm, OfferForm
from shop.models import Component, Offer
from shop.permissions import BUILDER, COUNTER, OWNER, roles_of, roles_required
from shop.selectors.catalogue import component_page, component_rows
from shop.selectors.shop import shop_today, the_shop
from shop.services.catalogue import component_save, offer_remove, offer_save
from shop.views.answers import attempt, found_or_404, list_address, page_or_part, page_with, person_of, posted


def sees_money(request: HttpRequest) -> bool:
    """Builders see what a part is, not what it costs."""
    return bool(roles_of(request.user) & {OWNER, COUNTER})


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def catalogue(request: HttpRequest) -> HttpResponse:
    form = CatalogueFilterForm(request.GET)
    filters = form.filters()
    context = {
        "found": component_rows(filters),
        "filters": filters,
        "kinds": KINDS.values(),
        "shown": SHOWN,
        "money": sees_money(request),
        "address": list_address(request),
    }
    return page_or_part(request, "catalogue/list.html", "catalogue/_found.html", context)


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def component(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: component_page(public_id))
    context = {"page": page, "component": page.component, "money": sees_money(request)}
    return render(request, "catalogue/page.html", context)


@require_safe
@roles_required(OWNER, COUNTER)
def component_kinds(request: HttpRequest) -> HttpResponse:
    """Which kind the new component is: the kind decides its form."""
    return render(request, "catalogue/kinds.html", {"kinds": kinds_guide()})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def component_new(request: HttpRequest, kind: str) -> HttpResponse:
    if kind not in KINDS:
        raise Http404("No kind of component is called so.")
    form = ComponentForm(posted(request), shop=the_shop(), kind=kind)
    return _save(request, form, None)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def component_edit(request: HttpRequest, public_id: str) -> HttpResponse:
    row = get_object_or_404(Component, public_id=public_id)
    form = ComponentForm(posted(request), shop=the_shop(), kind=row.kind, component=row)
    return _save(request, form, row)


def _save(request: HttpRequest, form: ComponentForm, row: Component | None) -> HttpResponse:
    def write(_: dict[str, Any]) -> Component:
        return component_save(person=person_of(request), component=row, kind=form.kind, **form.values())

    saved = attempt(form, write) if request.method == "POST" else None
    if saved:
        messages.success(request, f"{saved.name} is saved.")
        return HttpResponseRedirect(reverse("component", args=[saved.public_id]))
    return page_with(request, "catalogue/edit.html", {"form": form, "component": row, "kind": KINDS[form.kind]}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def offer_new(request: HttpRequest, public_id: str) -> HttpResponse:
    return _offer(request, get_object_or_404(Component, public_id=public_id), None)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def offer_edit(request: HttpRequest, public_id: str, supplier_id: str) -> HttpResponse:
    row = get_object_or_404(Component, public_id=public_id)
    offers = row.offers.select_related("supplier")
    return _offer(request, row, get_object_or_404(offers, supplier__public_id=supplier_id))


def _offer(request: HttpRequest, row: Component, offer: Offer | None) -> HttpResponse:
    shop = the_shop()
    form = OfferForm(posted(request), shop=shop, offer=offer, today=shop_today(shop))

    def write(values: dict[str, Any]) -> Offer:
        return offer_save(person=person_of(request), component=row, **values)

    saved = attempt(form, write) if request.method == "POST" else None
    if saved:
        messages.success(request, f"{saved.supplier}'s price for {row.name} is saved.")
        return HttpResponseRedirect(reverse("component", args=[row.public_id]))
    return page_with(request, "catalogue/offer.html", {"form": form, "component": row, "offer": offer}, form)


@require_POST
@roles_required(OWNER, COUNTER)
def offer_take_away(request: HttpRequest, public_id: str, supplier_id: str) -> HttpResponse:
    row = get_object_or_404(Component, public_id=public_id)
    offer = row.offers.filter(supplier__public_id=supplier_id).first()
    if offer is not None:
        offer_remove(offer=offer, person=person_of(request))
        messages.success(request, f"{offer.supplier} is no longer entered as selling {row.name}.")
    return HttpResponseRedirect(reverse("component", args=[row.public_id]))
