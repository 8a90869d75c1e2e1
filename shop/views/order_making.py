"""What has to be ordered, grouped by supplier, and an order made of it in one press."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from shop.forms.orders import OrderMakeForm
from shop.models import Component, PurchaseOrder, Shop, Supplier
from shop.permissions import COUNTER, OWNER, roles_required
from shop.selectors.shop import the_shop
from shop.selectors.spare_lines import spare_lines
from shop.selectors.to_order import ToOrderRow, to_order
from shop.services.orders import order_make
from shop.views.answers import UNREADABLE, attempt, person_of

SURE = ("50", "80", "90", "95")  # deliveries in a hundred


@dataclass(frozen=True, kw_only=True)
class SupplierGroup:
    """What one supplier is to be asked for, with the form that makes the order; `supplier` None: nobody sells it."""

    supplier: Supplier | None
    rows: tuple[ToOrderRow, ...]
    form: OrderMakeForm

    @property
    def held(self) -> bool:
        """Whether something of it waits for a parts deposit."""
        return any(row.held for row in self.rows)

    @property
    def drafted(self) -> bool:
        return any(row.drafted for row in self.rows)

    @property
    def drawn(self) -> list[tuple[ToOrderRow, Any]]:
        """Each row with its quantity's field; None for what drafts cover already or nobody sells."""
        names = {component.pk: name for name, component in self.form.parts.items()}
        fields = ((row, names.get(row.component.pk)) for row in self.rows)
        return [(row, self.form[name] if name else None) for row, name in fields]


def supplier_groups(
    rows: Iterable[ToOrderRow], shop: Shop, wrong: tuple[Supplier, OrderMakeForm] | None = None
) -> tuple[SupplierGroup, ...]:
    """Rows by supplier, the most pressing first, as the rows come; `wrong` a form that came back with words."""
    grouped: dict[Supplier | None, list[ToOrderRow]] = {}
    for row in rows:
        grouped.setdefault(row.offer.supplier if row.offer else None, []).append(row)
    if wrong is not None:
        grouped.setdefault(wrong[0], [])
    return tuple(
        SupplierGroup(
            supplier=supplier,
            rows=tuple(own),
            form=wrong[1] if wrong is not None and supplier == wrong[0] else _fresh(own, shop),
        )
        for supplier, own in grouped.items()
    )


def _fresh(rows: Iterable[ToOrderRow], shop: Shop) -> OrderMakeForm:
    wanted: list[tuple[Component, Decimal | None]] = [
        (row.component, row.open_quantity or row.quantity) for row in rows if row.offer and row.quantity
    ]
    first = wanted[0][0].public_id if wanted else "none"  # ids of fields are unique on a page of several forms
    return OrderMakeForm(shop=shop, wanted=wanted, auto_id=f"{first}-%s")


@require_safe
@roles_required(OWNER, COUNTER)
def orders_to_make(request: HttpRequest) -> HttpResponse:
    """?sure= how many deliveries in a hundred come within the lead time that is counted on."""
    asked = request.GET.get("sure", "")
    sure = int(asked) if asked in SURE else None
    groups = supplier_groups(to_order(sure_percent=sure), the_shop())
    context = {
        "groups": groups,
        "sure": sure,
        "choices": SURE,
        "today": _due_today(groups),
        "spare": spare_lines(),
    }
    return render(request, "orders/to_make.html", context)


def _due_today(groups: Iterable[SupplierGroup]) -> int:
    return sum(row.due_now for group in groups for row in group.rows)


@require_POST
@roles_required(OWNER, COUNTER)
def order_make_now(request: HttpRequest, supplier_id: str) -> HttpResponse:
    """A draft order of the parts ticked. A second press of the same form leads to the same order."""
    supplier = get_object_or_404(Supplier, public_id=supplier_id)
    shop = the_shop()
    parts = Component.objects.filter(public_id__in=request.POST.getlist("part")).order_by("name", "pk")
    form = OrderMakeForm(request.POST, shop=shop, wanted=[(part, None) for part in parts])

    def write(values: dict[str, Any]) -> PurchaseOrder:
        return order_make(
            supplier=supplier,
            lines=form.lines(),
            person=person_of(request),
            key=values["key"],
            reason=values["reason"],
        )

    made = attempt(form, write)
    if made:
        messages.success(request, f"{made} to {supplier.name} is made out. Look it over, then say that it was sent.")
        return HttpResponseRedirect(reverse("order", args=[made.public_id]))
    groups = supplier_groups(to_order(), shop, (supplier, form))
    return render(request, "orders/to_make.html", {"groups": groups}, status=UNREADABLE)
