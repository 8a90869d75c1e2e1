"""Offering a draft, and what is done with versions that were offered: shown as frozen, revised, declined."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from quoting import QuoteRequest, QuoteResult
from shop.forms.quotes import ReasonForm
from shop.models import QuoteVersion, VersionState
from shop.permissions import COUNTER, OWNER, roles_required
from shop.readings import option_readings
from shop.selectors.quotes import frozen_request, worked_out
from shop.selectors.requests import options_with_lines
from shop.selectors.running import change_of
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.quotes import version_decline, version_offer, version_revise
from shop.views.answers import person_of
from shop.views.quotes.comparing import ComparedGroup, compared
from shop.views.quotes.counter import newest_version, option_asked
from shop.views.quotes.drafts import NoDraft, draft_of, quote_address
from shop.views.quotes.findings import finding_views
from shop.views.quotes.page import CounterPage, counter_page, option_charts


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def quote_offer(request: HttpRequest, public_id: str) -> HttpResponse:
    """What will be frozen and what is still open; a POST offers it."""
    try:
        draft = draft_of(public_id)
    except NoDraft as gone:
        return HttpResponseRedirect(newest_version(gone.quote))
    refusal = ""
    if request.method == "POST":
        try:
            offered = version_offer(version=draft, person=person_of(request))
        except Refused as refused:
            refusal = refused.message
        else:
            messages.success(request, f"{offered} is offered and frozen.")
            change = change_of(offered)
            shown = reverse("change", args=[change.public_id]) if change else None
            return HttpResponseRedirect(shown or reverse("quote-version", args=[offered.public_id]))
    pages = [counter_page(request.user, draft, key) for key in draft.options.values_list("key", flat=True)]
    context = {"draft": draft, "pages": pages, "open": open_points(pages[0]), "refusal": refusal}
    return render(request, "quotes/offer.html", context, status=422 if refusal else 200)


def open_points(page: CounterPage) -> tuple[tuple[str, str], ...]:
    """What the whole quote lacks before it can be offered: words, and the anchor of where to enter it."""
    quote, version = page.quote, page.version
    points = []
    if quote.customer is None:
        points.append(("Choose or add the customer.", "customer"))
    if quote.donor is None and quote.job != "parts_kit":
        points.append(("Choose or add the bike.", "donor"))
    if version.tax_place is None:
        points.append(("Choose where the sale is taxed.", "sale"))
    return tuple(points)


@require_safe
@roles_required(OWNER, COUNTER)
def quote_version(request: HttpRequest, version_id: str) -> HttpResponse:
    """A version as it was offered, from the frozen request and result; a draft is shown at the Counter."""
    version = version_of(version_id)
    frozen = frozen_request(version)
    if frozen is None:
        return HttpResponseRedirect(quote_address(version.quote))
    result = worked_out(version)
    key = option_asked(request)
    shown = next((item for item in result.options if item.key == key), result.options[0])
    context = {
        "version": version,
        "versions": version.quote.versions.defer("request", "result").order_by("-number"),
        "result": result,
        "shown": shown,
        "readings": option_readings(shown, frozen.wishes, result.units),
        "charts": option_charts(shown, frozen.donor, result.units),
        "frozen": frozen,
        "findings": finding_views(options_with_lines(version).get(key=shown.key), shown, the_shop(), {}),
        "groups": compared_of(result, frozen),
        "change": change_of(version),
        "build_runs": version.quote.versions.filter(state=VersionState.ACCEPTED).exists(),
    }
    return render(request, "quotes/version.html", context)


def compared_of(result: QuoteResult, frozen: QuoteRequest) -> tuple[ComparedGroup, ...]:
    return compared(result, frozen, the_shop().locale) if len(result.options) > 1 else ()


@require_POST
@roles_required(OWNER, COUNTER)
def version_again(request: HttpRequest, version_id: str) -> HttpResponse:
    """A new draft copied from this version."""
    version = version_of(version_id)
    try:
        made = version_revise(version=version, person=person_of(request))
    except Refused as refused:
        messages.error(request, refused.message)
        return HttpResponseRedirect(reverse("quote-version", args=[version_id]))
    return HttpResponseRedirect(quote_address(made.quote))


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def version_say_no(request: HttpRequest, version_id: str) -> HttpResponse:
    """The customer said no: asked once, with the reason when there is one."""
    version = version_of(version_id)
    form = ReasonForm(request.POST or None, shop=the_shop())
    refusal = ""
    if request.method == "POST" and form.is_valid():
        try:
            version_decline(version=version, person=person_of(request), reason=form.cleaned_data["reason"])
        except Refused as refused:
            refusal = refused.message
        else:
            return HttpResponseRedirect(reverse("quote-version", args=[version_id]))
    context = {"version": version, "form": form, "refusal": refusal}
    return render(request, "quotes/decline.html", context, status=422 if refusal or form.errors else 200)


def version_of(version_id: str) -> QuoteVersion:
    rows = QuoteVersion.objects.select_related("quote__customer", "quote__donor__family", "tax_place")
    return get_object_or_404(rows, public_id=version_id)
