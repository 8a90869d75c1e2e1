"""Stock moves. All run under the line's lock, so that no unit is promised twice.

Reservations follow the order of the line at all times: a build has units kept before any build behind it, save units
that a person lent on (`shop.services.lending`). What is issued has left the shelf and follows nothing. The plan pegs
parts by the same rule, so it and the shelf agree.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal

from django.contrib.auth.models import User
from django.db.models import Q, Sum

from shop.models import CLOSED_STATES, Component, MoveKind, PartNeed, StockMove
from shop.selectors.balances import assured_by_need, issued_by_need, reserved_by_need, stock_balances
from shop.services.errors import Refused
from shop.services.units import choices_drop

NONE = Decimal(0)


def stock_allot(
    *, person: User | None, components: Collection[Component] | None = None, reason: str = ""
) -> list[StockMove]:
    """Reserve what is on the shelf for what open builds still need, in the order of the line, and nothing else.

    Call it under the line's lock after whatever changed shelf, line or needs; for all components or the given ones.
    Free units go to the first in line that lack them. When the shelf holds less than is reserved, or the line has
    changed, units kept for builds further back are released. Closed builds keep nothing. Returns the moves made.
    """
    ids = None if components is None else [component.pk for component in components]
    left = {component_id: balance.on_hand for component_id, balance in stock_balances(ids).items()}
    needs = PartNeed.objects.all() if ids is None else PartNeed.objects.filter(component__in=ids)
    kept, issued = reserved_by_need(components=ids), issued_by_need(components=ids)
    needs = needs.filter(~Q(build__state__in=CLOSED_STATES) | Q(pk__in=[pk for pk in kept if kept[pk]]))
    rows = list(needs.select_related("build", "component").order_by("build__place", "pk"))
    due = _due(rows, left, issued)
    more: list[tuple[PartNeed, Decimal]] = []
    less: list[tuple[PartNeed, Decimal]] = []
    for need in rows:
        change = due[need.pk] - kept.get(need.pk, NONE)
        if change:
            (more if change > 0 else less).append((need, change))
    moves = [
        StockMove(
            component=need.component,
            kind=MoveKind.RESERVED if change > 0 else MoveKind.RELEASED,
            reserved=change,
            need=need,
            reason=reason,
            person=person,
        )
        for need, change in [*less, *more]
    ]
    for move in moves:
        move.clean_fields(exclude=["component", "need", "person"])
    if less:
        choices_drop(need for need, _ in less)
    return StockMove.objects.bulk_create(moves)  # one statement: everybody waits for the line; the table checks it


def _due(rows: Iterable[PartNeed], left: dict[int, Decimal], issued: Mapping[int, Decimal]) -> Mapping[int, Decimal]:
    """Units to keep for each need, in the order of the line: what was lent to a need first, then the rest."""
    due: dict[int, Decimal] = {}
    assured = assured_by_need()
    for most in (assured, None):
        for need in rows:
            before, gone = due.get(need.pk, NONE), issued.get(need.pk, NONE)
            until = need.quantity if most is None else min(most.get(need.pk, NONE), need.quantity)
            wanted = until - gone - before if need.build.is_open else NONE
            more = max(min(wanted, left.get(need.component_id, NONE)), NONE)
            left[need.component_id] = left.get(need.component_id, NONE) - more
            due[need.pk] = before + more
    return due


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
    """Write one move after its own checks. `extra` may carry `order_line`, `batch` and `key`."""
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


def balance_guard(components: Iterable[Component]) -> None:
    """Refuse when moves leave less than nothing on a shelf, or more reserved than is there. The last look."""
    rows = {component.pk: component for component in components}
    moves = StockMove.objects.order_by().filter(component__in=rows).values("component_id")
    for sums in moves.annotate(shelf=Sum("on_hand"), kept=Sum("reserved")):
        shelf, kept = sums["shelf"], sums["kept"]
        if shelf < 0 or kept < 0 or kept > shelf:
            raise Refused(
                f"{rows[sums['component_id']].name}: {shelf.normalize():f} on the shelf would not cover "
                f"{kept.normalize():f} reserved. Count the shelf first."
            )


def quantity_guard(
    component: Component, quantity: Decimal, field: str = "quantity", *, zero_allowed: bool = False
) -> None:
    """Refuse what is no quantity of this component: less than nothing, parts of a piece, finer than a millimeter."""
    if quantity < 0 or (quantity == 0 and not zero_allowed):
        raise Refused("Enter zero or more." if zero_allowed else "The quantity must be more than zero.", field)
    places = 0 if component.unit == "piece" else 3
    if quantity != round(quantity, places):
        whole = f"{component.name} is counted in whole pieces." if not places else "Give at most three decimals."
        raise Refused(f"{whole} {quantity.normalize():f} can't be.", field)


def reason_guard(reason: str, remedy: str) -> str:
    """The reason without blanks around it. Refused when there is none."""
    if not reason.strip():
        raise Refused(remedy, "reason")
    return reason.strip()


def move_repeated(key: str | None, component: Component) -> StockMove | None:
    """The move an earlier press of the same form made, so that a second press changes nothing."""
    if not key:
        return None
    move = StockMove.objects.filter(key=key).select_related("component", "need").first()
    if move is not None and move.component_id != component.pk:
        raise Refused(f"This form was used for {move.component.name} already. Open a fresh one.")
    return move
