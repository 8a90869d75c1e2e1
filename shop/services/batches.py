"""Moves of what is bought by the batch: one move for each batch it comes from or goes back to."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User

from shop.models import Component, MoveKind, PartNeed, StockMove
from shop.selectors.units import Batch, batches_by_need, batches_here, split_by_batch
from shop.services.errors import Refused
from shop.services.stock import NONE, move_write


def moves_by_batch(
    *,
    component: Component,
    kind: str,
    on_hand: Decimal,
    person: User | None,
    reserved: Decimal = NONE,
    need: PartNeed | None = None,
    reason: str = "",
    batch: str = "",
    key: str | None = None,
    **extra: Any,
) -> list[StockMove]:
    """One move, or one for each batch the units belong to; the first carries the key.

    Off the shelf: from `batch`, else from one batch that has enough, else the oldest first. Back from a build: to the
    batches it was given. Found in a count: to no batch.
    """
    parts = _parts(component, kind, on_hand, need, batch.strip())
    return [
        move_write(
            component=component,
            kind=kind,
            person=person,
            on_hand=part.quantity if on_hand > 0 else -part.quantity,
            reserved=-part.quantity if reserved else NONE,
            need=need,
            reason=reason,
            batch=part.code,
            key=(key or None) if index == 0 else None,
            **extra,
        )
        for index, part in enumerate(parts)
    ]


def _parts(component: Component, kind: str, on_hand: Decimal, need: PartNeed | None, batch: str) -> tuple[Batch, ...]:
    quantity = abs(on_hand)
    if not component.batched or (on_hand > 0 and kind != MoveKind.RETURNED):
        return (Batch(code=batch, quantity=quantity),)
    there = batches_here(component)
    if kind == MoveKind.RETURNED and need is not None:
        there = batches_by_need([need]).get(need.pk, ())
    try:
        return split_by_batch(quantity, there, batch)
    except ValueError as error:
        known = ", ".join(f"{row.quantity.normalize():f} of {row.code or 'no batch'}" for row in there) or "none"
        raise Refused(f"Batch {batch} has too few. There: {known}.", "batch") from error
