"""Units with numbers of their own, moved along with the stock moves that carry them. Called under the line's lock.

Units without a number are allowed: a shop begins with a shelf of them. So there are never more numbered units in a
place than the moves have put there, and when fewer are left, the one that goes has to be named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from django.db.models.functions import Upper

from shop.models import (
    Component,
    PartNeed,
    PurchaseOrderLine,
    StockMove,
    StockUnit,
    UnitMove,
    UnitPlace,
)
from shop.services.errors import Refused

LONGEST = 60  # StockUnit.serial


def serials_guard(component: Component, serials: Sequence[str], quantity: Decimal) -> tuple[str, ...]:
    """The numbers without blanks around them. Refused when they do not fit the component or the quantity."""
    read = tuple(serial.strip() for serial in serials if serial.strip())
    if not read:
        return ()
    if not component.numbered:
        raise Refused(f"{component.name} is not kept by serial number. Leave the numbers out.", "serials")
    long = [serial for serial in read if len(serial) > LONGEST]
    if long:
        raise Refused(f"“{long[0][:20]}…” is longer than {LONGEST} characters. Scan it again.", "serials")
    twice = sorted({serial for serial in read if [each.upper() for each in read].count(serial.upper()) > 1})
    if twice:
        raise Refused(f"{twice[0]} is entered twice. Each unit has its own number.", "serials")
    if len(read) != quantity:
        raise Refused(
            f"{len(read)} number{'' if len(read) == 1 else 's'} for {quantity.normalize():f} of {component.name}. "
            "Enter one for each, or none.",
            "serials",
        )
    return read


def units_come(
    *, component: Component, serials: Sequence[str], move: StockMove, order_line: PurchaseOrderLine | None = None
) -> list[StockUnit]:
    """New units, or old ones that come back from a supplier or were found, onto the shelf."""
    known = {unit.serial.upper(): unit for unit in _named(component, serials)}
    units = []
    for serial in serials:
        unit = known.get(serial.upper())
        if unit is None:
            unit = StockUnit(component=component, serial=serial, order_line=order_line)
            unit.full_clean(exclude=["component", "order_line"], validate_constraints=False)
            unit.save(force_insert=True)
        elif unit.place in (UnitPlace.SHELF, UnitPlace.BUILD):
            raise Refused(f"{unit.serial} is {where(unit)} already. Check the number.", "serials")
        else:
            unit.place = UnitPlace.SHELF
            unit.save(update_fields=["place"])
        units.append(unit)
    _moved(units, move)
    return units


def units_leave(
    *, component: Component, serials: Sequence[str], left: Decimal, place: str, move: StockMove,
    need: PartNeed | None = None,
) -> list[StockUnit]:  # fmt: skip
    """The units that a move takes off the shelf, or with `need` out of that build, to `place`.

    `left` units stay behind. None named: all when nothing stays; otherwise only when enough unnumbered ones are there.
    """
    there = list(_there(component, need))
    going = _picked(there, serials, "on the shelf" if need is None else f"in {need.build}")
    if len(there) - len(going) > left:
        if serials or left > 0:
            raise Refused(f"Say which of {', '.join(unit.serial for unit in there)} it is.", "serials")
        going = there
    for unit in going:
        unit.place, unit.need = place, None
        unit.save(update_fields=["place", "need"])
    _moved(going, move)
    return going


def units_issue(*, need: PartNeed, serials: Sequence[str], move: StockMove) -> list[StockUnit]:
    """The units a move hands to a build: those named, else those chosen for it, else the oldest nobody has chosen."""
    if not need.component.numbered:
        return []
    there = list(_there(need.component, None))
    if serials:
        going = _picked(there, serials, "on the shelf")
        others = [unit for unit in going if unit.need_id not in (None, need.pk)]
        if others:
            raise Refused(f"{others[0].serial} is chosen for another build. Choose another unit.", "serials")
    else:
        own = [unit for unit in there if unit.need_id == need.pk]
        free = [unit for unit in there if unit.need_id is None]
        going = [*own, *free][: int(-move.on_hand)]
    for unit in going:
        unit.place, unit.need = UnitPlace.BUILD, need
        unit.save(update_fields=["place", "need"])
    _moved(going, move)
    return going


def choices_drop(needs: Iterable[PartNeed]) -> None:
    """Units on the shelf chosen for needs that have lost units kept for them are nobody's again."""
    StockUnit.objects.filter(need__in=[need.pk for need in needs], place=UnitPlace.SHELF).update(need=None)


def where(unit: StockUnit) -> str:
    """Where a unit is, in words."""
    if unit.place == UnitPlace.BUILD and unit.need:
        return f"in {unit.need.build}"
    return str(unit.get_place_display()).lower()


def _there(component: Component, need: PartNeed | None) -> Iterable[StockUnit]:
    rows = StockUnit.objects.filter(component=component).order_by("entered_at", "pk")
    return rows.filter(place=UnitPlace.SHELF) if need is None else rows.filter(place=UnitPlace.BUILD, need=need)


def _picked(there: Iterable[StockUnit], serials: Sequence[str], words: str) -> list[StockUnit]:
    by_serial = {unit.serial.upper(): unit for unit in there}
    unknown = [serial for serial in serials if serial.upper() not in by_serial]
    if unknown:
        known = ", ".join(unit.serial for unit in by_serial.values()) or "none"
        raise Refused(f"{unknown[0]} is not {words}. There: {known}.", "serials")
    return [by_serial[serial.upper()] for serial in serials]


def _named(component: Component, serials: Sequence[str]) -> Iterable[StockUnit]:
    rows = StockUnit.objects.filter(component=component).annotate(upper=Upper("serial"))
    return rows.filter(upper__in=[serial.upper() for serial in serials]).select_related("need__build")


def _moved(units: Iterable[StockUnit], move: StockMove) -> None:
    UnitMove.objects.bulk_create(UnitMove(unit=unit, move=move) for unit in units)
