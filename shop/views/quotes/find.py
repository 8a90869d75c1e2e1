"""Find builds: sets of parts from the catalogue that meet the draft's wishes, and one of them put on an option."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.http import require_safe

from quoting import QuotingError
from quoting.finder import find_sets
from shop.forms.finder import UseSetForm
from shop.models import QuoteVersion
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.finder import finder_question
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.quotes import SetPart, option_fill
from shop.views.answers import is_htmx, person_of
from shop.views.quotes.counter import newest_version, option_asked
from shop.views.quotes.drafts import NoDraft, changes_draft, draft_of, option_of, quote_address
from shop.views.quotes.found import FoundPage, found_page


@require_safe
@roles_required(OWNER, COUNTER)
def quote_find(request: HttpRequest, public_id: str) -> HttpResponse:
    """?option= names the option whose hours, extras and other lines the sets are worked out with."""
    try:
        draft = draft_of(public_id)
    except NoDraft as gone:
        return HttpResponseRedirect(newest_version(gone.quote))
    inside = is_htmx(request)
    context = {"page": _found(draft, option_asked(request)), "inside": inside}
    return render(request, "quotes/_found.html" if inside else "quotes/find.html", context)


def _found(draft: QuoteVersion, key: str, said: str = "") -> FoundPage:
    keys = set(draft.options.values_list("key", flat=True))
    like = key if key in keys else min(keys)
    shop = the_shop()
    try:
        question = finder_question(draft, like)
        return found_page(draft, like, shop, question, find_sets(question), said)
    except QuotingError as error:
        return FoundPage(version=draft, like=like, shop=shop, problem=str(error), said=said)


@changes_draft
def quote_find_use(request: HttpRequest, public_id: str) -> HttpResponse:
    """Fill an option with a set, then show that option at the Counter."""
    draft = draft_of(public_id)
    form = UseSetForm(request.POST, shop=the_shop())
    if not form.is_valid():
        said = " ".join(dict.fromkeys(form.first_errors().values()))
        page = _found(draft, request.POST.get("like", ""), said)
        return render(request, "quotes/find.html", {"page": page}, status=422)
    values = form.cleaned_data
    by_hand = {part.component_id: part.unit_price for part in option_of(draft, values["like"]).parts.all()}
    parts = [
        SetPart(
            component=each.component,
            quantity=each.quantity,
            conductors=each.conductors,
            unit_price=by_hand.get(each.component.pk),
        )
        for each in values["parts"]
    ]
    set_values = {name: values[name] for name in ("like", "series", "parallel", "label", "replacing")}
    try:
        option_fill(version=draft, key=values["option"], parts=parts, person=person_of(request), **set_values)
    except Refused as refusal:
        page = _found(draft, values["like"], refusal.message)
        return render(request, "quotes/find.html", {"page": page}, status=409)
    messages.success(request, f"Option {values['option']} holds this set. Its hours are as they were.")
    return HttpResponseRedirect(quote_address(draft.quote, values["option"]))
