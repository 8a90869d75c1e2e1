"""A supplier's new day taken back, and the customers it concerns told."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Build, ExpectedDateChange, Mail
from shop.selectors.balances import received_by_line
from shop.services.builds import build_promise_change
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.mail import mail_write
from shop.services.orders import date_write
from shop.services.stock import NONE


def expected_undo(*, entry: str, person: User | None) -> tuple[ExpectedDateChange, ...]:
    """Take back the days entered in one act: each line has the day it had before. The history keeps both.

    Refused once a line was given yet another day, or its units have come. Safe to repeat.
    """
    with line_lock():
        rows = ExpectedDateChange.objects.filter(entry=entry).exclude(entry="").exclude(old=None, new=None)
        changes = list(rows.select_related("line__order", "line__component").order_by("pk"))
        if not changes:
            raise Refused("There is nothing to take back.")
        done = ExpectedDateChange.objects.filter(undoes__in=changes)
        if done.exists():
            return tuple(done)
        came = received_by_line([change.line_id for change in changes])
        for change in changes:
            line = change.line
            if line.expected_on != change.new:
                raise Refused(f"{line.component.name} was given another day since. Enter the right day instead.")
            if came.get(line.pk, NONE) >= line.wanted:
                raise Refused(f"{line.component.name} has come. Nothing is left to take back.")
        undone = tuple(
            date_write(change.line, change.old, f"Taken back: {change.reason}"[:200], person, undoes=change)
            for change in changes
        )
        for change in undone:
            event_write(
                person=person,
                verb="expected day taken back",
                subject=change.line.order.number,
                before=f"{change.line.component.name}: {change.old or 'no day'}",
                after=f"{change.new or 'no day'}",
                reason=change.reason,
            )
    return undone


@transaction.atomic
def customer_tell(
    *,
    build: Build,
    finish_from: date,
    finish_to: date,
    reason: str,
    to: str,
    subject: str,
    body: str,
    person: User | None,
    key: str,
) -> Mail:
    """Promise a build its new window and write to its customer, both or neither. Safe to repeat with the same `key`."""
    made = Mail.objects.filter(key=key).first()
    if made is not None:
        return made
    build_promise_change(build=build, finish_from=finish_from, finish_to=finish_to, reason=reason, person=person)
    return mail_write(to=to, subject=subject, body=body, person=person, key=key, build=build)
