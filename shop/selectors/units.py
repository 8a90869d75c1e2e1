"""Units with numbers, and batches: which lie on the shelf, which are in which build."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Min, Sum

from shop.models import BATCH_KINDS, Build, Component, MoveKind, PartNeed, StockMove, StockUnit, UnitPlace

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Units of one batch in one place. `code` empty: nobody entered it."""

    code: str
    quantity: Decimal


def units_of(component: Component) -> tuple[StockUnit, ...]:
    """Every numbered unit of a component, those on the shelf first, then the newest."""
    if not component.numbered:
        return ()
    rows = component.units.select_related("need__build", "order_line__order")
    order = {place: index for index, place in enumerate(UnitPlace.values)}
    order[UnitPlace.SHELF] = -1
    return tuple(sorted(rows, key=lambda unit: (order[unit.place], unit.entered_at, unit.pk)))


def units_by_need(needs: Iterable[PartNeed]) -> Mapping[int, tuple[StockUnit, ...]]:
    """Units chosen for a need or built in, by need id. One query."""
    found: dict[int, tuple[StockUnit, ...]] = {}
    rows = StockUnit.objects.filter(need__in=[need.pk for need in needs]).order_by("entered_at", "pk")
    for unit in rows:
        if unit.need_id is not None:
            found[unit.need_id] = (*found.get(unit.need_id, ()), unit)
    return found


@dataclass(frozen=True, kw_only=True)
class Unnumbered:
    """A need of which units are without the number they should carry. `missing` how many."""

    need: PartNeed
    missing: int

    def __str__(self) -> str:
        name, of = self.need.component.name, self.need.quantity
        if of == 1:
            return f"The serial number of {name} is not entered."
        return f"{self.missing} of {of.normalize():f} serial numbers of {name} are not entered."


def unnumbered_needs(build: Build) -> tuple[Unnumbered, ...]:
    """What of a build should carry serial numbers and does not, as a record of what was built needs it. Two queries."""
    rows = build.needs.filter(quantity__gt=0).select_related("component").order_by("pk")
    needs = [need for need in rows if need.component.numbered]
    units = units_by_need(needs)
    found = (
        (need, int(need.quantity) - sum(unit.place == UnitPlace.BUILD for unit in units.get(need.pk, ())))
        for need in needs
    )
    return tuple(Unnumbered(need=need, missing=missing) for need, missing in found if missing > 0)


def batches_here(component: Component) -> tuple[Batch, ...]:
    """What lies on the shelf by batch, the oldest first."""
    if not component.batched:
        return ()
    sums = StockMove.objects.order_by().filter(component=component).exclude(on_hand=0).values("batch")
    rows = sums.annotate(there=Sum("on_hand"), first=Min("pk")).order_by("first")
    return tuple(Batch(code=row["batch"], quantity=row["there"]) for row in rows if row["there"])


def batches_by_need(needs: Iterable[PartNeed]) -> Mapping[int, tuple[Batch, ...]]:
    """What was issued to each need by batch, by need id. One query."""
    moves = StockMove.objects.order_by().filter(
        need__in=[need.pk for need in needs],
        kind__in=[MoveKind.ISSUED, MoveKind.RETURNED],
        component__kind__in=BATCH_KINDS,
    )
    found: dict[int, tuple[Batch, ...]] = {}
    for row in moves.values("need_id", "batch").annotate(went=Sum("on_hand"), first=Min("pk")).order_by("first"):
        if row["went"]:
            batch = Batch(code=row["batch"], quantity=-row["went"])
            found[row["need_id"]] = (*found.get(row["need_id"], ()), batch)
    return found


def split_by_batch(quantity: Decimal, batches: Iterable[Batch], wanted: str = "") -> tuple[Batch, ...]:
    """`quantity` taken from batches: from `wanted`, else from the first that has enough, else from the oldest on.

    One batch where that is possible: cells of one batch age alike. Raises ValueError when there are too few.
    """
    rows = [row for row in batches if row.quantity > 0]
    if wanted:
        rows = [row for row in rows if row.code.upper() == wanted.upper()]
    enough = next((row for row in rows if row.quantity >= quantity), None)
    taken: list[Batch] = []
    left = quantity
    for row in [enough] if enough else rows:
        part = min(left, row.quantity)
        if part > 0:
            taken.append(Batch(code=row.code, quantity=part))
            left -= part
    if left > 0:
        raise ValueError(f"{left} too few")
    return tuple(taken)
