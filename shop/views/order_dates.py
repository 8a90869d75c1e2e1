"""A supplier names another day: entered once, after seeing every build it moves."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.forms.line import ReasonForm
from shop.forms.orders import DatesForm
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.orders import OrderPage, order_page
from shop.selectors.shop import the_shop
from shop.selectors.slips import SlipPreview, slip_preview
from shop.services.orders_receive import expected_change
from shop.views.answers import attempt, found_or_404, page_or_part, person_of, posted

ASKED = ("lines", "new_date", "no_day")


@require_http_methods(["GET", "HEAD", "POST"])
@roles_required(OWNER, COUNTER)
def order_dates(request: HttpRequest, public_id: str) -> HttpResponse:
    """What moves for ?lines=&new_date=; a POST there enters the day, with what the supplier said."""
    page = found_or_404(lambda: order_page(public_id))
    shop = the_shop()
    known = request.GET if request.method == "POST" or set(ASKED) & set(request.GET) else None
    asked = DatesForm(known, shop=shop, lines=page.lines, initial={"lines": _chosen(request, page)})
    form = ReasonForm(posted(request), shop=shop, help_text="What the supplier said. The log keeps it.")
    preview = _preview(asked)
    if request.method == "POST" and preview:

        def write(values: dict[str, Any]) -> object:
            return expected_change(lines=preview.lines, new_date=preview.new_date, person=person_of(request), **values)

        if attempt(form, write):
            told = ", ".join(change.build.customer.name for change in preview.to_tell)
            messages.success(request, f"The day is entered. {f'To tell: {told}.' if told else 'No promise breaks.'}")
            return HttpResponseRedirect(reverse("order-tell" if told else "order", args=[public_id]))
    query = request.GET.urlencode()
    context = {"page": page, "order": page.order, "asked": asked, "form": form, "preview": preview, "query": query}
    return page_or_part(request, "orders/dates.html", "orders/_dates_preview.html", context, asked, form)


def _chosen(request: HttpRequest, page: OrderPage) -> list[str]:
    """Lines ticked beforehand: the one of ?part=, else all that are still to come."""
    part = request.GET.get("part", "")
    due = [row.line for row in page.lines if row.left]
    return [line.public_id for line in due if not part or line.component.public_id == part]


def _preview(asked: DatesForm) -> SlipPreview | None:
    if not asked.is_valid():
        return None
    lines = asked.cleaned_data["lines"]
    return slip_preview(lines=lines, new_date=asked.cleaned_data["new_date"])
