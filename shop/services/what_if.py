"""Applying what was tried on the What-if page: all of it or nothing."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User

from shop.models import PurchaseOrderLine
from shop.selectors.what_if import Chosen
from shop.services.absences import downtime_add, leave_add
from shop.services.builds import build_move
from shop.services.errors import Refused
from shop.services.line_lock import line_lock
from shop.services.orders_receive import expected_change
from shop.services.stock import reason_guard


def changes_apply(*, chosen: Chosen, revision: int, reason: str, person: User | None) -> None:
    """Enter the changes through their own services, in one transaction.

    `revision` of the plan they were tried on: refused when the shop has changed since, so that nothing else moves than
    what was shown. That makes a second press harmless too.
    """
    with line_lock() as lock:
        if lock.revision - 1 != revision:
            raise Refused("The shop has changed since this was worked out. Look at the dates again, then apply.")
        if chosen.only_tried:
            raise Refused("Another bench and longer hours are entered in Settings. Take them out to apply the rest.")
        reason = reason_guard(reason, "Say why: the customers who move are shown it, and the log keeps it.")
        if chosen.days:
            _dates(chosen, reason, person)
        if chosen.bench and chosen.bench_span:
            down = chosen.bench_span
            downtime_add(bench=chosen.bench, first=down.first, last=down.last, reason=reason[:120], person=person)
        if chosen.person and chosen.person_span:
            away = chosen.person_span
            leave_add(who=chosen.person, first=away.first, last=away.last, reason=reason[:120], person=person)
        if chosen.build:
            build_move(build=chosen.build, place=chosen.place, reason=reason, person=person)


def _dates(chosen: Chosen, reason: str, person: User | None) -> None:
    by_day: dict[date, list[PurchaseOrderLine]] = {}
    for line, day in chosen.days:
        by_day.setdefault(day, []).append(line)
    for day, lines in by_day.items():
        expected_change(lines=lines, new_date=day, reason=reason, person=person)
