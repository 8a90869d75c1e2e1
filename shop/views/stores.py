"""Stores: what lies on the shelf and for whom; counted, received without an order, scrapped."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shop.forms.keyed import KeyedForm
from shop.forms.stores import CountForm, DayAskedForm, ReceiveForm, ScrapForm, SendBackForm, StockFilterForm
from shop.permissions import BUILDER, COUNTER, OWNER, roles_required
from shop.selectors.orders import lines_received
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.stock import StockPage, stock_page, stock_rows
from shop.selectors.stock_days import stock_on
from shop.services.stock_count import stock_count, stock_receive, stock_scrap, stock_send_back
from shop.views.answers import attempt, found_or_404, list_address, page_or_part, page_with, person_of, posted


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def stores(request: HttpRequest) -> HttpResponse:
    form = StockFilterForm(request.GET)
    filters = form.filters()
    context = {"found": stock_rows(filters), "filters": filters, "form": form, "address": list_address(request)}
    return page_or_part(request, "stores/list.html", "stores/_found.html", context)


@require_safe
@roles_required(OWNER, COUNTER, BUILDER)
def stock(request: HttpRequest, public_id: str) -> HttpResponse:
    """The part; ?on= asks for its sums on another day."""
    page = found_or_404(lambda: stock_page(public_id))
    asked = DayAskedForm(request.GET)
    day = asked.day() or shop_today()
    context = {"page": page, "component": page.row.component, "sums": stock_on(page, day), "today": shop_today()}
    return render(request, "stores/page.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def stock_counted(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: stock_page(public_id))
    form = CountForm(posted(request), shop=the_shop(), component=page.row.component, initial={"seen": page.row.on_hand})

    def write(values: dict[str, Any]) -> str:
        move = stock_count(component=page.row.component, person=person_of(request), **values)
        return "The books were right." if move is None else "The count is in the books."

    return _act(request, page, form, "count", write)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def stock_received(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: stock_page(public_id))

    def write(values: dict[str, Any]) -> str:
        stock_receive(component=page.row.component, person=person_of(request), **values)
        return "They are on the shelf, kept for the first in line who lack them."

    form = ReceiveForm(posted(request), shop=the_shop(), component=page.row.component)
    return _act(request, page, form, "receive", write)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER, BUILDER)
def stock_scrapped(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: stock_page(public_id))

    def write(values: dict[str, Any]) -> str:
        stock_scrap(component=page.row.component, person=person_of(request), **values)
        return "They are off the shelf."

    form = ScrapForm(posted(request), shop=the_shop(), component=page.row.component)
    return _act(request, page, form, "scrap", write)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def stock_sent_back(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: stock_page(public_id))

    def write(values: dict[str, Any]) -> str:
        stock_send_back(component=page.row.component, person=person_of(request), **values)
        return "They are booked out, back to the supplier."

    lines = lines_received(page.row.component)
    form = SendBackForm(posted(request), shop=the_shop(), component=page.row.component, lines=lines)
    return _act(request, page, form, "send_back", write)


def _act(
    request: HttpRequest, page: StockPage, form: KeyedForm, act: str, write: Callable[[dict[str, Any]], str]
) -> HttpResponse:
    """A form on its own page; once written, back to the part."""
    component = page.row.component
    if request.method == "POST":
        said = attempt(form, write)
        if said:
            messages.success(request, f"{component.name}: {said}")
            return HttpResponseRedirect(reverse("stock", args=[component.public_id]))
    return page_with(request, f"stores/{act}.html", {"page": page, "component": component, "form": form}, form)
