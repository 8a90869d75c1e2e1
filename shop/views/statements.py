"""Statements of a customer or a build at any day, and deposits held at any day."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.statements import DayForm
from shop.models import Build, Customer, PaperKind
from shop.pdf import PdfUnavailable
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.liability import liability
from shop.selectors.shop import shop_today
from shop.selectors.statements import Statement, build_statement, customer_statement
from shop.services.papers import statement_keep
from shop.views.answers import person_of


@require_safe
@roles_required(OWNER, COUNTER)
def deposits_held(request: HttpRequest) -> HttpResponse:
    """?day= the end of which day; today unless told."""
    today = shop_today()
    day = DayForm(request.GET).day(today)
    return render(request, "cash/held.html", {"held": liability(day), "today": today})


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def customer_account(request: HttpRequest, public_id: str) -> HttpResponse:
    customer = get_object_or_404(Customer, public_id=public_id)
    day = DayForm(request.GET).day(shop_today())
    return _statement(request, customer_statement(customer, day), customer, None)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def build_account(request: HttpRequest, public_id: str) -> HttpResponse:
    build = get_object_or_404(Build.objects.select_related("customer"), public_id=public_id)
    day = DayForm(request.GET).day(shop_today())
    return _statement(request, build_statement(build, day), build.customer, build)


def _statement(request: HttpRequest, statement: Statement, customer: Customer, build: Build | None) -> HttpResponse:
    """Looked at; a POST makes its PDF, which is kept with those made before."""
    if request.method == "POST":
        try:
            paper = statement_keep(statement=statement, customer=customer, build=build, person=person_of(request))
        except PdfUnavailable as reason:
            messages.error(request, str(reason))
        else:
            return HttpResponseRedirect(reverse("statement-pdf", args=[paper.public_id]))
    papers = customer.papers.filter(kind=PaperKind.STATEMENT, build=build).select_related("person").defer("file__data")
    context = {"statement": statement, "customer": customer, "build": build, "papers": papers[:20]}
    return render(request, "money/statement.html", context)
