"""A stock count from a file: posted as count moves, all of it or nothing."""

from __future__ import annotations

from collections.abc import Iterator

from django.contrib.auth.models import User

from shop.importing.count_plan import CountPlan, PartCount, plan_counts, touched
from shop.importing.problems import FileError
from shop.models import Component, Event, ImportFile, MoveKind, StockMove, StockUnit, UnitMove, UnitPlace
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.import_files import file_applied, kept_file, problems_guard
from shop.services.line_lock import line_lock
from shop.services.stock import NONE, balance_guard, stock_allot

AT_ONCE = 500  # rows of one statement
MOST_NAMED = 500  # components allotted one by one; above that the whole shelf is (our own choice)


def count_file_apply(*, file: ImportFile, person: User | None, shown: str) -> ImportFile:
    """Post a count exactly as `shown` by its plan's fingerprint. Applied once, it stays so.

    Units found are kept for the first in line that lack them; where fewer lie than are reserved, units kept for the
    builds furthest back are released. Raises Refused when the file or the books are not as they were shown.
    """
    with line_lock():
        row = kept_file(file)
        if row.applied_at is not None:
            return row
        try:
            plan = plan_counts(bytes(row.content), row.filename)
        except FileError as error:
            raise Refused(str(error)) from error
        if plan.fingerprint != shown:
            raise Refused("Stock has moved since this was shown. Look the file over again.")
        problems_guard(plan.problems)
        if not plan.may_apply:
            raise Refused(plan.refused or "The shelf is like this already. There is nothing to apply.")
        _post(plan, row, person)
        outcome = ", ".join(f"{number} {label.lower()}" for label, number in plan.summary)
        event_write(person=person, verb="shelf counted by file", subject="stores", after=f"{row.filename}: {outcome}")
        return file_applied(row, outcome)


def _post(plan: CountPlan, file: ImportFile, person: User | None) -> None:
    rows = list(_moves(plan, file, person))
    StockMove.objects.bulk_create([move for move, _, _ in rows], batch_size=AT_ONCE)
    for move, count, serials in rows:
        if serials is None:
            _gone(count, move)
        else:
            _there(count.row.component, serials, move)
    for count in plan.counts:
        if count.named:
            _there(count.row.component, count.named, None)
    _shelves(plan, file, person)
    changed = touched(plan)
    if changed:
        few = {part.pk: part for part in changed} if len(changed) <= MOST_NAMED else None
        stock_allot(person=person, components=None if few is None else list(few.values()), reason="Counted by file")
        balance_guard(changed)


def _moves(
    plan: CountPlan, file: ImportFile, person: User | None
) -> Iterator[tuple[StockMove, PartCount, tuple[str, ...] | None]]:
    """Each move with its count; with numbers found, or None for units that are gone."""
    for count in plan.counts:
        reason = count.row.reason or f"Counted by {file.filename}"
        for change, serials in ((-count.less, None), (count.more, count.found)):
            if change:
                move = StockMove(
                    component=count.row.component,
                    kind=MoveKind.COUNTED,
                    on_hand=change,
                    reserved=NONE,
                    batch=count.batch,
                    reason=reason[:200],
                    person=person,
                    key=f"count:{file.public_id}:{count.row.row}:{'less' if serials is None else 'more'}",
                )
                move.clean_fields(exclude=["component", "person"])
                yield move, count, serials


def _gone(count: PartCount, move: StockMove) -> None:
    for unit in count.missing:
        unit.place, unit.need = UnitPlace.MISSING, None
        unit.save(update_fields=["place", "need"])
    UnitMove.objects.bulk_create(UnitMove(unit=unit, move=move) for unit in count.missing)


def _there(component: Component, serials: tuple[str, ...], move: StockMove | None) -> None:
    """Numbers on the shelf: known ones that were away, else new. Without a move they are given to units in place."""
    if not serials:
        return
    known = {unit.serial.upper(): unit for unit in StockUnit.objects.filter(component=component)}
    units = []
    for serial in serials:
        unit = known.get(serial.upper()) or StockUnit(component=component, serial=serial)
        unit.place, unit.need = UnitPlace.SHELF, None
        unit.save()
        units.append(unit)
    if move is not None:
        UnitMove.objects.bulk_create(UnitMove(unit=unit, move=move) for unit in units)


def _shelves(plan: CountPlan, file: ImportFile, person: User | None) -> None:
    """Places where components lie now, each with a line in the log."""
    moved: dict[int, Component] = {}
    events = []
    for count in plan.counts:
        component = count.row.component
        if count.moves_shelf and component.pk not in moved:
            before, component.shelf = component.shelf, count.row.shelf
            moved[component.pk] = component
            events.append(
                Event(
                    person=person,
                    verb="shelf changed",
                    subject=f"component {component.code}",
                    before=before,
                    after=count.row.shelf,
                    reason=f"Counted by {file.filename}",
                )
            )
    Component.objects.bulk_update(moved.values(), ["shelf"], batch_size=AT_ONCE)
    Event.objects.bulk_create(events, batch_size=AT_ONCE)
