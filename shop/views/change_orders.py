"""Change orders: begun at a build, edited at the Counter, accepted here."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.changes import AgreementForm, ChangeForm
from shop.models import Build, ChangeOrder
from shop.permissions import COUNTER, OWNER, roles_of, roles_required
from shop.selectors.change_page import NONE, ChangePage, change_page, changes_of_build
from shop.selectors.shop import shop_today, the_shop
from shop.services.change_accept import Agreement, ChangeAccepted, FurtherDeposit, change_accept
from shop.services.change_orders import change_drop, change_start
from shop.services.errors import Refused
from shop.views.answers import IN_THE_WAY, UNREADABLE, attempt, found_or_404, page_with, person_of, posted
from shop.views.quotes.drafts import quote_address


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def change_new(request: HttpRequest, public_id: str) -> HttpResponse:
    """Why, and what was changed before; then on to the Counter."""
    build = get_object_or_404(Build.objects.select_related("customer", "version__quote"), public_id=public_id)
    form = ChangeForm(posted(request), shop=the_shop())
    if request.method == "POST":
        person = person_of(request)
        change = attempt(form, lambda values: change_start(build=build, person=person, **values))
        if change:
            return HttpResponseRedirect(quote_address(change.version.quote))
    context = {"build": build, "form": form, "changes": changes_of_build(build)}
    return page_with(request, "changes/new.html", context, form)


@require_safe
@roles_required(OWNER, COUNTER)
def change(request: HttpRequest, change_id: str) -> HttpResponse:
    page = found_or_404(lambda: change_page(change_id))
    return _shown(request, page, _form(request, page))


@require_POST
@roles_required(OWNER, COUNTER)
def change_agreed(request: HttpRequest, change_id: str) -> HttpResponse:
    """Both agree: the build follows. Pressed twice it is accepted once."""
    page = found_or_404(lambda: change_page(change_id))
    form = _form(request, page)

    def write(values: dict[str, Any]) -> ChangeAccepted:
        deposit = None
        if values["amount"]:
            deposit = FurtherDeposit(
                amount=values["amount"], method=values["method"], key=values["key"], reference=values["reference"]
            )
        return change_accept(
            change=page.change,
            agreement=Agreement(
                by=values["agreed_by"],
                how=values["agreed_how"],
                on=values["agreed_on"],
                other_payer=values["other_payer"],
            ),
            person=person_of(request),
            deposit=deposit,
            allow_less=values.get("allow_less", False),
        )

    done = attempt(form, write)
    if done is None:
        return _shown(request, page, form)
    told = f"{done.build} follows {page.change}."
    messages.success(request, f"{told} Tell {done.build.customer.name} the new window." if done.promise else told)
    if done.entry is not None:
        return HttpResponseRedirect(reverse("deposit-taken", args=[done.entry.public_id]))
    return HttpResponseRedirect(reverse("change", args=[change_id]))


@require_POST
@roles_required(OWNER, COUNTER)
def change_dropped(request: HttpRequest, change_id: str) -> HttpResponse:
    """Throw away a draft."""
    row = get_object_or_404(ChangeOrder.objects.select_related("build"), public_id=change_id)
    try:
        build = change_drop(change=row, person=person_of(request))
    except Refused as refused:
        messages.error(request, refused.message)
        return HttpResponseRedirect(reverse("change", args=[change_id]))
    messages.success(request, f"{row} is dropped. {build} stays as agreed.")
    return HttpResponseRedirect(reverse("build", args=[build.public_id]))


def _form(request: HttpRequest, page: ChangePage) -> AgreementForm:
    asked = page.effect.deposit if page.effect else NONE
    customer = page.build.customer.name
    initial = {"agreed_by": customer, "agreed_on": shop_today(), "amount": asked or None}
    owner = OWNER in roles_of(request.user)
    return AgreementForm(posted(request), shop=the_shop(), owner=owner, asked=asked, initial=initial)


def _shown(request: HttpRequest, page: ChangePage, form: AgreementForm) -> HttpResponse:
    status = 200
    if form.is_bound and form.errors:
        status = UNREADABLE if page.may_accept else IN_THE_WAY
    return render(request, "changes/page.html", {"page": page, "form": form}, status=status)
