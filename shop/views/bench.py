"""Work on steps: one's own bench on a phone, and start, pause, finish there and on the build's page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.base import ShopForm
from shop.forms.bench import FinishForm, PauseForm, ReopenForm, StartForm
from shop.models import Build, BuildStep
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.bench import hands, my_bench, person_behind
from shop.selectors.shop import the_shop
from shop.services.steps import step_finish, step_pause, step_reopen, step_start
from shop.views.answers import UNREADABLE, attempt, is_htmx, page_with, person_of, posted
from shop.views.builds import build_context
from shop.views.steps import BENCH, StepActs, acts_of


@dataclass(frozen=True, kw_only=True)
class BenchCard:
    """A step of one's own as drawn: its build, and what can be pressed."""

    build: Build
    acts: StepActs


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def bench(request: HttpRequest) -> HttpResponse:
    return render(request, "bench/page.html", bench_context(request))


def bench_context(request: HttpRequest, form: ShopForm | None = None) -> dict[str, Any]:
    me = person_behind(person_of(request))
    mine = my_bench(me) if me else None
    own = [*mine.doing, *mine.next] if mine else []
    acts = acts_of([each.row for each in own], hands(), me, the_shop(), form)
    cards = [BenchCard(build=each.build, acts=pressed) for each, pressed in zip(own, acts, strict=True)]
    under_way = len(mine.doing) if mine else 0
    return {"mine": mine, "doing": cards[:under_way], "coming": cards[under_way:]}


@require_POST
@roles_required(OWNER, COUNTER, BUILDER)
def step_begin(request: HttpRequest, step_id: str) -> HttpResponse:
    step = _step(step_id)
    me, person = person_behind(person_of(request)), person_of(request)
    form = StartForm(request.POST, shop=the_shop(), step=step, hands=hands(), me=me)
    done = attempt(form, lambda values: step_start(step=step, person=person, **values))
    return _answer(request, step, form, f"{step.label} is started." if done else "")


@require_POST
@roles_required(OWNER, COUNTER, BUILDER)
def step_end(request: HttpRequest, step_id: str) -> HttpResponse:
    step = _step(step_id)
    form = FinishForm(request.POST, shop=the_shop(), prefix=f"step-{step.public_id}")
    done = attempt(form, lambda values: step_finish(step=step, person=person_of(request), **values))
    return _answer(request, step, form, f"{step.label} is finished." if done else "")


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def step_put_down(request: HttpRequest, step_id: str) -> HttpResponse:
    step = _step(step_id)
    said = f"{step.label} is put down. Its bench is free."
    return _with_reason(request, step, PauseForm, step_pause, said, "bench/pause.html")


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def step_again(request: HttpRequest, step_id: str) -> HttpResponse:
    step = _step(step_id)
    return _with_reason(request, step, ReopenForm, step_reopen, f"{step.label} is to do again.", "bench/reopen.html")


def _with_reason(
    request: HttpRequest,
    step: BuildStep,
    asks: type[ShopForm],
    act: Callable[..., BuildStep],
    said: str,
    template: str,
) -> HttpResponse:
    """A page of its own for what is done to a step with a reason; back from there when it is done."""
    form = asks(posted(request), shop=the_shop())
    if request.method == "POST":
        done = attempt(form, lambda values: act(step=step, person=person_of(request), **values))
        if done:
            messages.success(request, said)
            return HttpResponseRedirect(_address(request, step))
    context = {"step": step, "form": form, "back": _address(request, step)}
    return page_with(request, template, context, form)


def _step(step_id: str) -> BuildStep:
    return get_object_or_404(BuildStep.objects.select_related("build"), public_id=step_id)


def _address(request: HttpRequest, step: BuildStep) -> str:
    """Back to where it was pressed: one's bench, or the build's page."""
    if BENCH in (request.GET.get("at"), request.POST.get("at")):
        return reverse("my-bench")
    return reverse("build", args=[step.build.public_id])


def _answer(request: HttpRequest, step: BuildStep, form: ShopForm, said: str) -> HttpResponse:
    """The page or, for htmx, what stands in it, as it is now; a refusal stands at its step."""
    if said and not is_htmx(request):
        messages.success(request, said)
        return HttpResponseRedirect(_address(request, step))
    refused = None if said else form
    if request.POST.get("at") == BENCH:
        context, folder = bench_context(request, refused), "bench"
    else:
        context, folder = build_context(request, step.build.public_id, refused), "builds"
    template = f"{folder}/_body.html" if is_htmx(request) else f"{folder}/page.html"
    return render(request, template, {**context, "said": said}, status=200 if said else UNREADABLE)
