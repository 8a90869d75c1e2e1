"""Stock moves. All run under the line's lock, so that no unit is promised twice."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from django.contrib.auth.models import User
from django.db.models import Sum

from shop.models import CLOSED_STATES, Component, MoveKind, PartNeed, StockMove
from shop.selectors.balances import issued_by_need, reserved_by_need, stock_balances
from shop.services.errors import Refused

NONE = Decimal(0)


def stock_allot(*, person: User | None, components: Iterable[Component] | None = None) -> list[StockMove]:
    """Reserve free units for what builds still need, in the order of the line. Call it under the line's lock.

    Returns the reservations made, for all components or the given ones. Nothing reserved moves to another build.
    """
    balances = stock_balances()
    free = {component_id: balance.free for component_id, balance in balances.items() if balance.free > 0}
    needs = PartNeed.objects.exclude(build__state__in=CLOSED_STATES).filter(component_id__in=free)
    if components is not None:
        needs = needs.filter(component__in=components)
    kept, issued = reserved_by_need(), issued_by_need()
    made = []
    for need in needs.select_related("build", "component").order_by("build__place", "pk"):
        wanted = need.quantity - kept.get(need.pk, NONE) - issued.get(need.pk, NONE)
        taken = min(wanted, free[need.component_id])
        if taken > 0:
            free[need.component_id] -= taken
            made.append(
                move_write(component=need.component, kind=MoveKind.RESERVED, reserved=taken, need=need, person=person)
            )
    return made


def move_write(
    *,
    component: Component,
    kind: str,
    person: User | None,
    on_hand: Decimal = NONE,
    reserved: Decimal = NONE,
    need: PartNeed | None = None,
    reason: str = "",
    **extra: object,
) -> StockMove:
    """Write one move after its own checks. `extra` may carry `order_line` and `key`."""
    move = StockMove(
        component=component,
        kind=kind,
        on_hand=on_hand,
        reserved=reserved,
        need=need,
        reason=reason,
        person=person,
        **extra,
    )
    move.full_clean(exclude=["component", "need", "person", "order_line"], validate_unique=False)
    move.save(force_insert=True)
    return move


def balance_guard(component: Component) -> None:
    """Refuse when a component's moves leave less than nothing on the shelf, or more reserved than is there."""
    sums = component.moves.aggregate(shelf=Sum("on_hand"), kept=Sum("reserved"))
    shelf, kept = sums["shelf"] or NONE, sums["kept"] or NONE
    if shelf < 0 or kept < 0 or kept > shelf:
        raise Refused(
            f"{component.name}: {shelf.normalize():f} on the shelf would not cover {kept.normalize():f} reserved. "
            "Count the shelf, or release a reservation first."
        )
