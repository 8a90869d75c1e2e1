"""Which parts may stand in for one, and one put in another's place on a build."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from quoting.errors import RequestError
from shop.forms.substitutes import SubstituteForm, SwapForm
from shop.models import Component, PartNeed, Substitute
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.selectors.substitutes import StandIn, stand_ins
from shop.services.substitutes import part_swap, substitute_add, substitute_remove
from shop.views.answers import attempt, page_with, person_of, posted


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def stock_stand_ins(request: HttpRequest, public_id: str) -> HttpResponse:
    component = get_object_or_404(Component, public_id=public_id)
    form, person = SubstituteForm(posted(request), shop=the_shop(), component=component), person_of(request)
    if request.method == "POST":
        pair = attempt(form, lambda values: substitute_add(component=component, person=person, **values))
        if pair:
            messages.success(request, f"{pair.stand_in.name} may stand in where the rules find nothing against it.")
            return HttpResponseRedirect(reverse("stock-stand-ins", args=[public_id]))
    pairs = Substitute.objects.filter(component=component).select_related("stand_in")
    context = {"component": component, "pairs": pairs, "form": form}
    return page_with(request, "stores/stand_ins.html", context, form)


@require_POST
@roles_required(OWNER, COUNTER)
def stock_stand_in_away(request: HttpRequest, public_id: str, stand_in_id: str) -> HttpResponse:
    component = get_object_or_404(Component, public_id=public_id)
    stand_in = get_object_or_404(Component, public_id=stand_in_id)
    substitute_remove(component=component, stand_in=stand_in, person=person_of(request))
    return HttpResponseRedirect(reverse("stock-stand-ins", args=[public_id]))


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def need_swap(request: HttpRequest, public_id: str, component_id: str) -> HttpResponse:
    """What may take the part's place on this build, with what the rules say; a POST puts it there."""
    rows = PartNeed.objects.select_related("build__version", "component", "instead_of")
    need = get_object_or_404(rows, build__public_id=public_id, component__public_id=component_id)
    found, unreadable = _found(need)
    form = SwapForm(posted(request), shop=the_shop(), rows=found, help_text="The log keeps it.")

    def write(values: dict[str, Any]) -> PartNeed:
        return part_swap(need=need, person=person_of(request), **values)

    if request.method == "POST":
        swapped = attempt(form, write)
        if swapped:
            messages.success(request, f"{need.build} takes {swapped.component.name}.")
            return HttpResponseRedirect(reverse("build", args=[public_id]))
    context = {"need": need, "build": need.build, "found": found, "unreadable": unreadable, "form": form}
    return page_with(request, "builds/swap.html", context, form)


def _found(need: PartNeed) -> tuple[tuple[StandIn, ...], str]:
    try:
        return stand_ins(need), ""
    except RequestError as error:
        return (), str(error)
