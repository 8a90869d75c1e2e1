"""Options: added, copied, named, removed; their pack; what is put on and taken off their price."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from shop.forms.quotes import LabelForm, PackForm, PriceForm
from shop.models import QuoteOption
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.quotes import (
    option_add,
    option_change,
    option_copy,
    option_remove,
    option_set_allowance,
    option_set_discount,
    pack_plan_set,
)
from shop.views.answers import person_of
from shop.views.quotes.drafts import PARTS, change, changes_draft, draft_of, option_of, quote_address
from shop.views.quotes.page import discount_limit


@changes_draft
def option_new(request: HttpRequest, public_id: str) -> HttpResponse:
    """One more option: blank, or a copy of the one named in `copy`. Its own address shows it."""
    draft = draft_of(public_id)
    copied = request.POST.get("copy", "")
    source = option_of(draft, copied) if copied else None
    person = person_of(request)
    try:
        made: QuoteOption = (
            option_copy(option=source, person=person) if source else option_add(version=draft, person=person)
        )
    except Refused as refusal:
        messages.error(request, refusal.message)
        return HttpResponseRedirect(quote_address(draft.quote, copied))
    return HttpResponseRedirect(quote_address(draft.quote, made.key))


@changes_draft
def option_take_off(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    draft = draft_of(public_id)
    try:
        option_remove(option=option_of(draft, key), person=person_of(request))
    except Refused as refusal:
        messages.error(request, refusal.message)
        return HttpResponseRedirect(quote_address(draft.quote, key))
    messages.success(request, f"Option {key} is removed.")
    return HttpResponseRedirect(quote_address(draft.quote))


@changes_draft
def option_label(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    form = LabelForm(request.POST, shop=the_shop(), prefix="label")

    def write(values: dict[str, Any]) -> None:
        option_change(option=option, person=person_of(request), label=values["label"])

    return change(request, draft, key, form, write)


@changes_draft
def option_pack(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    donor = draft.quote.donor
    bays = [bay.name for bay in donor.family.bays.all()] if donor else []
    form = PackForm(request.POST, shop=the_shop(), prefix="pack", bays=bays)
    counted = bool(option.series)

    def write(values: dict[str, Any]) -> None:
        pack_plan_set(option=option, person=person_of(request), **values)

    # Whether cells are counted by the plan decides what their line looks like.
    rebuilt = (PARTS,) if counted != bool(request.POST.get("pack-series")) else ()
    return change(request, draft, key, form, write, rebuilt=rebuilt, anchor="pack")


@changes_draft
def option_price(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    person = person_of(request)
    shop = the_shop()
    form = PriceForm(request.POST, shop=shop, prefix="price", limit=discount_limit(person, shop))

    @transaction.atomic
    def write(values: dict[str, Any]) -> None:
        contingency = {name: values[name] for name in ("contingency_rate", "contingency_in_labor")}
        if contingency != {name: getattr(option, name) for name in contingency}:
            option_change(option=option, person=person, **contingency)
        discount = {name: values[f"discount_{name}"] for name in ("rate", "amount", "reason")}
        if discount != {name: getattr(option, f"discount_{name}") for name in discount}:
            option_set_discount(option=option, person=person, **discount)
        allowance = {name: values[f"allowance_{name}"] for name in ("amount", "label")}
        if allowance != {name: getattr(option, f"allowance_{name}") for name in allowance}:
            option_set_allowance(option=option, person=person, **allowance)

    return change(request, draft, key, form, write, anchor="price-terms")
