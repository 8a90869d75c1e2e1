"""What handing a kept unit to another build would do, before it is done."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from quoting.request import ShopState
from shop.models import PartNeed
from shop.selectors.line import WindowChange, window_changes
from shop.selectors.plan import plan_basis, planned
from shop.selectors.stock import NeedRow, need_rows, open_needs

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class LendingPreview:
    """Every build the hand-over moves, in order of the line; `breaks` those whose promise it breaks."""

    lender: NeedRow
    borrower: NeedRow
    quantity: Decimal
    changes: tuple[WindowChange, ...]

    @property
    def breaks(self) -> tuple[WindowChange, ...]:
        return tuple(change for change in self.changes if change.breaks)


def borrowers(lender: PartNeed) -> tuple[NeedRow, ...]:
    """Other open builds that are short of the same part, in order of the line."""
    needs = open_needs().filter(component=lender.component).exclude(pk=lender.pk).select_related("build__customer")
    return tuple(row for row in need_rows(needs) if row.short)


def lending_preview(lender: PartNeed, borrower: PartNeed, quantity: Decimal) -> LendingPreview:
    """What moves if `quantity` units kept for one build went to another. Give needs with build and component."""
    state, now, policies = plan_basis()
    lent = with_lent(state, borrower, quantity)
    first, second = need_rows([lender, borrower])
    return LendingPreview(
        lender=first,
        borrower=second,
        quantity=quantity,
        changes=window_changes(planned(state, now, policies), planned(lent, now, policies)),
    )


def with_lent(state: ShopState, borrower: PartNeed, quantity: Decimal) -> ShopState:
    """The shop with units of the shelf at the borrower's already: off its needs and off the shelf."""
    code, number = borrower.component.code, borrower.build.number
    builds = tuple(
        replace(
            build,
            needs=tuple(
                replace(need, quantity=max(need.quantity - quantity, NONE)) if need.code == code else need
                for need in build.needs
            ),
        )
        if build.number == number
        else build
        for build in state.builds
    )
    stock = tuple(
        replace(level, on_hand=max(level.on_hand - quantity, NONE)) if level.code == code else level
        for level in state.stock
    )
    return replace(state, builds=builds, stock=stock)
