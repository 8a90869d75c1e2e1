"""What counts and past purchases are written from, row by row."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from django.db.models import Q, Sum

from shop.models import BATCH_KINDS, Component, Offer, PastPurchase, StockMove, StockUnit, UnitPlace
from shop.selectors.balances import stock_balances

NONE = Decimal(0)
Cells = tuple[str | Decimal | date | None, ...]


def count_rows() -> Iterator[Cells]:
    """The shelf as the books have it, one row a component, of cells one row a batch; in the columns of a count."""
    balances = stock_balances()
    here = [pk for pk, balance in balances.items() if balance.on_hand]
    numbers: dict[int, list[str]] = {}
    for pk, serial in (
        StockUnit.objects.filter(place=UnitPlace.SHELF)
        .order_by("entered_at", "pk")
        .values_list("component_id", "serial")
    ):
        numbers.setdefault(pk, []).append(serial)
    batches: dict[int, list[tuple[str, Decimal]]] = {}
    moves = StockMove.objects.order_by().filter(component__kind__in=BATCH_KINDS)
    sums = moves.values_list("component_id", "batch").annotate(there=Sum("on_hand")).order_by("component_id", "batch")
    for pk, batch, there in sums:
        if there:
            batches.setdefault(pk, []).append((batch, there))
    theirs = dict(Offer.objects.filter(preferred=True).order_by().values_list("component_id", "supplier_code"))
    wanted = Component.objects.filter(Q(discontinued=False) | Q(pk__in=here)).order_by("shelf", "kind", "name", "pk")
    for row in wanted:
        there = balances[row.pk].on_hand if row.pk in balances else NONE
        for batch, units in batches.get(row.pk, [("", there)]):
            serials = ", ".join(numbers.get(row.pk, ()))
            yield row.code, theirs.get(row.pk, ""), row.name, row.shelf, units, batch, serials, "", units


def purchase_rows() -> Iterator[Cells]:
    """Past purchases that were read from files, in the columns they were read from."""
    for row in PastPurchase.objects.select_related("supplier", "component"):
        yield (
            row.supplier.code, row.component.code, "", row.component.name, row.ordered_on, row.received_on,
            row.reference, row.quantity, row.unit_cost, row.currency,
        )  # fmt: skip
