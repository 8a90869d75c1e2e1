"""Serial numbers of a build's units: chosen before they are issued, put right afterwards."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.forms.builds import NumbersForm
from shop.models import PartNeed
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.selectors.stock import need_rows
from shop.selectors.units import units_by_need, units_of
from shop.services.unit_choice import need_units_set
from shop.views.answers import attempt, page_with, person_of, posted


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def need_numbers(request: HttpRequest, public_id: str, component_id: str) -> HttpResponse:
    rows = PartNeed.objects.select_related("build", "component")
    need = get_object_or_404(rows, build__public_id=public_id, component__public_id=component_id)
    if not need.component.numbered:
        raise Http404("It is not kept by serial number.")
    own = units_by_need([need]).get(need.pk, ())
    form = NumbersForm(posted(request), shop=the_shop(), initial={"serials": [unit.serial for unit in own]})
    person = person_of(request)

    def write(values: dict[str, Any]) -> bool:
        need_units_set(need=need, person=person, **values)
        return True

    if request.method == "POST" and attempt(form, write):
        messages.success(request, f"{need.component.name}: the numbers of {need.build} are entered.")
        return HttpResponseRedirect(reverse("build", args=[public_id]))
    here = [unit for unit in units_of(need.component) if unit.place == "shelf" and unit.need_id in (None, need.pk)]
    context = {"need": need, "build": need.build, "row": need_rows([need])[0], "here": here, "form": form}
    return page_with(request, "builds/numbers.html", context, form)
