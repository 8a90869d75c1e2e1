"""Is a claim possible: what an advertisement or a customer says of a bike, held against arithmetic."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from quoting import RequestError
from quoting.claims import ClaimCheck, check_claim
from shop.forms.trips import ClaimForm, take_problems
from shop.models import Shop
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.views.answers import page_or_part


@require_safe
@roles_required(OWNER, COUNTER)
def claims(request: HttpRequest) -> HttpResponse:
    shop = the_shop()
    asked = any(name in ClaimForm.base_fields for name in request.GET)
    form = ClaimForm(request.GET if asked else None, shop=shop)
    context = {"form": form, "found": _found(form, shop) if asked else None}
    return page_or_part(request, "claims/page.html", "claims/_found.html", context, form)


def _found(form: ClaimForm, shop: Shop) -> ClaimCheck | None:
    """The verdict; None with the words in the form when a figure cannot be."""
    if not form.is_valid():
        return None
    try:
        return check_claim(form.claim(), shop.units)
    except RequestError as error:
        take_problems(form, error)
        return None
