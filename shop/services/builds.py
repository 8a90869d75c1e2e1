"""Builds in the line: moved, held, released, promised anew, taken out."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User

from quoting.result import Promise
from shop.models import Build, BuildState, PromiseEntry, StepState
from shop.selectors.balances import issued_by_need
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.places import line_in_order, places_give
from shop.services.promise_basis import named_basis, promise_basis
from shop.services.stock import reason_guard, stock_allot


def build_move(*, build: Build, place: int, reason: str, person: User | None) -> list[Build]:
    """Give a build another place, 1 for the next; the others close up. Returns the builds that moved.

    Promised dates stay as they are: they change by `build_promise_change` only. Reservations follow the line: a part on
    the shelf goes to whoever is now ahead and lacks it; what is on the bench stays. See `move_preview` before.
    """
    with line_lock():
        reason = reason_guard(reason, "Say why: the customers who move are shown it.")
        line = line_in_order()
        row = next((each for each in line if each.pk == build.pk), None)
        if row is None:
            row = Build.objects.get(pk=build.pk)
            raise Refused(f"{row} is {row.get_state_display().lower()} and has no place.")
        if not 1 <= place <= len(line):
            raise Refused(f"The line has places 1 to {len(line)}. Choose one of them.", "place")
        if row.place == place:
            raise Refused(f"{row} has place {place} already.", "place")
        others = [each for each in line if each.pk != row.pk]
        moved = places_give([*others[: place - 1], row, *others[place - 1 :]], person=person, reason=reason)
        stock_allot(person=person, reason=f"{row} moved to place {place}: {reason}"[:200])
    return moved


def build_hold(*, build: Build, reason: str, person: User | None) -> Build:
    """Take a build out of the plan until it is released. It keeps its place and the parts kept for it."""
    with line_lock():
        row = open_build(build)
        reason = reason_guard(reason, "Say what it waits for: the title, money, the customer.")
        if row.on_hold:
            raise Refused(f"{row} is on hold already: {row.hold_reason}. Release it first.")
        under_way = row.steps.filter(state=StepState.DOING).first()
        if under_way is not None:
            raise Refused(f"{under_way.label} is under way. Finish or pause it first.")
        row.hold_reason = reason
        row.full_clean(exclude=["version", "customer", "donor"], validate_unique=False)
        row.save(update_fields=["hold_reason"])
        event_write(person=person, verb="put on hold", subject=row.number, build=row, reason=reason)
    return row


def build_release(*, build: Build, person: User | None, note: str = "") -> Build:
    """Plan a held build again. Safe to repeat."""
    with line_lock():
        row = open_build(build)
        if not row.on_hold:
            return row
        before, row.hold_reason = row.hold_reason, ""
        row.save(update_fields=["hold_reason"])
        event_write(person=person, verb="released", subject=row.number, build=row, before=before, reason=note.strip())
    return row


def build_promise_change(
    *,
    build: Build,
    finish_from: date,
    finish_to: date,
    reason: str,
    person: User | None,
    agreed: Promise | None = None,
) -> PromiseEntry:
    """Promise another finish window, with the reason the customer is told. The old one stays in the history.

    `agreed` what is to be expected with a change order, when that is what moves it.
    """
    with line_lock() as lock:
        row = open_build(build)
        reason = reason_guard(reason, "Say why: the customer is told.")
        if row.state == BuildState.READY:
            raise Refused(f"{row} is ready: there is nothing left to promise.")
        if finish_to < finish_from:
            raise Refused("The window ends before it begins. Enter a later last day.", "finish_to")
        if finish_to < shop_today():
            raise Refused("The window has passed. Enter a last day from today on.", "finish_to")
        if (finish_from, finish_to) == (row.promised_from, row.promised_to):
            raise Refused("That is what was promised already.", "finish_to")
        window = finish_from, finish_to
        basis = promise_basis(agreed, window) if agreed else named_basis(row.number, window, lock.revision - 1)
        kind = PromiseEntry.Kind.AGREED if agreed else PromiseEntry.Kind.CHANGED
        entry = PromiseEntry(build=row, kind=kind, reason=reason, revision=lock.revision, person=person, **basis)
        return _promise_written(row, entry, window)


def _promise_written(row: Build, entry: PromiseEntry, window: tuple[date, date]) -> PromiseEntry:
    entry.finish_from, entry.finish_to = window
    entry.full_clean(exclude=["build", "person"], validate_unique=False)
    entry.save(force_insert=True)
    before = f"{row.promised_from} to {row.promised_to}" if row.promised_from else ""
    row.promised_from, row.promised_to = window
    row.save(update_fields=["promised_from", "promised_to"])
    event_write(
        person=entry.person,
        verb="promise changed",
        subject=row.number,
        build=row,
        before=before,
        after=f"{entry.finish_from} to {entry.finish_to}",
        reason=entry.reason,
    )
    return entry


def build_take_out(*, build: Build, person: User | None, reason: str) -> Build:
    """Cancel a build nobody has worked on: its parts and its place go to those behind. Call under the line's lock.

    Refused once a step was started or a part issued: then hours and parts have to be settled with the customer.
    """
    row = open_build(build)
    if row.state != BuildState.IN_LINE or row.steps.exclude(state=StepState.TODO, actual_h__isnull=True).exists():
        raise Refused(f"Work on {row} has begun. Its hours and parts have to be settled with the customer first.")
    issued = issued_by_need()
    if any(issued.get(need.pk) for need in row.needs.all()):
        raise Refused(f"Parts were issued to {row}. Return them to the shelf first.")
    build_leave(row, person=person, reason=reason)
    return row


def build_leave(row: Build, *, person: User | None, reason: str) -> None:
    """Take an open build out of the line whatever was done on it; the money is settled by whoever calls."""
    before, row.state, row.place, row.hold_reason = row.place, BuildState.CANCELLED, None, ""
    row.save(update_fields=["state", "place", "hold_reason"])
    event_write(
        person=person,
        verb="cancelled",
        subject=row.number,
        build=row,
        before=f"place {before}",
        reason=reason,
    )
    places_give(line_in_order(), person=person, reason="A build ahead was cancelled.")
    stock_allot(person=person, reason=f"{row} cancelled: {reason}"[:200])


def open_build(build: Build) -> Build:
    """The build as it stands now. Refused when it is closed."""
    row = Build.objects.get(pk=build.pk)
    if not row.is_open:
        raise Refused(f"{row} is {row.get_state_display().lower()}.")
    return row
