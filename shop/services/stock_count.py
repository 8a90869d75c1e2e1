"""What comes onto the shelf and leaves it, other than by an order: bought over the counter, counted, scrapped."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import (
    Component,
    MoveKind,
    OrderState,
    PartNeed,
    PurchaseOrder,
    PurchaseOrderLine,
    StockMove,
    UnitPlace,
)
from shop.selectors.balances import Balance, issued_by_need, stock_balances
from shop.services.batches import moves_by_batch
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.orders import date_write
from shop.services.stock import (
    NONE,
    balance_guard,
    move_repeated,
    move_write,
    quantity_guard,
    reason_guard,
    stock_allot,
)
from shop.services.units import serials_guard, units_come, units_leave

EMPTY = Balance()


def stock_receive(
    *,
    component: Component,
    quantity: Decimal,
    person: User | None,
    reason: str = "",
    key: str | None = None,
    serials: Sequence[str] = (),
    batch: str = "",
) -> StockMove:
    """Put units on the shelf that no order brought. The first in line who lack them have them kept at once."""
    with line_lock():
        repeated = move_repeated(key, component)
        if repeated is not None:
            return repeated
        quantity_guard(component, quantity)
        numbers = serials_guard(component, serials, quantity)
        move = move_write(
            component=component,
            kind=MoveKind.RECEIVED,
            on_hand=quantity,
            reason=reason.strip(),
            person=person,
            batch=batch.strip(),
            key=key or None,
        )
        units_come(component=component, serials=numbers, move=move)
        stock_allot(person=person, components=[component])
        _event(component, person, "received", after=_amount(quantity, numbers), reason=reason.strip())
    return move


def stock_count(
    *,
    component: Component,
    counted: Decimal,
    person: User | None,
    reason: str = "",
    seen: Decimal | None = None,
    key: str | None = None,
    serials: Sequence[str] = (),
) -> StockMove | None:
    """Enter what was counted on the shelf. Returns the difference as a move, None when the books were right.

    A difference needs its reason. Fewer than are reserved: units kept for the builds furthest back are released.
    `seen` what the books said when it was counted: when a delivery was booked since, the count is refused. `serials`
    the numbers of the units found, or of those missing.
    """
    with line_lock():
        repeated = move_repeated(key, component)
        if repeated is not None:
            return repeated
        quantity_guard(component, counted, "counted", zero_allowed=True)
        books = _on_hand(component)
        if seen is not None and seen != books:
            raise Refused(
                f"Stock of {component.name} moved while you counted: the books say {_amount(books)} now, not "
                f"{_amount(seen)}. Count again.",
                "counted",
            )
        if counted == books:
            _event(component, person, "counted", before=_amount(books), after=_amount(counted))
            return None
        reason = reason_guard(reason, "The count differs from the books. Say why, as far as it is known.")
        numbers = serials_guard(component, serials, abs(counted - books))
        move = moves_by_batch(
            component=component, kind=MoveKind.COUNTED, on_hand=counted - books, reason=reason, person=person, key=key
        )[0]
        if counted > books:
            units_come(component=component, serials=numbers, move=move)
        else:
            units_leave(component=component, serials=numbers, left=counted, place=UnitPlace.MISSING, move=move)
        stock_allot(person=person, components=[component], reason=f"Counted: {reason}"[:200])
        balance_guard([component])
        _event(component, person, "counted", before=_amount(books), after=_amount(counted, numbers), reason=reason)
    return move


def stock_scrap(
    *,
    component: Component,
    quantity: Decimal,
    reason: str,
    person: User | None,
    need: PartNeed | None = None,
    key: str | None = None,
    serials: Sequence[str] = (),
    batch: str = "",
) -> StockMove:
    """Take units off the shelf for good; with `need`, units that were issued to that build.

    The build then lacks them again, and gets the next in the order of the line.
    """
    with line_lock():
        repeated = move_repeated(key, component)
        if repeated is not None:
            return repeated
        quantity_guard(component, quantity)
        reason = reason_guard(reason, "Say what happened to it.")
        there = _on_hand(component) if need is None else _issued(need, component)
        where = "on the shelf" if need is None else f"issued to {need.build}"
        if quantity > there:
            raise Refused(f"Only {_amount(there)} of {component.name} are {where}. Scrap at most that.", "quantity")
        numbers = serials_guard(component, serials, quantity)
        if need is not None:
            back = moves_by_batch(
                component=component,
                kind=MoveKind.RETURNED,
                on_hand=quantity,
                need=need,
                reason=f"To scrap: {reason}"[:200],
                person=person,
            )
            batch = back[0].batch if len(back) == 1 else ""
        move = moves_by_batch(
            component=component,
            kind=MoveKind.SCRAPPED,
            on_hand=-quantity,
            reason=reason,
            person=person,
            batch=batch,
            key=key,
        )[0]
        units_leave(
            component=component, serials=numbers, left=there - quantity, place=UnitPlace.SCRAPPED, move=move, need=need
        )
        stock_allot(person=person, components=[component], reason=f"Scrapped: {reason}"[:200])
        balance_guard([component])
        _event(component, person, "scrapped", after=f"{_amount(quantity, numbers)} {where}", reason=reason, need=need)
    return move


def stock_send_back(
    *,
    component: Component,
    quantity: Decimal,
    reason: str,
    person: User | None,
    line: PurchaseOrderLine | None = None,
    key: str | None = None,
    serials: Sequence[str] = (),
    batch: str = "",
) -> StockMove:
    """Units off the shelf, back to who sold them. With `line` a replacement is due: the order's line is open again."""
    with line_lock():
        repeated = move_repeated(key, component)
        if repeated is not None:
            return repeated
        quantity_guard(component, quantity)
        reason = reason_guard(reason, "Say what is wrong with it.")
        there = _on_hand(component)
        if quantity > there:
            raise Refused(
                f"Only {_amount(there)} of {component.name} are on the shelf. Send back at most that.", "quantity"
            )
        numbers = serials_guard(component, serials, quantity)
        move = moves_by_batch(
            component=component,
            kind=MoveKind.SENT_BACK,
            on_hand=-quantity,
            reason=reason,
            person=person,
            batch=batch,
            order_line=line,
            key=key,
        )[0]
        units_leave(component=component, serials=numbers, left=there - quantity, place=UnitPlace.SUPPLIER, move=move)
        if line is not None:
            _due_again(line, person)
        stock_allot(person=person, components=[component], reason=f"Sent back: {reason}"[:200])
        balance_guard([component])
        _event(component, person, "sent back", after=_amount(quantity, numbers), reason=reason)
    return move


def _due_again(line: PurchaseOrderLine, person: User | None) -> None:
    """A replacement comes of a line: its order is on its way again, with no day until the supplier names one."""
    row = PurchaseOrder.objects.get(pk=line.order_id)
    if row.state == OrderState.RECEIVED:
        row.state = OrderState.SENT
        row.save(update_fields=["state"])
        event_write(person=person, verb="order open again", subject=row.number, after="a replacement is due")
    if line.expected_on is not None:
        date_write(line, None, "Sent back: a replacement is due", person)


def _on_hand(component: Component) -> Decimal:
    return stock_balances([component.pk]).get(component.pk, EMPTY).on_hand


def _issued(need: PartNeed, component: Component) -> Decimal:
    if need.component_id != component.pk:
        raise Refused(f"{need.build} does not take {component.name}.", "component")
    return issued_by_need([need.pk]).get(need.pk, NONE)


def _amount(quantity: Decimal, serials: Sequence[str] = ()) -> str:
    named = f" ({', '.join(serials)})" if serials else ""
    return f"{quantity.normalize():f}{named}"


def _event(
    component: Component,
    person: User | None,
    verb: str,
    *,
    before: str = "",
    after: str = "",
    reason: str = "",
    need: PartNeed | None = None,
) -> None:
    event_write(
        person=person,
        verb=verb,
        subject=component.code,
        build=need.build if need else None,
        before=before,
        after=after,
        reason=reason,
    )
