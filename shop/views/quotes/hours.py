"""Hours by step, and extra lines."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from shop.forms.quotes import ExtraForm, NewStepForm
from shop.models import OptionExtra, OptionStep, QuoteOption
from shop.selectors.shop import the_shop
from shop.services.quotes import extra_add, extra_remove, step_add, step_change, step_remove
from shop.views.answers import person_of
from shop.views.quotes.drafts import EXTRAS, HOURS, act, change, changes_draft, draft_of, option_of
from shop.views.quotes.lines import step_form


def step_of(option: QuoteOption, code: str) -> OptionStep:
    rows = OptionStep.objects.select_related("skill", "option__version__quote")
    return get_object_or_404(rows, option=option, code=code)


@changes_draft
def step_set(request: HttpRequest, public_id: str, key: str, code: str) -> HttpResponse:
    draft = draft_of(public_id)
    step = step_of(option_of(draft, key), code)
    form = step_form(step, the_shop(), request.POST)

    def write(values: dict[str, Any]) -> None:
        step_change(step=step, person=person_of(request), hours=values["hours"])

    return change(request, draft, key, form, write, anchor=f"step-{code}")


@changes_draft
def step_new(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    """A step of this option alone. One figure of hours is its low, likely and high estimate."""
    draft = draft_of(public_id)
    option = option_of(draft, key)
    form = NewStepForm(request.POST, shop=the_shop(), prefix="new-step")

    def write(values: dict[str, Any]) -> None:
        hours = values.pop("hours") or Decimal(0)
        values["lead_days"] = values["lead_days"] or 0
        step_add(option=option, person=person_of(request), low_h=hours, likely_h=hours, high_h=hours, **values)

    return change(request, draft, key, form, write, rebuilt=(HOURS,), anchor="hours")


@changes_draft
def step_take_off(request: HttpRequest, public_id: str, key: str, code: str) -> HttpResponse:
    draft = draft_of(public_id)
    step = step_of(option_of(draft, key), code)
    return act(request, draft, key, lambda: step_remove(step=step, person=person_of(request)), rebuilt=(HOURS,))


@changes_draft
def extra_new(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    form = ExtraForm(request.POST, shop=the_shop(), prefix="extra")

    def write(values: dict[str, Any]) -> None:
        extra_add(option=option, person=person_of(request), **values)

    return change(request, draft, key, form, write, rebuilt=(EXTRAS,), anchor="extras")


@changes_draft
def extra_take_off(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    """The row comes in the form, not in the address."""
    draft = draft_of(public_id)
    row = request.POST.get("extra", "")
    rows = OptionExtra.objects.select_related("option__version__quote")
    extra = get_object_or_404(rows, option=option_of(draft, key), pk=row if row.isdigit() else 0)
    return act(request, draft, key, lambda: extra_remove(extra=extra, person=person_of(request)), rebuilt=(EXTRAS,))
