"""A sent order line by line: confirmed by the supplier, cancelled, or something else delivered."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.forms.goods import ConfirmForm, LineCancelForm, WrongGoodsForm
from shop.models import PurchaseOrderLine
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.orders import order_page
from shop.selectors.shop import shop_today, the_shop
from shop.services.order_lines import order_acknowledge, order_line_cancel, order_wrong_goods
from shop.views.answers import attempt, found_or_404, page_with, person_of, posted


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_confirm(request: HttpRequest, public_id: str) -> HttpResponse:
    """The supplier's confirmation, with a day for each line."""
    page = found_or_404(lambda: order_page(public_id))
    form = ConfirmForm(posted(request), shop=the_shop(), lines=page.lines, initial={"on": shop_today()})
    if request.method == "POST":
        person = person_of(request)
        if attempt(
            form,
            lambda values: order_acknowledge(
                order=page.order, days=form.days(), person=person, on=values["on"], note=values["note"]
            ),
        ):
            messages.success(request, f"{page.order} is confirmed by {page.order.supplier.name}.")
            return HttpResponseRedirect(reverse("order", args=[public_id]))
    return page_with(request, "orders/confirm.html", {"page": page, "order": page.order, "form": form}, form)


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_line_away(request: HttpRequest, public_id: str, line_id: str) -> HttpResponse:
    """What is due of one line will not come, or not all of it."""
    page = found_or_404(lambda: order_page(public_id))
    line = get_object_or_404(PurchaseOrderLine, public_id=line_id, order__public_id=public_id)
    row = next(each for each in page.lines if each.line.pk == line.pk)
    form = LineCancelForm(posted(request), shop=the_shop(), left=row.left)
    if request.method == "POST":
        person = person_of(request)
        if attempt(form, lambda values: order_line_cancel(line=line, person=person, **values)):
            messages.success(request, f"{row.line.component.name}: cancelled. What is needed stands under To order.")
            return HttpResponseRedirect(reverse("order", args=[public_id]))
    return page_with(
        request, "orders/line_cancel.html", {"page": page, "order": page.order, "row": row, "form": form}, form
    )


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_wrong(request: HttpRequest, public_id: str) -> HttpResponse:
    """Something came that nobody ordered."""
    page = found_or_404(lambda: order_page(public_id))
    form = WrongGoodsForm(posted(request), shop=the_shop())
    if request.method == "POST":
        person = person_of(request)
        if attempt(form, lambda values: (order_wrong_goods(order=page.order, person=person, **values),)):
            kept = form.cleaned_data["kept"]
            messages.success(request, "It is on the shelf." if kept else "Noted. It goes back; the lines stay due.")
            return HttpResponseRedirect(reverse("order", args=[public_id]))
    return page_with(request, "orders/wrong.html", {"page": page, "order": page.order, "form": form}, form)
