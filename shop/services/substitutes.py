"""A part in another's place: the pairs a shop allows, and the exchange on one build after the rules have looked."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.db import transaction

from shop.models import Component, MoveKind, PartNeed, Substitute
from shop.selectors.balances import issued_by_need, reserved_by_need
from shop.selectors.substitutes import said, stand_ins
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import NONE, move_write, reason_guard, stock_allot


@transaction.atomic
def substitute_add(*, component: Component, stand_in: Component, person: User | None, note: str = "") -> Substitute:
    """Allow one part in another's place, on builds where the rules find nothing against it. Safe to repeat."""
    if component.pk == stand_in.pk:
        raise Refused("A part can't stand in for itself. Choose another.", "stand_in")
    if component.kind != stand_in.kind:
        raise Refused(f"{stand_in.name} is of another kind. Choose a part of the same kind.", "stand_in")
    made = Substitute.objects.filter(component=component, stand_in=stand_in).first()
    if made is not None:
        return made
    row = Substitute(component=component, stand_in=stand_in, note=note.strip())
    row.full_clean(exclude=["component", "stand_in"], validate_unique=False)
    row.save(force_insert=True)
    event_write(person=person, verb="stand-in allowed", subject=component.code, after=stand_in.name, reason=row.note)
    return row


@transaction.atomic
def substitute_remove(*, component: Component, stand_in: Component, person: User | None) -> None:
    """Take an allowed pair away. Builds that have the part keep it. Safe to repeat."""
    gone, _ = Substitute.objects.filter(component=component, stand_in=stand_in).delete()
    if gone:
        event_write(person=person, verb="stand-in taken away", subject=component.code, before=stand_in.name)


def part_swap(*, need: PartNeed, stand_in: Component, reason: str, person: User | None) -> PartNeed:
    """Put another part in a need's place. Refused when the rules find a stop, or a unit was issued. Safe to repeat.

    The price that was agreed stays: another price takes a change order. Checks the rules find stand in the log with
    the reason.
    """
    with line_lock():
        row = PartNeed.objects.select_related("build__version", "component", "instead_of").get(pk=need.pk)
        if row.component_id == stand_in.pk:
            return row
        reason = reason_guard(reason, "Say why the other part is used.")
        if not row.build.is_open:
            raise Refused(f"{row.build} is {row.build.get_state_display().lower()}.")
        if issued_by_need([row.pk]).get(row.pk):
            raise Refused(f"{row.component.name} was issued to {row.build}. Return it to the shelf first.")
        if row.build.needs.filter(component=stand_in).exists():
            raise Refused(f"{row.build} needs {stand_in.name} already, besides. Choose another part.", "stand_in")
        chosen = next((each for each in stand_ins(row) if each.component.pk == stand_in.pk), None)
        if chosen is None:
            raise Refused(f"{stand_in.name} is not entered as a stand-in for {row.component.name}.", "stand_in")
        if not chosen.fits:
            raise Refused(f"{stand_in.name} does not fit {row.build}: {said(chosen.stops)}", "stand_in")
        old = row.component
        _release(row, person)
        row.instead_of = None if row.instead_of_id == stand_in.pk else row.instead_of or old
        row.component = stand_in
        row.save(update_fields=["component", "instead_of"])
        stock_allot(person=person, components=[old, stand_in], reason=f"Replaced: {reason}"[:200])
        checks = f" To check: {said(chosen.checks)}" if chosen.checks else ""
        event_write(
            person=person,
            verb="part replaced",
            subject=row.build.number,
            build=row.build,
            before=old.name,
            after=f"{stand_in.name}.{checks}",
            reason=reason,
        )
    return row


def _release(row: PartNeed, person: User | None) -> None:
    kept = reserved_by_need([row.pk]).get(row.pk, NONE)
    row.units.update(need=None)
    if kept:
        move_write(
            component=row.component,
            kind=MoveKind.RELEASED,
            reserved=-kept,
            need=row,
            reason="Another part takes its place",
            person=person,
        )
