"""Goods that come, and goods that come on another day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import (
    ExpectedDateChange,
    MoveKind,
    OrderState,
    PurchaseOrder,
    PurchaseOrderLine,
    StockMove,
)
from shop.models.exact import new_public_id
from shop.selectors.balances import received_by_line
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.order_charges import line_charge
from shop.services.orders import date_write
from shop.services.stock import NONE, move_write, quantity_guard, reason_guard, stock_allot
from shop.services.units import serials_guard, units_come


@dataclass(frozen=True, kw_only=True)
class Goods:
    """What came of one line. `unit_cost` what the supplier charged, None: as ordered."""

    quantity: Decimal
    serials: tuple[str, ...] = ()
    batch: str = ""
    unit_cost: Decimal | None = None


@dataclass(frozen=True)
class GoodsReceived:
    """What came of a delivery: its moves, who got units kept, whether the order is complete.

    `created` False when the same press had been booked already.
    """

    order: PurchaseOrder
    moves: tuple[StockMove, ...]
    allotted: tuple[StockMove, ...]
    created: bool


def order_receive(
    *,
    order: PurchaseOrder,
    received: Mapping[PurchaseOrderLine, Decimal | Goods],
    person: User | None,
    key: str,
    over_reason: str = "",
) -> GoodsReceived:
    """Book what came of an order, all of it or a part. It is kept at once for the builds first in line that lack it.

    More than was ordered is refused without `over_reason`. A price that differs goes to the supplier's offer, and with
    it to the landed cost of quotes from now on. Safe to repeat with the same `key`.
    """
    with line_lock():
        row = PurchaseOrder.objects.select_related("supplier").get(pk=order.pk)
        lines = {line.pk: line for line in row.lines.select_related("component").order_by("pk")}
        repeated = StockMove.objects.filter(key__in=[_key(key, line) for line in lines.values()]).order_by("pk")
        if repeated:
            return GoodsReceived(row, tuple(repeated), (), created=False)
        if row.state != OrderState.SENT:
            remedy = "Say that it was sent first." if row.state == OrderState.DRAFT else "Receive it without an order."
            raise Refused(f"{row} is {row.get_state_display().lower()}. {remedy}")
        came = {line.pk: each if isinstance(each, Goods) else Goods(quantity=each) for line, each in received.items()}
        came = {line_id: goods for line_id, goods in came.items() if goods.quantity}
        if not came:
            raise Refused("Enter how many came of at least one line.", "received")
        if set(came) - set(lines):
            raise Refused(f"A line is not on {row}. Open the order afresh.", "received")
        before = received_by_line(list(lines))
        moves = []
        for line_id, goods in came.items():
            over = before.get(line_id, NONE) + goods.quantity - lines[line_id].wanted
            moves.append(_receive(lines[line_id], goods, over, person=person, key=key, over_reason=over_reason))
        allotted = stock_allot(person=person, components=[move.component for move in moves])
        said = ", ".join(f"{move.on_hand.normalize():f} × {move.component.name}" for move in moves)
        event_write(person=person, verb="goods received", subject=row.number, after=said, reason=over_reason.strip())
        order_close_when_complete(row, person)
    return GoodsReceived(row, tuple(moves), tuple(allotted), created=True)


def _receive(
    line: PurchaseOrderLine, goods: Goods, over: Decimal, *, person: User | None, key: str, over_reason: str
) -> StockMove:
    quantity_guard(line.component, goods.quantity, "received")
    if over > 0:
        _guard_over(line, over, over_reason)
    try:
        serials = serials_guard(line.component, goods.serials, goods.quantity)
    except Refused as refusal:
        raise Refused(f"{line.component.name}: {refusal.message}", "received") from refusal
    move = move_write(
        component=line.component,
        kind=MoveKind.RECEIVED,
        on_hand=goods.quantity,
        order_line=line,
        batch=goods.batch.strip(),
        reason=over_reason.strip() if over > 0 else "",
        person=person,
        key=_key(key, line),
    )
    units_come(component=line.component, serials=serials, move=move, order_line=line)
    if goods.unit_cost is not None and goods.unit_cost != line.unit_cost:
        line_charge(line=line, unit_cost=goods.unit_cost, person=person)
    return move


def expected_change(
    *, lines: Iterable[PurchaseOrderLine], new_date: date | None, reason: str, person: User | None
) -> tuple[ExpectedDateChange, ...]:
    """Enter the day the supplier names now, for lines of one order or of several; None takes the day back.

    Promised dates stay as they are; what is to be expected now follows. See `slip_preview` before. Lines that are
    expected on that day already are left alone.
    """
    with line_lock():
        reason = reason_guard(reason, "Say what the supplier said.")
        if new_date is not None and new_date < shop_today():
            raise Refused("That day has passed. Enter the day it is expected now.", "new_date")
        ids = [line.pk for line in lines]
        rows = PurchaseOrderLine.objects.filter(pk__in=ids).select_related("order", "component").order_by("pk")
        came = received_by_line(ids)
        changes, entry = [], new_public_id()
        for line in rows:
            if line.order.state != OrderState.SENT or came.get(line.pk, NONE) >= line.wanted:
                raise Refused(f"{line} is not on its way. Choose lines that are.", "lines")
            if line.expected_on != new_date:
                changes.append(date_write(line, new_date, reason, person, entry=entry))
        if not changes:
            raise Refused("Choose at least one line and another day than it has.", "new_date")
        for change in changes:
            event_write(
                person=person,
                verb="expected day changed",
                subject=change.line.order.number,
                before=f"{change.line.component.name}: {change.old or 'no day'}",
                after=f"{change.new or 'no day'}",
                reason=reason,
            )
    return tuple(changes)


def _key(key: str, line: PurchaseOrderLine) -> str:
    return f"{key}:{line.pk}"


def _guard_over(line: PurchaseOrderLine, over: Decimal, over_reason: str) -> None:
    if not over_reason.strip():
        raise Refused(
            f"{line.component.name}: that is {over.normalize():f} more than was ordered. Book what was ordered and "
            "send the rest back, or say why it is kept.",
            "over_reason",
        )


def order_close_when_complete(row: PurchaseOrder, person: User | None) -> None:
    """Close an order of which nothing is due any more. Call it under the line's lock."""
    lines = list(row.lines.all())
    came = received_by_line([line.pk for line in lines])
    if any(came.get(line.pk, NONE) < line.wanted for line in lines):
        return
    anything = any(came.get(line.pk, NONE) for line in lines)
    row.state = OrderState.RECEIVED if anything else OrderState.CANCELLED
    row.save(update_fields=["state"])
    event_write(person=person, verb="order received" if anything else "order cancelled", subject=row.number,
                after="in full" if all(not line.cancelled for line in lines) else "as far as it comes")  # fmt: skip
