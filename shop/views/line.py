"""The line, and moving a build in it after seeing whom that moves."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.line import LineFilterForm, PlaceForm, ReasonForm
from shop.models import Build
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.line import move_preview
from shop.selectors.line_list import line_list
from shop.selectors.shop import the_shop
from shop.services import builds as services
from shop.views.answers import attempt, page_or_part, person_of, posted

TOLD = "Shown to the customers whose place changes."


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def line(request: HttpRequest) -> HttpResponse:
    filters = LineFilterForm(request.GET).filters()
    context = {"found": line_list(filters), "filters": filters}
    return page_or_part(request, "line/list.html", "line/_found.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def build_move(request: HttpRequest, public_id: str) -> HttpResponse:
    """Who moves at ?place=; a POST there moves them, with the reason."""
    build = get_object_or_404(Build.objects.select_related("customer"), public_id=public_id)
    shop = the_shop()
    known = request.GET if request.method == "POST" or "place" in request.GET else None
    asked = PlaceForm(known, shop=shop, initial={"place": build.place})
    form = ReasonForm(posted(request), shop=shop, help_text=TOLD)
    place = asked.cleaned_data["place"] if asked.is_valid() else 0
    if request.method == "POST" and place:
        person = person_of(request)
        moved = attempt(form, lambda said: services.build_move(build=build, place=place, person=person, **said))
        if moved is not None:
            messages.success(request, f"{build} has place {place}. Builds with another place now: {len(moved)}.")
            return HttpResponseRedirect(reverse("line"))
    changes = move_preview(build=build, place=place) if place and build.is_open else ()
    context = {"build": build, "asked": asked, "form": form, "place": place, "changes": changes}
    return page_or_part(request, "line/move.html", "line/_move_preview.html", context, asked, form)
