"""Frame families: listed for the counter, added and changed by the owner."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.donors import BayFormSet, FamilyForm
from shop.models import DonorFamily, Shop
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.families import families_list
from shop.selectors.shop import the_shop
from shop.services.families import family_save
from shop.views.answers import UNREADABLE, attempt, changed_values, person_of, posted


@require_safe
@roles_required(OWNER, COUNTER)
def families(request: HttpRequest) -> HttpResponse:
    return render(request, "donors/families.html", {"found": families_list()})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def family_new(request: HttpRequest) -> HttpResponse:
    return _edit(request, the_shop(), None)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER)
def family(request: HttpRequest, public_id: str) -> HttpResponse:
    return _edit(request, the_shop(), get_object_or_404(DonorFamily, public_id=public_id))


def _edit(request: HttpRequest, shop: Shop, row: DonorFamily | None) -> HttpResponse:
    initial = FamilyForm.shown(row) if row else {}
    known = row.bays.values("name", "length_mm", "width_mm", "height_mm", "x_m") if row else ()
    form = FamilyForm(posted(request), shop=shop, initial=initial)
    bays = BayFormSet(posted(request), initial=list(known), prefix="bays", form_kwargs={"shop": shop})
    if request.method == "POST" and bays.is_valid():

        def write(_: dict[str, Any]) -> DonorFamily:
            return family_save(person=person_of(request), family=row, bays=bays.bays(), **changed_values(form))

        saved = attempt(form, write)
        if saved:
            messages.success(request, f"{saved} is saved.")
            return HttpResponseRedirect(reverse("families"))
    wrong = form.is_bound and bool(form.errors or not bays.is_valid())
    context = {"form": form, "bays": bays, "family": row}
    return render(request, "donors/family.html", context, status=UNREADABLE if wrong else 200)
