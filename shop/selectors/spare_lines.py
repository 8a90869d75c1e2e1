"""Units on orders that a change order has made needless: to be taken off a draft, cancelled with the supplier, or kept.

Nothing is noted anywhere: they are what shelf and orders hold beyond what open builds and the least stock need.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from shop.models import CLOSED_STATES, ChangeOrder, Component, OptionPart, OrderState, PurchaseOrderLine
from shop.selectors.balances import received_by_line
from shop.selectors.stock import Stores

NONE = Decimal(0)
OPEN = (OrderState.DRAFT, OrderState.SENT)


@dataclass(frozen=True, kw_only=True)
class SpareLine:
    """`quantity` of a line's units still to come that nothing needs any more; `rest` what the line would keep."""

    line: PurchaseOrderLine
    quantity: Decimal
    rest: Decimal
    changes: tuple[ChangeOrder, ...] = ()

    @property
    def is_draft(self) -> bool:
        return self.line.order.state == OrderState.DRAFT


def spare_lines() -> tuple[SpareLine, ...]:
    """What accepted change orders to open builds took off and is still on order. A fixed number of queries."""
    taken = _taken_off()
    lines = open_lines(taken) if taken else []
    if not lines:
        return ()
    components = {line.component_id: line.component for line, _ in lines}
    stores = Stores(list(components))
    found: list[SpareLine] = []
    for pk, component in components.items():
        off = sum((quantity for _, quantity in taken[pk]), NONE)
        found += _spare_on(lines, component, stores, off, changes=tuple(change for change, _ in taken[pk]))
    return tuple(sorted(found, key=lambda each: each.line.pk))


def spare_after(
    component: Component,
    freed: Decimal,
    off: Decimal,
    stores: Stores,
    lines: Iterable[tuple[PurchaseOrderLine, Decimal]],
) -> list[SpareLine]:
    """What would be spare on these lines if a build gave up `off` units, `freed` of them on the shelf."""
    return _spare_on(lines, component, stores, off, given_up=off, freed=freed)


def open_lines(components: Iterable[int]) -> list[tuple[PurchaseOrderLine, Decimal]]:
    """Lines of drafts and sent orders with what is still to come, drafts first, then the newest. Two queries."""
    rows = PurchaseOrderLine.objects.filter(order__state__in=OPEN, component__in=components)
    lines = list(rows.select_related("order__supplier", "component").order_by("order__state", "-pk"))
    came = received_by_line([line.pk for line in lines])
    lefts = [(line, line.wanted - came.get(line.pk, NONE)) for line in lines]
    return [(line, left) for line, left in lefts if left > 0]


def _spare_on(
    lines: Iterable[tuple[PurchaseOrderLine, Decimal]],
    component: Component,
    stores: Stores,
    most: Decimal,
    *,
    given_up: Decimal = NONE,
    freed: Decimal = NONE,
    changes: tuple[ChangeOrder, ...] = (),
) -> list[SpareLine]:
    """Up to `most` spare units of a component on its lines, those first that cost nothing to take off.

    Spare is what shelf and orders hold beyond what builds and the least stock need, were `given_up` needed no more and
    `freed` of that free on the shelf.
    """
    mine = [each for each in lines if each[0].component_id == component.pk]
    drafted = sum((left for line, left in mine if line.order.state == OrderState.DRAFT), NONE)
    row = stores.row(component)
    short = max(row.short - (given_up - freed), NONE)
    spare = min(row.free + freed + row.on_order + drafted - short - component.keep_on_shelf, most)
    found = []
    for line, left in mine:
        units = min(spare, left)
        if units > 0:
            found.append(SpareLine(line=line, quantity=units, rest=line.quantity - units, changes=changes))
            spare -= units
    return found


def _taken_off() -> Mapping[int, list[tuple[ChangeOrder, Decimal]]]:
    """By component: the change orders that took units off open builds, with how many."""
    accepted = ChangeOrder.objects.filter(accepted_at__isnull=False).exclude(build__state__in=CLOSED_STATES)
    changes = list(accepted.select_related("build").order_by("accepted_at"))
    versions = {pk for change in changes for pk in (change.base_id, change.version_id)}
    parts = OptionPart.objects.filter(option__version__in=versions).order_by()
    sums = parts.values("option__version_id", "option__key", "component_id").annotate(units=Sum("quantity"))
    counts: dict[tuple[int, str], dict[int, Decimal]] = {}
    for row in sums:
        counts.setdefault((row["option__version_id"], row["option__key"]), {})[row["component_id"]] = row["units"]
    found: dict[int, list[tuple[ChangeOrder, Decimal]]] = {}
    for change in changes:
        key = change.build.option_key
        after = counts.get((change.version_id, key), {})
        for component, units in counts.get((change.base_id, key), {}).items():
            off = units - after.get(component, NONE)
            if off > 0:
                found.setdefault(component, []).append((change, off))
    return found
