"""People away and benches down: days on which the plan may not count on them."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User

from shop.models import Bench, BenchDowntime, Leave, Person
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import reason_guard


def leave_add(*, who: Person, first: date, last: date, reason: str, person: User | None) -> Leave:
    """Somebody is away on some days, both included. Safe to repeat. Why stays with the row: no log names it."""
    span_guard(first, last)
    with line_lock():
        known = Leave.objects.filter(person=who, first=first, last=last).first()
        if known is not None:
            return known
        row = Leave(person=who, first=first, last=last, reason=reason.strip())
        row.full_clean(exclude=["person"])
        row.save(force_insert=True)
        event_write(person=person, verb="leave entered", subject=who.name[:60], after=f"{first} to {last}")
    return row


def downtime_add(*, bench: Bench, first: date, last: date, reason: str, person: User | None) -> BenchDowntime:
    """A bench can't be used on some days, both included. Safe to repeat."""
    span_guard(first, last)
    reason = reason_guard(reason, "Say why the bench is down: the bench plan shows it.")
    with line_lock():
        known = BenchDowntime.objects.filter(bench=bench, first=first, last=last).first()
        if known is not None:
            return known
        row = BenchDowntime(bench=bench, first=first, last=last, reason=reason)
        row.full_clean(exclude=["bench"])
        row.save(force_insert=True)
        event_write(
            person=person, verb="bench down entered", subject=bench.name, after=f"{first} to {last}", reason=reason
        )
    return row


def span_guard(first: date, last: date) -> None:
    """Refuse days that run backward."""
    if last < first:
        raise Refused("Ends before it starts. Enter that day or a later one.", "last")
