"""What another expected day of an order does to the line, before it is entered."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date

from quoting.request import ShopState
from shop.models import PurchaseOrderLine
from shop.selectors.line import WindowChange, window_changes
from shop.selectors.plan import plan_basis, planned


@dataclass(frozen=True, kw_only=True)
class SlipPreview:
    """The order lines with the day they would be expected, and each build it moves, in order of the line."""

    lines: tuple[PurchaseOrderLine, ...]
    new_date: date | None
    changes: tuple[WindowChange, ...]

    @property
    def to_tell(self) -> tuple[WindowChange, ...]:
        """Builds whose promise would be broken: their customers have to be told."""
        return tuple(change for change in self.changes if change.breaks)


def slip_preview(*, lines: Collection[PurchaseOrderLine], new_date: date | None) -> SlipPreview:
    """What it would do if these lines were expected on another day; None: the supplier takes the day back.

    Give lines with their order and component loaded, or it takes a query for each.
    """
    state, now, policies = plan_basis()
    days = {(line.order.number, line.component.code): new_date for line in lines}
    slipped = with_line_dates(state, days)
    changes = window_changes(planned(state, now, policies), planned(slipped, now, policies))
    return SlipPreview(lines=tuple(lines), new_date=new_date, changes=changes)


def with_line_dates(state: ShopState, days: Mapping[tuple[str, str], date | None]) -> ShopState:
    """The shop with other expected days, by order number and component code: an order has one line per component."""
    receipts = tuple(
        replace(receipt, expected=days[receipt.order, receipt.code])
        if (receipt.order, receipt.code) in days
        else receipt
        for receipt in state.receipts
    )
    return replace(state, receipts=receipts)
