"""The list of quotes, and opening a new one."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.quotes import STATES, JobForm, ListForm
from shop.models import Customer, Donor
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.quotes import quotes_list
from shop.selectors.shop import the_shop
from shop.services.errors import Refused
from shop.services.quotes import quote_start
from shop.views.answers import person_of, refuse
from shop.views.quotes.drafts import quote_address


@require_safe
@roles_required(OWNER, COUNTER)
def quotes(request: HttpRequest) -> HttpResponse:
    filters = ListForm(request.GET).filters()
    kept = urlencode({name: value for name, value in (("state", filters.state), ("q", filters.text)) if value})
    context = {
        "found": quotes_list(filters),
        "filters": filters,
        "states": STATES,
        "address": f"?{kept}&" if kept else "?",
    }
    return render(request, "quotes/list.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def quote_new(request: HttpRequest) -> HttpResponse:
    """Open a quote; ?customer= and ?donor= say whose and which bike when it starts from their page."""
    shop = the_shop()
    known = request.POST if request.method == "POST" else request.GET
    customer = get_object_or_404(Customer, public_id=known["customer"]) if known.get("customer") else None
    donor = get_object_or_404(Donor, public_id=known["donor"]) if known.get("donor") else None
    form = JobForm(request.POST or None, shop=shop)
    if request.method == "POST" and form.is_valid():
        try:
            started = quote_start(person=person_of(request), customer=customer, donor=donor, **form.cleaned_data)
        except Refused as refusal:
            refuse(form, refusal)
        else:
            return HttpResponseRedirect(quote_address(started))
    context = {"form": form, "customer": customer, "donor": donor}
    return render(request, "quotes/new.html", context, status=422 if form.errors else 200)
