"""Units handed to a build's bench, and back onto the shelf."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import MoveKind, PartNeed, StockMove, UnitPlace
from shop.selectors.balances import issued_by_need, reserved_by_need
from shop.services.batches import moves_by_batch
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import (
    NONE,
    balance_guard,
    move_repeated,
    quantity_guard,
    reason_guard,
    stock_allot,
)
from shop.services.units import serials_guard, units_issue, units_leave


def stock_issue(
    *,
    need: PartNeed,
    person: User | None,
    quantity: Decimal | None = None,
    key: str | None = None,
    serials: Sequence[str] = (),
    batch: str = "",
) -> StockMove:
    """Hand units kept for a build to its bench before the step that takes them; all that are kept unless told.

    `serials` which units; none named: those chosen for it, else the oldest.
    """
    with line_lock():
        need = _need(need)
        repeated = move_repeated(key, need.component)
        if repeated is not None:
            return repeated
        if not need.build.is_open:
            raise Refused(f"{need.build} is {need.build.get_state_display().lower()}.")
        kept = reserved_by_need([need.pk]).get(need.pk, NONE)
        wanted = kept if quantity is None else quantity
        if not kept:
            raise Refused(f"No {need.component.name} is kept for {need.build}. Receive or count it first.", "quantity")
        quantity_guard(need.component, wanted)
        if wanted > kept:
            raise Refused(f"{kept.normalize():f} are kept for {need.build}. Issue at most that.", "quantity")
        numbers = serials_guard(need.component, serials, wanted)
        move = needs_issue([(need, wanted)], person=person, key=key, serials=numbers, batch=batch)[0]
        _event(need, person, "issued", wanted)
    return move


def stock_return(
    *,
    need: PartNeed,
    quantity: Decimal,
    reason: str,
    person: User | None,
    key: str | None = None,
    serials: Sequence[str] = (),
) -> StockMove:
    """Take issued units back onto the shelf. They are kept for whoever is first in line and lacks them."""
    with line_lock():
        need = _need(need)
        repeated = move_repeated(key, need.component)
        if repeated is not None:
            return repeated
        quantity_guard(need.component, quantity)
        reason = reason_guard(reason, "Say why it goes back to the shelf.")
        issued = issued_by_need([need.pk]).get(need.pk, NONE)
        if quantity > issued:
            raise Refused(
                f"{issued.normalize():f} of {need.component.name} were issued to {need.build}. Return at most that.",
                "quantity",
            )
        numbers = serials_guard(need.component, serials, quantity)
        move = moves_by_batch(
            component=need.component,
            kind=MoveKind.RETURNED,
            on_hand=quantity,
            need=need,
            reason=reason,
            person=person,
            key=key,
        )[0]
        units_leave(
            component=need.component,
            serials=numbers,
            left=issued - quantity,
            place=UnitPlace.SHELF,
            move=move,
            need=need,
        )
        stock_allot(person=person, components=[need.component])
        _event(need, person, "returned", quantity, reason)
    return move


def needs_issue(
    rows: Iterable[tuple[PartNeed, Decimal]],
    *,
    person: User | None,
    key: str | None = None,
    serials: Sequence[str] = (),
    batch: str = "",
) -> list[StockMove]:
    """Issue kept units. Call it under the line's lock, with no more than is kept for each need.

    `serials` and `batch` only with a single row.
    """
    moves: list[StockMove] = []
    for need, quantity in rows:
        made = moves_by_batch(
            component=need.component,
            kind=MoveKind.ISSUED,
            on_hand=-quantity,
            reserved=-quantity,
            need=need,
            person=person,
            batch=batch,
            key=key,
        )
        units_issue(need=need, serials=serials, move=made[0])
        moves.extend(made)
    balance_guard({move.component for move in moves})
    return moves


def _need(need: PartNeed) -> PartNeed:
    return PartNeed.objects.select_related("build", "component").get(pk=need.pk)


def _event(need: PartNeed, person: User | None, verb: str, quantity: Decimal, reason: str = "") -> None:
    event_write(
        person=person,
        verb=verb,
        subject=need.build.number,
        build=need.build,
        after=f"{quantity.normalize():f} of {need.component.name}",
        reason=reason,
    )
