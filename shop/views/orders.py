"""Purchase orders: listed, one with its lines, sent, received, cancelled."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop.forms.goods import GoodsForm
from shop.forms.line import ReasonForm
from shop.forms.orders import STATES, LineForm, OrderFilterForm, SendForm
from shop.models import PurchaseOrder
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.orders import order_page, order_rows
from shop.selectors.shop import shop_today, the_shop
from shop.services import orders as services
from shop.services.orders_receive import GoodsReceived
from shop.services.orders_receive import order_receive as goods_receive
from shop.views.answers import (
    UNREADABLE,
    attempt,
    found_or_404,
    list_address,
    page_or_part,
    page_with,
    person_of,
    posted,
)


@require_safe
@roles_required(OWNER, COUNTER)
def orders(request: HttpRequest) -> HttpResponse:
    filters = OrderFilterForm(request.GET).filters()
    context = {"found": order_rows(filters), "filters": filters, "states": STATES, "address": list_address(request)}
    return page_or_part(request, "orders/list.html", "orders/_found.html", context)


@require_safe
@roles_required(OWNER, COUNTER)
def order(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: order_page(public_id))
    return render(request, "orders/page.html", {"page": page, "order": page.order})


@require_POST
@roles_required(OWNER, COUNTER)
def order_line(request: HttpRequest, public_id: str, line_id: str) -> HttpResponse:
    """Another quantity on a draft."""
    row = get_object_or_404(PurchaseOrder, public_id=public_id)
    line = get_object_or_404(row.lines.select_related("component"), public_id=line_id)
    form = LineForm(request.POST, shop=the_shop(), prefix=line_id)
    person = person_of(request)
    changed = attempt(
        form,
        lambda values: services.order_line_set(order=row, component=line.component, person=person, **values),
    )
    if changed:
        return HttpResponseRedirect(reverse("order", args=[public_id]))
    page = order_page(public_id)
    context = {"page": page, "order": page.order, "wrong": form, "wrong_line": line_id}
    return render(request, "orders/page.html", context, status=UNREADABLE)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_send(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: order_page(public_id))
    form = SendForm(posted(request), shop=the_shop(), lines=page.lines, initial={"ordered_on": shop_today()})

    def write(values: dict[str, Any]) -> PurchaseOrder:
        day = values["ordered_on"]
        return services.order_send(
            order=page.order, person=person_of(request), ordered_on=day, expected=form.expected()
        )

    sent = attempt(form, write) if request.method == "POST" else None
    if sent:
        messages.success(request, f"{sent} is on its way.")
        return HttpResponseRedirect(reverse("order", args=[public_id]))
    return page_with(request, "orders/send.html", {"page": page, "order": page.order, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_receive(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: order_page(public_id))
    form = GoodsForm(posted(request), shop=the_shop(), lines=page.lines)

    def write(values: dict[str, Any]) -> GoodsReceived:
        return goods_receive(
            order=page.order,
            received=form.received(),
            person=person_of(request),
            key=values["key"],
            over_reason=values["over_reason"],
        )

    if request.method == "POST":
        came = attempt(form, write)
        if came:
            messages.success(request, received_words(came))
            return HttpResponseRedirect(reverse("order", args=[public_id]))
    return page_with(request, "orders/receive.html", {"page": page, "order": page.order, "form": form}, form)


def received_words(came: GoodsReceived) -> str:
    """What happened with a delivery: who got units kept."""
    if not came.created:
        return "This delivery was booked already."
    builds = sorted({move.need.build.number for move in came.allotted if move.need and move.reserved > 0})
    return f"Booked. Kept for {', '.join(builds)}." if builds else "Booked. Nobody in line lacks them."


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_cancel(request: HttpRequest, public_id: str) -> HttpResponse:
    page = found_or_404(lambda: order_page(public_id))
    form = ReasonForm(posted(request), shop=the_shop())
    if request.method == "POST":
        person = person_of(request)
        if attempt(form, lambda values: services.order_cancel(order=page.order, person=person, **values)):
            messages.success(request, f"{page.order} is cancelled. What is still needed stands under To order.")
            return HttpResponseRedirect(reverse("order", args=[public_id]))
    return page_with(request, "orders/cancel.html", {"page": page, "order": page.order, "form": form}, form)
