"""A sent order's lines one by one: confirmed with their day, cancelled, something else delivered in their place."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import Component, Event, OrderState, PurchaseOrder, PurchaseOrderLine, StockMove
from shop.models.exact import new_public_id
from shop.selectors.balances import received_by_line
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.orders import date_write
from shop.services.orders_receive import order_close_when_complete
from shop.services.stock import NONE, quantity_guard, reason_guard
from shop.services.stock_count import stock_receive


def order_acknowledge(
    *,
    order: PurchaseOrder,
    days: Mapping[int, date | None],
    person: User | None,
    on: date | None = None,
    note: str = "",
) -> PurchaseOrder:
    """The supplier confirmed lines, by line id, each with its day; None: confirmed without one, the day stays.

    Safe to repeat.
    """
    with line_lock():
        row = _sent(order)
        if not days:
            raise Refused("Choose at least one line that was confirmed.", "lines")
        confirmed_on = on or shop_today()
        if confirmed_on > shop_today():
            raise Refused("The day it was confirmed lies ahead. Enter today or earlier.", "on")
        lines = {line.pk: line for line in row.lines.select_related("component")}
        entry, said = new_public_id(), []
        for line_id, day in days.items():
            line = lines.get(line_id)
            if line is None:
                raise Refused(f"A line is not on {row}. Open the order afresh.", "lines")
            if day is not None and row.ordered_on and day < row.ordered_on:
                raise Refused(f"{line.component.name} can't be expected before it was ordered.", "days")
            if day is not None and day != line.expected_on:
                date_write(line, day, note.strip() or "Confirmed by the supplier", person, entry=entry)
            line.acknowledged_on = confirmed_on
            line.save(update_fields=["acknowledged_on"])
            said.append(f"{line.component.name} {line.expected_on or 'without a day'}")
        event_write(
            person=person, verb="lines confirmed", subject=row.number, after=", ".join(said), reason=note.strip()
        )
    return row


def order_line_cancel(
    *, line: PurchaseOrderLine, reason: str, person: User | None, quantity: Decimal | None = None
) -> PurchaseOrderLine:
    """Cancel what is still due of one line, or `quantity` of it. What builds still need shows under To order."""
    with line_lock():
        fresh = PurchaseOrderLine.objects.select_related("order", "component").get(pk=line.pk)
        row = _sent(fresh.order)
        left = fresh.wanted - received_by_line([fresh.pk]).get(fresh.pk, NONE)
        if left <= 0:
            raise Refused(f"Nothing of {fresh.component.name} is due on {row} any more.")
        units = left if quantity is None else quantity
        quantity_guard(fresh.component, units)
        if units > left:
            raise Refused(f"{left.normalize():f} are still due. Cancel at most that.", "quantity")
        reason = reason_guard(reason, "Say why it will not come.")
        fresh.cancelled += units
        fresh.full_clean(exclude=["order", "component"], validate_unique=False)
        fresh.save(update_fields=["cancelled"])
        event_write(
            person=person,
            verb="line cancelled",
            subject=row.number,
            after=f"{units.normalize():f} × {fresh.component.name}",
            reason=reason,
        )
        order_close_when_complete(row, person)
    return fresh


def order_wrong_goods(
    *,
    order: PurchaseOrder,
    component: Component,
    quantity: Decimal,
    kept: bool,
    note: str,
    person: User | None,
    key: str,
) -> StockMove | None:
    """Something came that was not ordered: kept on the shelf, or sent straight back. The order's lines stay due.

    Returns the move when it is kept. Safe to repeat with the same `key`.
    """
    with line_lock():
        row = PurchaseOrder.objects.select_related("supplier").get(pk=order.pk)
        if row.state not in (OrderState.SENT, OrderState.RECEIVED):
            raise Refused(f"{row} is {row.get_state_display().lower()}: nothing can come of it.")
        note = reason_guard(note, "Say what came, and instead of what.")
        quantity_guard(component, quantity)
        entered = Event.objects.filter(key=key).first()
        if entered is not None and entered.subject != row.number:
            raise Refused(f"This form was used for {entered.subject} already. Open a fresh one.")
        if entered is not None:
            return StockMove.objects.filter(key=key).first()
        move = None
        if kept:
            said = f"Came with {row}: {note}"[:200]
            move = stock_receive(component=component, quantity=quantity, reason=said, person=person, key=key)
        event_write(
            person=person,
            verb="wrong goods",
            subject=row.number,
            after=f"{quantity.normalize():f} × {component.name}, {'kept' if kept else 'to go back'}",
            reason=note,
            key=key,
        )
    return move


def _sent(order: PurchaseOrder) -> PurchaseOrder:
    row = PurchaseOrder.objects.select_related("supplier").get(pk=order.pk)
    if row.state != OrderState.SENT:
        raise Refused(f"{row} is {row.get_state_display().lower()}. Only lines of a sent order can be changed so.")
    return row
