"""What the customer wants, what kind of job it is, where it is taxed, and the note on the quote."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.http import HttpRequest, HttpResponse

from shop.forms.quotes import NoteForm, SaleForm, WishesForm
from shop.selectors.shop import the_shop
from shop.services.quotes import quote_set_job, quote_set_note, quote_set_tax_place, quote_set_wishes
from shop.views.answers import changed_values, person_of
from shop.views.quotes.drafts import HOURS, change, changes_draft, draft_of
from shop.views.quotes.page import values_of


@changes_draft
def quote_wishes(request: HttpRequest, public_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    form = WishesForm(request.POST, shop=the_shop(), prefix="wishes", initial=values_of(draft, WishesForm))

    def write(_: dict[str, Any]) -> None:
        if changed := changed_values(form):
            quote_set_wishes(version=draft, person=person_of(request), **changed)

    return change(request, draft, request.POST.get("option", ""), form, write, anchor="wishes")


@changes_draft
def quote_sale(request: HttpRequest, public_id: str) -> HttpResponse:
    """Kind of job and tax place together; only what differs is written."""
    draft = draft_of(public_id)
    data = request.POST.copy()
    data.setdefault("sale-job", draft.quote.job)  # the field is not drawn once the quote has been offered
    form = SaleForm(data, shop=the_shop(), prefix="sale")
    person = person_of(request)

    @transaction.atomic
    def write(values: dict[str, Any]) -> None:
        if values["job"] != draft.quote.job:
            quote_set_job(quote=draft.quote, job=values["job"], person=person)
        if values["tax_place"] != draft.tax_place:
            quote_set_tax_place(version=draft, tax_place=values["tax_place"], person=person)

    return change(request, draft, request.POST.get("option", ""), form, write, rebuilt=(HOURS,), anchor="sale")


@changes_draft
def quote_note(request: HttpRequest, public_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    form = NoteForm(request.POST, shop=the_shop(), prefix="note")

    def write(values: dict[str, Any]) -> None:
        quote_set_note(version=draft, note=values["note"], person=person_of(request))

    return change(request, draft, request.POST.get("option", ""), form, write, anchor="note")
