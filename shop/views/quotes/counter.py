"""The Counter itself: a quote's draft, or its newest version when there is none."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from shop.models import OPTION_KEYS, Quote
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.customers import customers_found
from shop.selectors.donors import donors_found
from shop.views.quotes.comparing import compared
from shop.views.quotes.drafts import NoDraft, draft_of
from shop.views.quotes.page import counter_page


@require_safe
@roles_required(OWNER, COUNTER)
def quote(request: HttpRequest, public_id: str) -> HttpResponse:
    """?option= chooses the option, ?find_customer= and ?find_donor= search in place without script."""
    try:
        draft = draft_of(public_id)
    except NoDraft as gone:
        return HttpResponseRedirect(newest_version(gone.quote))
    page = counter_page(request.user, draft, option_asked(request))
    context: dict[str, object] = {"page": page}
    if "find_customer" in request.GET:
        context |= {"customers": customers_found(request.GET["find_customer"]), "sought": request.GET["find_customer"]}
    if "find_donor" in request.GET:
        context |= {"donors": donors_found(request.GET["find_donor"]), "donor_sought": request.GET["find_donor"]}
    return render(request, "quotes/counter.html", context)


def newest_version(quote: Quote) -> str:
    """The address of a quote's newest version."""
    newest = quote.versions.order_by("-number").values_list("public_id", flat=True)[0]
    return reverse("quote-version", args=[newest])


def option_asked(request: HttpRequest) -> str:
    key = request.GET.get("option", "")
    return key if key in OPTION_KEYS else OPTION_KEYS[0]


@require_safe
@roles_required(OWNER, COUNTER)
def quote_compare(request: HttpRequest, public_id: str) -> HttpResponse:
    """The options of the draft side by side."""
    try:
        draft = draft_of(public_id)
    except NoDraft as gone:
        return HttpResponseRedirect(newest_version(gone.quote))
    page = counter_page(request.user, draft, option_asked(request))
    groups = compared(page.result, page.request, page.shop.locale) if page.result else ()
    return render(request, "quotes/compare.html", {"page": page, "groups": groups})
