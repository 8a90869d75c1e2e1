"""Findings acted on: a way out taken with one press, a check decided with its reason, a decision taken back."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from quoting.parts import KINDS
from shop.forms.quotes import DecisionForm
from shop.models import Component, OptionPart, QuoteOption
from shop.selectors.shop import the_shop
from shop.services.quotes import decision_withdraw, decision_write, pack_plan_set, part_add, part_exchange
from shop.views.answers import person_of
from shop.views.quotes.drafts import PACK, PARTS, act, change, changes_draft, draft_of, option_of
from shop.views.quotes.findings import decision_prefix

COUNTS = ("series", "parallel")
# Several lines of a kind are told apart by what they are for.
TOLD_APART = ("circuit", "end", "purpose")


@changes_draft
def way_out_take(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    """Exchange the part, or set the count, that a finding named."""
    draft = draft_of(public_id)
    option = option_of(draft, key)
    person = person_of(request)
    field, value = request.POST.get("field", ""), request.POST.get("value", "")
    if field in COUNTS and value.isascii() and value.isdigit():
        plan = {name: getattr(option, name) for name in COUNTS} | {field: int(value)}
        return act(
            request, draft, key, lambda: pack_plan_set(option=option, person=person, **plan), rebuilt=(PACK, PARTS)
        )
    component = get_object_or_404(Component, code=request.POST.get("code", ""))
    part = replaced_by(option, component)
    return act(
        request,
        draft,
        key,
        lambda: (
            part_exchange(part=part, component=component, person=person)
            if part
            else part_add(option=option, component=component, person=person)
        ),
        rebuilt=(PARTS,),
    )


def replaced_by(option: QuoteOption, component: Component) -> OptionPart | None:
    """The line a component would take the place of: of its kind, and for the same purpose where there are several."""
    rows = option.parts.select_related("component", "option__version__quote")
    lines = list(rows.filter(component__kind=component.kind))
    same = [
        line for line in lines if all(line.component.spec.get(name) == component.spec.get(name) for name in TOLD_APART)
    ]
    return next(iter(same if KINDS[component.kind].several else lines), None)


@changes_draft
def check_decide(request: HttpRequest, public_id: str, key: str, rule: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    form = DecisionForm(request.POST, shop=the_shop(), prefix=decision_prefix(rule))

    def write(values: dict[str, Any]) -> None:
        decision_write(option=option, rule=rule, reason=values["reason"], person=person_of(request))

    return change(request, draft, key, form, write, anchor="findings")


@changes_draft
def check_reopen(request: HttpRequest, public_id: str, key: str, rule: str) -> HttpResponse:
    draft = draft_of(public_id)
    decision = option_of(draft, key).decisions.select_related("option__version__quote").filter(rule=rule).first()
    if decision is None:
        raise Http404(f"{rule} has no decision.")
    return act(request, draft, key, lambda: decision_withdraw(decision=decision, person=person_of(request)))
