"""Parts of an option: chosen with the fitting ones first, added, exchanged, changed, taken off."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from quoting.parts import KINDS
from shop.models import Component, OptionPart, QuoteOption
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.services.quotes import part_add, part_change, part_exchange, part_remove
from shop.views.answers import is_htmx, person_of
from shop.views.quotes.choosing import choice_of
from shop.views.quotes.drafts import PARTS, NoDraft, act, change, changes_draft, draft_of, option_of
from shop.views.quotes.lines import part_form
from shop.views.quotes.page import counter_page


@require_safe
@roles_required(OWNER, COUNTER)
def part_choose(request: HttpRequest, public_id: str, key: str, kind: str) -> HttpResponse:
    """The catalogue's parts of a kind, fitting ones first; ?instead= names the component they would replace."""
    if kind not in KINDS:
        raise Http404(f"{kind} is no kind of component.")
    try:
        draft = draft_of(public_id)
    except NoDraft as gone:
        return render(request, "quotes/no_draft.html", {"quote": gone.quote}, status=409)
    option_of(draft, key)
    page = counter_page(request.user, draft, key)
    instead = request.GET.get("instead", "")
    context = {"page": page, "choice": choice_of(page, kind, instead)}
    return render(request, "quotes/_choose.html" if is_htmx(request) else "quotes/choose.html", context)


@changes_draft
def part_take(request: HttpRequest, public_id: str, key: str) -> HttpResponse:
    """Put `component` on the option, in the place of `instead` when that is named."""
    draft = draft_of(public_id)
    option = option_of(draft, key)
    component = get_object_or_404(Component, public_id=request.POST.get("component", ""))
    instead = request.POST.get("instead", "")
    part = part_of(option, instead) if instead else None
    person = person_of(request)
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


@changes_draft
def part_set(request: HttpRequest, public_id: str, key: str, component_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    part = part_of(option, component_id)
    form = part_form(part, option, the_shop(), request.POST)

    def write(values: dict[str, Any]) -> None:
        known = {name: value for name, value in values.items() if name == "unit_price" or value is not None}
        part_change(part=part, person=person_of(request), **known)

    return change(request, draft, key, form, write, anchor=f"part-{component_id}")


@changes_draft
def part_take_off(request: HttpRequest, public_id: str, key: str, component_id: str) -> HttpResponse:
    draft = draft_of(public_id)
    option = option_of(draft, key)
    part = part_of(option, component_id)
    return act(request, draft, key, lambda: part_remove(part=part, person=person_of(request)), rebuilt=(PARTS,))


def part_of(option: QuoteOption, component_id: str) -> OptionPart:
    """A line by its component's public id. Raises Http404."""
    rows = OptionPart.objects.select_related("component", "option__version__quote")
    return get_object_or_404(rows, option=option, component__public_id=component_id)
