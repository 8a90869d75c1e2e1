"""The promise log: every window given, and whether it came true."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.charts.promises import promise_chart, rate_chart
from shop.forms.promises import KINDS, SHOWN, PromiseFilterForm
from shop.permissions import OWNER, roles_required
from shop.selectors import promise_log as selectors
from shop.views.answers import list_address


@require_safe
@roles_required(OWNER)
def promise_log(request: HttpRequest) -> HttpResponse:
    filters = PromiseFilterForm(request.GET).filters()
    log = selectors.promise_log(filters)
    context = {"log": log, "filters": filters, "shown": SHOWN, "kinds": KINDS, "address": list_address(request)}
    charts = {"chart": promise_chart(log.tallies), "rates": rate_chart(log.rates)}
    return render(request, "promises/page.html", {**context, **charts})
