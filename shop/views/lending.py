"""Hand a unit kept for one build to another, after seeing which promises move."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.forms.lending import LendAskedForm, LendForm
from shop.models import Lending, PartNeed
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.lending import borrowers, lending_preview
from shop.selectors.shop import the_shop
from shop.selectors.stock import need_rows
from shop.services.lending import part_lend
from shop.views.answers import attempt, page_or_part, person_of, posted

ASKED = ("borrower", "quantity")


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def need_lend(request: HttpRequest, public_id: str, component_id: str) -> HttpResponse:
    """Who moves for ?borrower=&quantity=; a POST there hands it over."""
    rows = PartNeed.objects.select_related("build__customer", "component")
    need = get_object_or_404(rows, build__public_id=public_id, component__public_id=component_id)
    shop, own = the_shop(), need_rows([need])
    known = request.GET if request.method == "POST" or set(ASKED) & set(request.GET) else None
    start = {"quantity": 1}
    asked = LendAskedForm(known, shop=shop, rows=borrowers(need), initial=start)
    form = LendForm(posted(request), shop=shop)
    chosen = asked.cleaned_data if asked.is_valid() else None
    preview = lending_preview(need, chosen["borrower"], chosen["quantity"]) if chosen else None
    if request.method == "POST" and chosen:

        def write(values: dict[str, Any]) -> Lending:
            return part_lend(lender=need, person=person_of(request), **chosen, **values)

        lent = attempt(form, write)
        if lent:
            messages.success(request, f"{need.component.name} is kept for {lent.borrower.build} now.")
            return HttpResponseRedirect(reverse("build", args=[public_id]))
    context = {
        "need": need, "build": need.build, "row": own[0] if own else None, "asked": asked, "form": form,
        "preview": preview, "query": request.GET.urlencode(),
    }  # fmt: skip
    return page_or_part(request, "builds/lend.html", "builds/_lend_preview.html", context, asked, form)
