"""A build's parts, handed to the bench before their step, and put back onto the shelf."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from shop.forms.builds import PressForm, ReturnForm
from shop.models import PartNeed
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.balances import issued_by_need
from shop.selectors.shop import the_shop
from shop.services.stock_issue import stock_issue, stock_return
from shop.views.answers import IN_THE_WAY, attempt, page_with, person_of, posted
from shop.views.builds import build_context


@require_POST
@roles_required(OWNER, COUNTER, BUILDER)
def need_issue(request: HttpRequest, public_id: str, component_id: str) -> HttpResponse:
    """All that is kept for the build goes to its bench."""
    need = _need(public_id, component_id)
    form = PressForm(request.POST, shop=the_shop())
    if attempt(form, lambda _: stock_issue(need=need, person=person_of(request))):
        messages.success(request, f"{need.component.name} is issued to {need.build}.")
        return HttpResponseRedirect(reverse("build", args=[public_id]))
    context = {**build_context(request, public_id), "refusal": form.non_field_errors}
    return render(request, "builds/page.html", context, status=IN_THE_WAY)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def need_return(request: HttpRequest, public_id: str, component_id: str) -> HttpResponse:
    need = _need(public_id, component_id)
    issued = issued_by_need([need.pk]).get(need.pk, 0)
    form = ReturnForm(posted(request), shop=the_shop(), component=need.component, initial={"quantity": issued})
    person = person_of(request)
    back = attempt(form, lambda values: stock_return(need=need, person=person, **values)) if form.is_bound else None
    if back:
        messages.success(request, f"{need.component.name} is back on the shelf, for whoever is first in line.")
        return HttpResponseRedirect(reverse("build", args=[public_id]))
    context = {"need": need, "build": need.build, "issued": issued, "form": form}
    return page_with(request, "builds/return.html", context, form)


def _need(public_id: str, component_id: str) -> PartNeed:
    rows = PartNeed.objects.select_related("build", "component")
    return get_object_or_404(rows, build__public_id=public_id, component__public_id=component_id)
