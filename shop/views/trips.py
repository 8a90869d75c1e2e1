"""Does a trip go on this bike: from the Counter's draft, or from a version as it was offered."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_safe

from quoting import QuoteRequest, RequestError
from shop.forms.trips import TripForm, take_problems
from shop.models import QuoteVersion
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.quotes import frozen_request
from shop.selectors.requests import quote_request
from shop.selectors.shop import the_shop
from shop.selectors.trips import TripAnswer, TripBike, trip_bikes
from shop.views.answers import page_or_part
from shop.views.quotes.drafts import NoDraft, draft_of


@require_safe
@roles_required(OWNER, COUNTER)
def quote_trip(request: HttpRequest, public_id: str) -> HttpResponse:
    """On a draft; when there is none any more, on the newest version."""
    try:
        draft = draft_of(public_id)
    except NoDraft as gone:
        newest = gone.quote.versions.order_by("-number").values_list("public_id", flat=True)[0]
        return HttpResponseRedirect(f"{reverse('version-trip', args=[newest])}?{request.GET.urlencode()}")
    back = f"{reverse('quote', args=[public_id])}?option="
    return _page(request, draft, quote_request(draft, with_catalogue=False), back)


@require_safe
@roles_required(OWNER, COUNTER)
def version_trip(request: HttpRequest, version_id: str) -> HttpResponse:
    """On a version, with the figures it was frozen with."""
    rows = QuoteVersion.objects.select_related("quote__customer", "quote__donor__family")
    version = get_object_or_404(rows, public_id=version_id)
    worked = frozen_request(version) or quote_request(version, with_catalogue=False)
    return _page(request, version, worked, f"{reverse('quote-version', args=[version_id])}?option=")


def _page(request: HttpRequest, version: QuoteVersion, worked: QuoteRequest, back: str) -> HttpResponse:
    shop = the_shop()
    bikes = trip_bikes(worked)
    bike = bikes.get(request.GET.get("option", "")) or next(iter(bikes.values()), None)
    asked = "distance_km" in request.GET
    form = TripForm(request.GET if asked else None, shop=shop)
    answer = _answer(form, bike) if bike and asked else None
    context = {"version": version, "bikes": bikes, "bike": bike, "form": form, "answer": answer, "back": back}
    return page_or_part(request, "trips/page.html", "trips/_answer.html", context, form)


def _answer(form: TripForm, bike: TripBike) -> TripAnswer | None:
    """The answer; None with the words in the form when it could not be read."""
    if not form.is_valid():
        return None
    try:
        return bike.answer(form.asked())
    except RequestError as error:
        take_problems(form, error)
        return None
