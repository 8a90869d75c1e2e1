"""Purchase orders: made out, changed while they are drafts, sent, cancelled."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.promise import arrival_day, closed_ordinals
from quoting.request import DaySpan
from shop.models import (
    Component,
    ExpectedDateChange,
    MoveKind,
    Offer,
    OrderState,
    PurchaseOrder,
    PurchaseOrderLine,
    StockMove,
    Supplier,
)
from shop.selectors.offers import offer_cost, order_quantity
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.numbers import number_take
from shop.services.parts_hold import parts_hold_guard
from shop.services.stock import NONE, quantity_guard, reason_guard


def order_make(
    *,
    supplier: Supplier,
    lines: Iterable[tuple[Component, Decimal]],
    person: User | None,
    key: str | None = None,
    note: str = "",
    reason: str = "",
) -> PurchaseOrder:
    """A draft order to one supplier. Quantities are raised to what the supplier sells: least quantity, whole packs.

    The same component twice is added up. What waits for a parts deposit is ordered by an owner with a `reason` only.
    Safe to repeat with the same `key`.
    """
    with line_lock():
        made = PurchaseOrder.objects.filter(key=key).first() if key else None
        if made is not None:
            if made.supplier_id != supplier.pk:
                raise Refused(f"This form was used for order {made} already. Open a fresh one.")
            return made
        wanted: dict[Component, Decimal] = {}
        for component, quantity in lines:
            quantity_guard(component, quantity)
            wanted[component] = wanted.get(component, NONE) + quantity
        if not wanted:
            raise Refused("There is nothing on the order. Choose at least one part.", "lines")
        before_paid = parts_hold_guard(wanted, person=person, reason=reason)
        offers = _offers(supplier, wanted)
        order = PurchaseOrder(number=number_take("order"), supplier=supplier, note=note.strip(), key=key or None)
        order.full_clean(exclude=["supplier"])
        order.save(force_insert=True)
        rows = [_line(order, component, wanted[component], offers[component.pk]) for component in wanted]
        said = ", ".join(_said(row, wanted[row.component]) for row in rows)
        _event(order, person, "order made", after=f"{supplier.name}: {said}", reason=before_paid)
    return order


def order_line_set(
    *, order: PurchaseOrder, component: Component, quantity: Decimal, person: User | None
) -> PurchaseOrder:
    """Add a component to a draft order, change its quantity, or take it off with zero."""
    with line_lock():
        row = _locked(order)
        if row.state != OrderState.DRAFT:
            raise Refused(f"{row} is {row.get_state_display().lower()}. Only a draft can be changed.")
        quantity_guard(component, quantity, zero_allowed=True)
        old = row.lines.filter(component=component).first()
        before = f"{old.quantity.normalize():f} × {component.name}" if old else ""
        if quantity == 0:
            if old is None:
                raise Refused(f"{component.name} is not on {row}.", "quantity")
            old.delete()
            _event(row, person, "order changed", before=before, after=f"{component.name} taken off")
            return row
        more = quantity - (old.quantity if old else NONE)
        if more > 0:
            parts_hold_guard({component: more}, person=person, reason="")
        offer = _offers(row.supplier, [component])[component.pk]
        line = _line(row, component, quantity, offer, old)
        _event(row, person, "order changed", before=before, after=_said(line, quantity))
    return row


def order_send(
    *,
    order: PurchaseOrder,
    person: User | None,
    ordered_on: date | None = None,
    expected: Mapping[int, date | None] | None = None,
) -> PurchaseOrder:
    """Say that a draft was sent. From now on its lines are on their way. Safe to repeat.

    `expected` the days the supplier named, by line id; for the others the lead time of the supplier's offer counts
    from `ordered_on`, around the supplier's closed days.
    """
    with line_lock():
        row = _locked(order)
        if row.state == OrderState.SENT:
            return row
        if row.state != OrderState.DRAFT:
            raise Refused(f"{row} is {row.get_state_display().lower()}. Make a new order.")
        day = ordered_on or shop_today()
        if day > shop_today():
            raise Refused("The day it was ordered lies ahead. Enter today or earlier.", "ordered_on")
        lines = list(row.lines.select_related("component"))
        if not lines:
            raise Refused(f"{row} has no lines. Add a part first.")
        row.state, row.ordered_on = OrderState.SENT, day
        row.save(update_fields=["state", "ordered_on"])
        leads = _lead_days(row.supplier, day)
        for line in lines:
            named = (expected or {}).get(line.pk)
            if named is not None and named < day:
                raise Refused(f"{line.component.name} can't be expected before it was ordered.", "expected")
            first = named or leads.get(line.component_id)
            reason = "The supplier's day" if named else "The offer's lead time"
            if first is not None:
                date_write(line, first, reason, person)
        _event(row, person, "order sent", after=f"{row.supplier.name}, {day}")
    return row


def order_cancel(*, order: PurchaseOrder, reason: str, person: User | None) -> PurchaseOrder:
    """Cancel what has not come. An order of which something came is closed as received; what is missing has to be
    ordered elsewhere, and shows as that. Safe to repeat.
    """
    with line_lock():
        row = _locked(order)
        if row.state == OrderState.CANCELLED:
            return row
        if row.state == OrderState.RECEIVED:
            raise Refused(f"{row} has come in full.")
        reason = reason_guard(reason, "Say why it is cancelled.")
        came = StockMove.objects.filter(kind=MoveKind.RECEIVED, order_line__order=row).exists()
        before = row.get_state_display()
        row.state = OrderState.RECEIVED if came else OrderState.CANCELLED
        row.save(update_fields=["state"])
        after = "Received in part, the rest cancelled" if came else row.get_state_display()
        _event(row, person, "order cancelled", before=before, after=after, reason=reason)
    return row


def date_write(
    line: PurchaseOrderLine,
    day: date | None,
    reason: str,
    person: User | None,
    *,
    entry: str = "",
    undoes: ExpectedDateChange | None = None,
) -> ExpectedDateChange:
    """Another expected day of a line, with its history row. `entry` is the same for lines changed in one act."""
    change = ExpectedDateChange(
        line=line, old=line.expected_on, new=day, reason=reason, person=person, entry=entry, undoes=undoes
    )
    change.full_clean(exclude=["line", "person", "undoes"])
    change.save(force_insert=True)
    line.expected_on = day
    line.save(update_fields=["expected_on"])
    return change


def _locked(order: PurchaseOrder) -> PurchaseOrder:
    return PurchaseOrder.objects.select_related("supplier").get(pk=order.pk)


def _offers(supplier: Supplier, components: Iterable[Component]) -> dict[int, Offer]:
    rows = list(components)
    offers = {
        offer.component_id: offer
        for offer in Offer.objects.filter(supplier=supplier, component__in=[row.pk for row in rows]).prefetch_related(
            "breaks"
        )
    }
    missing = [row.name for row in rows if row.pk not in offers]
    if missing:
        raise Refused(
            f"{supplier.name} is not entered as selling {', '.join(missing)}. Add the supplier's offer first.", "lines"
        )
    return offers


def _line(
    order: PurchaseOrder, component: Component, wanted: Decimal, offer: Offer, old: PurchaseOrderLine | None = None
) -> PurchaseOrderLine:
    line = old or PurchaseOrderLine(order=order, component=component)
    line.quantity = order_quantity(offer, wanted)
    line.unit_cost = offer_cost(offer, line.quantity)
    line.full_clean(exclude=["order", "component"], validate_unique=False)
    line.save()
    return line


def _said(line: PurchaseOrderLine, wanted: Decimal) -> str:
    rounded = "" if line.quantity == wanted else f" ({wanted.normalize():f} wanted)"
    return f"{line.quantity.normalize():f} × {line.component.name}{rounded}"


def _lead_days(supplier: Supplier, day: date) -> dict[int, date]:
    closed = closed_ordinals(DaySpan(first=row.first, last=row.last) for row in supplier.closures.all())
    offers = Offer.objects.filter(supplier=supplier, lead_days__isnull=False)
    return {
        offer.component_id: arrival_day(day, offer.lead_days, closed) for offer in offers if offer.lead_days is not None
    }


def _event(
    order: PurchaseOrder, person: User | None, verb: str, *, before: str = "", after: str = "", reason: str = ""
) -> None:
    event_write(person=person, verb=verb, subject=order.number, before=before, after=after, reason=reason)
