"""Which numbered units a build has, or is to have: chosen while kept for it, put right when they are issued."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from django.contrib.auth.models import User
from django.db.models.functions import Upper

from shop.models import PartNeed, StockUnit, UnitPlace
from shop.selectors.balances import issued_by_need, reserved_by_need, stock_balances
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import NONE
from shop.services.units import LONGEST, where


def need_units_set(*, need: PartNeed, serials: Sequence[str], person: User | None) -> tuple[StockUnit, ...]:
    """Say which units are in a build, or, before they are issued, which of those on the shelf are meant for it.

    A number that is on the shelf changes places with one that is not named any more. A number nobody knows is entered
    for a unit that had none. Safe to repeat.
    """
    with line_lock():
        row = PartNeed.objects.select_related("build", "component").get(pk=need.pk)
        if not row.component.numbered:
            raise Refused(f"{row.component.name} is not kept by serial number.", "serials")
        issued, kept = (sums([row.pk]).get(row.pk, NONE) for sums in (issued_by_need, reserved_by_need))
        most = issued or kept
        if not most:
            raise Refused(f"No {row.component.name} is kept for {row.build} yet. Receive one first.", "serials")
        names = _read(serials)
        if len(names) > most:
            there = "issued to" if issued else "kept for"
            raise Refused(f"{most.normalize():f} are {there} {row.build}. Name at most as many.", "serials")
        old = list(StockUnit.objects.filter(need=row).order_by("entered_at", "pk"))
        chosen = _units(row, names)
        _exchange(row, old, chosen, UnitPlace.BUILD if issued else UnitPlace.SHELF)
        _guard_shelf(row)
        before, after = _said(old), _said(chosen)
        if before != after:
            event_write(
                person=person,
                verb="serial numbers set",
                subject=row.build.number,
                build=row.build,
                before=f"{row.component.name}: {before}",
                after=after,
            )
    return tuple(chosen)


def _read(serials: Sequence[str]) -> list[str]:
    names = [serial.strip() for serial in serials if serial.strip()]
    upper = [name.upper() for name in names]
    twice = next((name for name in names if upper.count(name.upper()) > 1), "")
    if twice:
        raise Refused(f"{twice} is entered twice. Each unit has its own number.", "serials")
    long = next((name for name in names if len(name) > LONGEST), "")
    if long:
        raise Refused(f"“{long[:20]}…” is longer than {LONGEST} characters. Scan it again.", "serials")
    return names


def _units(row: PartNeed, names: Sequence[str]) -> list[StockUnit]:
    rows = StockUnit.objects.filter(component=row.component).annotate(upper=Upper("serial"))
    found: Iterable[StockUnit] = rows.filter(upper__in=[name.upper() for name in names])
    known = {unit.serial.upper(): unit for unit in found}
    units: list[StockUnit] = []
    for name in names:
        unit = known.get(name.upper())
        if unit is None:
            unit = StockUnit(component=row.component, serial=name)
        elif unit.need_id not in (None, row.pk) or unit.place not in (UnitPlace.SHELF, UnitPlace.BUILD):
            chosen = f"chosen for {unit.need.build}" if unit.need and unit.place == UnitPlace.SHELF else where(unit)
            raise Refused(f"{unit.serial} is {chosen}. Check the number.", "serials")
        units.append(unit)
    return units


def _exchange(row: PartNeed, old: Iterable[StockUnit], chosen: Iterable[StockUnit], place: str) -> None:
    kept = {unit.pk for unit in chosen if unit.pk}
    for unit in old:
        if unit.pk not in kept:
            unit.place, unit.need = UnitPlace.SHELF, None
            unit.save(update_fields=["place", "need"])
    for unit in chosen:
        unit.place, unit.need = place, row
        unit.save()


def _guard_shelf(row: PartNeed) -> None:
    """A number on the shelf for which no unit lies there: it was built in, or is somewhere the books do not say."""
    numbered = StockUnit.objects.filter(component=row.component, place=UnitPlace.SHELF).count()
    balance = stock_balances([row.component_id]).get(row.component_id)
    there = balance.on_hand if balance else Decimal(0)
    if numbered > there:
        raise Refused(
            f"That would put {numbered} numbers on a shelf of {there.normalize():f} {row.component.name}. "
            "Name the unit that is in the build, or count the shelf first.",
            "serials",
        )


def _said(units: Iterable[StockUnit]) -> str:
    return ", ".join(unit.serial for unit in units) or "none"
