"""Turns on the benches: one step before another build's, whatever their places in line."""

from __future__ import annotations

from django.contrib.auth.models import User

from shop.models import BuildStep, StepTurn
from shop.selectors.bench_order import order_preview, step_of
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import reason_guard

CHANGED = "The shop has changed since this was worked out. Look at the dates again, then enter it."
WHY = "Say why: the log keeps it."
VERB, BACK_VERB = "bench order changed", "bench order given back"


def turn_take(*, first: BuildStep, then: BuildStep, revision: int, reason: str, person: User | None) -> None:
    """Put a step before another one. Places in line, parts kept and promised dates stay. Safe to repeat.

    `revision` of the plan it was looked at with: refused when the shop has changed since. A turn the other way round
    goes. Refused while the step is under way, waits for longer, or belongs to the same build; see `order_preview`.
    """
    with line_lock() as lock:
        if StepTurn.objects.filter(first=first, then=then).exists():
            return
        reason = reason_guard(reason, WHY)
        if lock.revision - 1 != revision:
            raise Refused(CHANGED)
        found = order_preview(first=step_of(first.public_id), then=step_of(then.public_id))
        if found.refused:
            raise Refused(found.refused)
        StepTurn.objects.filter(first=then, then=first).delete()
        if not found.back:
            turn = StepTurn(first=first, then=then, reason=reason, person=person)
            turn.full_clean(exclude=["first", "then", "person"])
            turn.save(force_insert=True)
        _events(VERB, first, then, reason, person)


def turn_give_back(*, turn: StepTurn, revision: int, reason: str, person: User | None) -> None:
    """Let the two steps follow the order of the line again. Safe to repeat."""
    with line_lock() as lock:
        if not StepTurn.objects.filter(pk=turn.pk).exists():
            return
        reason = reason_guard(reason, WHY)
        if lock.revision - 1 != revision:
            raise Refused(CHANGED)
        StepTurn.objects.filter(pk=turn.pk).delete()
        _events(BACK_VERB, turn.first, turn.then, reason, person)


def _events(verb: str, first: BuildStep, then: BuildStep, reason: str, person: User | None) -> None:
    """One on each build, so that either's history tells it."""
    told = f"{first.label} of {first.build.number} before {then.label} of {then.build.number}"
    for step in (first, then):
        event_write(person=person, verb=verb, subject=step.build.number, build=step.build, after=told, reason=reason)
