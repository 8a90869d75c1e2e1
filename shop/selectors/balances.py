"""Stock as sums of its moves."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet, Sum

from shop.models import Lending, MoveKind, StockMove

NONE = Decimal(0)


@dataclass(frozen=True)
class Balance:
    """Units of one component: on the shelf, and how many of them are kept for builds."""

    on_hand: Decimal = NONE
    reserved: Decimal = NONE

    @property
    def free(self) -> Decimal:
        """What nobody has been promised. Never below zero: after a count the shelf may hold less than is reserved."""
        return max(self.on_hand - self.reserved, NONE)


def stock_balances(components: Collection[int] | None = None) -> Mapping[int, Balance]:
    """By component id, of all or of the given ones; a component that never moved is not in it."""
    # Without order_by() the model's own ordering would split the groups.
    moves = StockMove.objects.order_by()
    if components is not None:
        moves = moves.filter(component__in=components)
    sums = moves.values("component_id").annotate(shelf=Sum("on_hand"), kept=Sum("reserved"))
    return {row["component_id"]: Balance(row["shelf"], row["kept"]) for row in sums}


def components_here() -> frozenset[int]:
    """Ids of components of which something lies on the shelf: read in the database, no figure of it comes over."""
    sums = StockMove.objects.order_by().values("component_id").annotate(shelf=Sum("on_hand")).filter(shelf__gt=0)
    return frozenset(sums.values_list("component_id", flat=True))


def assured_by_need() -> Mapping[int, Decimal]:
    """Units that were lent to a need, in all that it then had, less what it lent on since, by need id."""
    assured: dict[int, Decimal] = {}
    for row in Lending.objects.order_by("pk").values("lender_id", "borrower_id", "quantity", "assured"):
        assured[row["borrower_id"]] = row["assured"]
        if row["lender_id"] in assured:
            assured[row["lender_id"]] = max(assured[row["lender_id"]] - row["quantity"], NONE)
    return {need_id: units for need_id, units in assured.items() if units}


def issued_by_need(
    needs: Collection[int] | None = None, *, components: Collection[int] | None = None
) -> Mapping[int, Decimal]:
    """Units already handed to the bench, less what came back, by need id; of all needs or of the given ones."""
    moves = _of_needs(needs, components).filter(kind__in=[MoveKind.ISSUED, MoveKind.RETURNED])
    return {row["need_id"]: -row["moved"] for row in moves.values("need_id").annotate(moved=Sum("on_hand"))}


def reserved_by_need(
    needs: Collection[int] | None = None, *, components: Collection[int] | None = None
) -> Mapping[int, Decimal]:
    """Units kept on the shelf for a need, not yet handed to the bench, by need id; of all or of the given ones."""
    moves = _of_needs(needs, components).exclude(reserved=0)
    return {row["need_id"]: row["kept"] for row in moves.values("need_id").annotate(kept=Sum("reserved"))}


def _of_needs(needs: Collection[int] | None, components: Collection[int] | None) -> QuerySet[StockMove]:
    moves = StockMove.objects.order_by()
    if components is not None:
        moves = moves.filter(component__in=components)
    return moves.filter(need__isnull=False) if needs is None else moves.filter(need__in=needs)


def received_by_line(lines: Collection[int] | None = None) -> Mapping[int, Decimal]:
    """Units that have come, less what was sent back to be replaced, by order line id; of all or of the given lines."""
    moves = StockMove.objects.order_by().filter(kind__in=[MoveKind.RECEIVED, MoveKind.SENT_BACK])
    moves = moves.filter(order_line__isnull=False) if lines is None else moves.filter(order_line__in=lines)
    return {row["order_line_id"]: row["came"] for row in moves.values("order_line_id").annotate(came=Sum("on_hand"))}


def pinned_units() -> Mapping[int, Decimal]:
    """Units on the shelf that were lent to a need and that nobody ahead of it takes, by need id."""
    assured = assured_by_need()
    if not assured:
        return {}
    issued, kept = issued_by_need(list(assured)), reserved_by_need(list(assured))
    pinned = {
        need_id: min(max(units - issued.get(need_id, NONE), NONE), kept.get(need_id, NONE))
        for need_id, units in assured.items()
    }
    return {need_id: units for need_id, units in pinned.items() if units > 0}
