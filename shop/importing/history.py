"""What was bought and what lies on the shelf, as tables to take away."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from shop.importing.sheets import sheet_file
from shop.models import PurchaseOrderLine
from shop.selectors.stock import StockRow

BOUGHT = ("order", "state", "supplier", "currency", "ordered_on", "confirmed_on", "expected_on", "code", "part",
          "quantity", "cancelled", "received", "last_received_on", "unit_cost", "charged_cost")  # fmt: skip
SHELF = ("code", "part", "kind", "shelf", "on_hand", "reserved", "free", "on_order", "short", "least")


def purchases_file(lines: Iterable[tuple[PurchaseOrderLine, Decimal, date | None]], form: str) -> bytes:
    """One row a line, with what came of it and when the last of it did. Give lines with order, supplier, component."""
    rows = (
        (
            line.order.number, line.order.get_state_display(), line.order.supplier.name, line.order.supplier.currency,
            line.order.ordered_on, line.acknowledged_on, line.expected_on, line.component.code, line.component.name,
            line.quantity, line.cancelled, came, last, line.unit_cost, line.invoiced_cost,
        )
        for line, came, last in lines
    )  # fmt: skip
    return sheet_file("purchases", BOUGHT, rows, form)


def shelf_file(rows: Iterable[StockRow], form: str) -> bytes:
    """One row a part, to count by or to keep."""
    cells = (
        (
            row.component.code, row.component.name, row.component.get_kind_display(), row.component.shelf, row.on_hand,
            row.reserved, row.free, row.on_order, row.short, row.component.keep_on_shelf,
        )
        for row in rows
    )  # fmt: skip
    return sheet_file("stock", SHELF, cells, form)
