"""The bench work as calendars are told it: worked out at most every quarter of an hour, however often they ask."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from quoting.request import DaySpan, ShopState
from quoting.result import LaneBooking
from shop.models import CLOSED_STATES, BookedPlan, BookedStep, BuildStep, Person
from shop.selectors.plan import plan_basis, planned

FRESH = timedelta(minutes=15)  # calendar programs ask every quarter of an hour at most (our own choice)
ONE_DAY = timedelta(days=1)
Piece = tuple[str, str]


def booked_refresh() -> None:
    """Work the bench work out anew when it is older than a quarter of an hour. What did not change stays untold."""
    now = timezone.now()
    known = BookedPlan.objects.filter(pk=1).first()
    if known is not None and now - FRESH < known.worked_out_at <= now:
        return
    with transaction.atomic():
        plan, _ = BookedPlan.objects.select_for_update().get_or_create(
            pk=1, defaults={"worked_out_at": now - ONE_DAY, "revision": 0}
        )
        if now - FRESH < plan.worked_out_at <= now:
            return
        state, moment, policies = plan_basis(now=None)
        _book(state, [each for lane in planned(state, moment, policies).people for each in lane.bookings], now)
        plan.worked_out_at, plan.revision = now, state.revision
        plan.save()


def _book(state: ShopState, bookings: list[LaneBooking], now: datetime) -> None:
    rows = BuildStep.objects.exclude(build__state__in=CLOSED_STATES)
    steps = {(step.build.number, step.code): step.pk for step in rows.select_related("build")}
    people = dict(Person.objects.values_list("name", "pk"))
    told = {row.step_id: row for row in BookedStep.objects.all()}
    seen = set()
    for each in bookings:
        step, who = steps.get((each.build, each.step)), people.get(each.person)
        if step is not None and who is not None:
            seen.add(step)
            pieces = [list(piece) for piece in pieces_of(state, each)]
            _tell(told.get(step), step, who, each.bench, pieces, now)
    for step, row in told.items():
        if step not in steps.values():
            row.delete()
        elif step not in seen:
            _tell(row, step, row.who_id, row.bench, [], now)


def _tell(row: BookedStep | None, step: int, who: int, bench: str, pieces: list[list[str]], now: datetime) -> None:
    """Write a step down when it is told for the first time or differs from what was told."""
    if row is None:
        BookedStep.objects.create(step_id=step, who_id=who, bench=bench, pieces=pieces, changed_at=now)
    elif (row.who_id, row.bench, row.pieces) != (who, bench, pieces):
        row.who_id, row.bench, row.pieces = who, bench, pieces
        row.sequence, row.changed_at = row.sequence + 1, now
        row.save(update_fields=["who", "bench", "pieces", "sequence", "changed_at"])


def pieces_of(state: ShopState, booking: LaneBooking) -> Iterator[Piece]:
    """A booking day by day, from opening to closing: nights, closed days, leave and downtime are left out."""
    zone = ZoneInfo(state.zone)
    off = [*state.closed_days, *_off(state, booking)]
    day = booking.start.astimezone(zone).date()
    while day <= booking.end.astimezone(zone).date():
        spans = [each for each in state.openings if each.weekday == day.weekday()]
        if spans and not any(span.first <= day <= span.last for span in off):
            opens = datetime.combine(day, min(each.start for each in spans), zone)
            ends = [each.end for each in spans]
            closes = datetime.combine(day + ONE_DAY if time(0) in ends else day, _last(ends), zone)
            start, end = max(booking.start, opens), min(booking.end, closes)
            if start < end:
                yield start.astimezone(UTC).isoformat(), end.astimezone(UTC).isoformat()
        day += ONE_DAY


def _last(ends: list[time]) -> time:
    return time(0) if time(0) in ends else max(ends)


def _off(state: ShopState, booking: LaneBooking) -> list[DaySpan]:
    leave = [span for each in state.people if each.name == booking.person for span in each.leave]
    down = [span for each in state.benches if each.name == booking.bench for span in each.down]
    return [*leave, *(down if booking.under_way else ())]
