"""One build: looked at, promised anew, put on hold and released, declared ready."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.documents.scan import scan_code
from shop.forms.base import ShopForm
from shop.forms.builds import PressForm, PromiseForm
from shop.forms.line import ReasonForm
from shop.models import Build, StepState
from shop.permissions import BUILDER, COUNTER, OWNER, roles_of, roles_required
from shop.selectors.bench import hands, person_behind
from shop.selectors.builds import build_page
from shop.selectors.change_page import changes_of_build
from shop.selectors.shop import the_shop
from shop.services.build_states import build_mark_ready
from shop.services.builds import build_hold, build_promise_change, build_release
from shop.views.answers import IN_THE_WAY, attempt, found_or_404, page_with, person_of, posted
from shop.views.steps import acts_of

DESK = frozenset({OWNER, COUNTER})


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def build(request: HttpRequest, public_id: str) -> HttpResponse:
    return render(request, "builds/page.html", build_context(request, public_id))


def build_context(request: HttpRequest, public_id: str, refused: ShopForm | None = None) -> dict[str, Any]:
    """Everything the page shows; builders see neither money nor how to reach the customer."""
    desk = bool(roles_of(request.user) & DESK)
    page = found_or_404(lambda: build_page(public_id, with_money=desk))
    me = person_behind(person_of(request))
    return {
        "page": page,
        "build": page.build,
        "acts": acts_of(page.steps, hands(), me, the_shop(), refused),
        "steps_done": sum(row.step.state == StepState.DONE for row in page.steps),
        "all_done": all(row.step.state == StepState.DONE for row in page.steps),
        "desk": desk,
        "changes": changes_of_build(page.build) if desk else (),
        "code": scan_code(page.build.link_token, f"build {page.build}") if desk else None,
    }


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def build_promise(request: HttpRequest, public_id: str) -> HttpResponse:
    """Another window, offered as what is to be expected now."""
    page = found_or_404(lambda: build_page(public_id, with_money=False))
    row = page.row
    initial = {"finish_from": row.finish_from, "finish_to": row.finish_to}
    form = PromiseForm(posted(request), shop=the_shop(), initial=initial, help_text="The customer is shown this.")
    if request.method == "POST":
        person = person_of(request)
        entry = attempt(form, lambda values: build_promise_change(build=page.build, person=person, **values))
        if entry:
            messages.success(request, f"{page.build} has a new promise. Tell {page.build.customer.name}.")
            return HttpResponseRedirect(reverse("build", args=[public_id]))
    return page_with(request, "builds/promise.html", {"page": page, "build": page.build, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def build_hold_on(request: HttpRequest, public_id: str) -> HttpResponse:
    row = get_object_or_404(Build.objects.select_related("customer"), public_id=public_id)
    form = ReasonForm(posted(request), shop=the_shop(), help_text="The title, money, the customer. The log keeps it.")
    if request.method == "POST":
        held = attempt(form, lambda values: build_hold(build=row, person=person_of(request), **values))
        if held:
            messages.success(request, f"{row} is on hold. The builds behind it are planned without it.")
            return HttpResponseRedirect(reverse("build", args=[public_id]))
    return page_with(request, "builds/hold.html", {"build": row, "form": form}, form)


@require_POST
@roles_required(OWNER, COUNTER)
def build_release_now(request: HttpRequest, public_id: str) -> HttpResponse:
    row = get_object_or_404(Build, public_id=public_id)
    return _pressed(request, row, lambda _: build_release(build=row, person=person_of(request)), "is planned again.")


@require_POST
@roles_required(OWNER, COUNTER, BUILDER)
def build_ready(request: HttpRequest, public_id: str) -> HttpResponse:
    row = get_object_or_404(Build, public_id=public_id)
    return _pressed(request, row, lambda _: build_mark_ready(build=row, person=person_of(request)), "is ready.")


def _pressed(request: HttpRequest, row: Build, write: Any, said: str) -> HttpResponse:
    """A press on the page: done and told, or the page again with the reason why not."""
    form = PressForm(request.POST, shop=the_shop())
    if attempt(form, write):
        messages.success(request, f"{row} {said}")
        return HttpResponseRedirect(reverse("build", args=[row.public_id]))
    context = {**build_context(request, row.public_id), "refusal": form.non_field_errors}
    return render(request, "builds/page.html", context, status=IN_THE_WAY)
