"""Another order on the benches: seen first, then entered with a reason."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.forms.bench_order import OrderForm
from shop.forms.bench_plan import BenchPlanFilterForm
from shop.forms.line import ReasonForm
from shop.models import StepTurn
from shop.permissions import BUILDER, OWNER, roles_required
from shop.selectors.bench_order import order_preview, step_of, turn_back
from shop.selectors.replans import replan_page
from shop.selectors.shop import the_shop
from shop.services.bench_order import turn_give_back, turn_take
from shop.services.replan_follow import replan_follow
from shop.views.answers import attempt, found_or_404, page_with, person_of, posted

TOLD = "The log of both builds keeps it."


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, BUILDER)
def bench_order(request: HttpRequest) -> HttpResponse:
    """What ?step= before ?before= moves; a POST there enters it, with the reason."""
    if not {"step", "before"} & set(request.GET):
        return HttpResponseRedirect(reverse("bench-plan"))
    first = found_or_404(lambda: step_of(request.GET.get("step", "")))
    then = found_or_404(lambda: step_of(request.GET.get("before", "")))
    if first.pk == then.pk:
        raise Http404("one step only")
    found = order_preview(first=first, then=then)
    form = OrderForm(posted(request), shop=the_shop(), help_text=TOLD, initial={"revision": found.revision})

    def write(values: dict[str, Any]) -> bool:
        turn_take(first=first, then=then, person=person_of(request), **values)
        return True

    if request.method == "POST" and attempt(form, write):
        messages.success(request, f"{first.label} of {first.build} is done before {then.label} of {then.build}.")
        return HttpResponseRedirect(_back(request))
    context = {"found": found, "form": form, "back": _back(request), "query": request.GET.urlencode()}
    return page_with(request, "bench_plan/order.html", context, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, BUILDER)
def turn_return(request: HttpRequest, turn_id: str) -> HttpResponse:
    """What giving a turn back moves; a POST gives it back."""
    turn = get_object_or_404(StepTurn.objects.select_related("first__build", "then__build"), public_id=turn_id)
    found = turn_back(turn)
    form = OrderForm(posted(request), shop=the_shop(), help_text=TOLD, initial={"revision": found.revision})

    def write(values: dict[str, Any]) -> bool:
        turn_give_back(turn=turn, person=person_of(request), **values)
        return True

    if request.method == "POST" and attempt(form, write):
        messages.success(request, "The two steps follow the order of the line again.")
        return HttpResponseRedirect(_back(request))
    context = {"found": found, "form": form, "back": _back(request), "query": request.GET.urlencode()}
    return page_with(request, "bench_plan/turn_back.html", context, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def replan_look(request: HttpRequest, public_id: str) -> HttpResponse:
    """What a re-plan moves; a POST follows it."""
    found = found_or_404(lambda: replan_page(public_id))
    form = ReasonForm(posted(request), shop=the_shop(), help_text="The log of every build it concerns keeps it.")

    def write(values: dict[str, Any]) -> bool:
        replan_follow(replan=found.replan, person=person_of(request), **values)
        return True

    if request.method == "POST" and attempt(form, write):
        messages.success(request, "The benches follow the re-plan. Promised dates stay as they are.")
        return HttpResponseRedirect(reverse("bench-plan"))
    context = {"found": found, "form": form, "query": "", "back": reverse("bench-plan")}
    return page_with(request, "bench_plan/replan.html", context, form)


def _back(request: HttpRequest) -> str:
    """The bench plan as it was looked at."""
    seen = BenchPlanFilterForm(request.GET).filters()
    first = f"&first={seen.first:%Y-%m-%d}" if seen.first else ""
    return f"{reverse('bench-plan')}?by={seen.by}&span={seen.span}{first}"
