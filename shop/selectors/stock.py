"""Stores: what lies on the shelf, for whom it is kept, what is on its way and what is short."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import islice

from django.db.models import F, Q, QuerySet

from shop.models import CLOSED_STATES, Component, OrderState, PartNeed, PurchaseOrderLine, StockMove, StockUnit
from shop.selectors.balances import (
    Balance,
    components_here,
    issued_by_need,
    received_by_line,
    reserved_by_need,
    stock_balances,
)
from shop.selectors.paging import Paged, page_bounds
from shop.selectors.units import Batch, batches_here, units_of

NONE = Decimal(0)
EMPTY = Balance()
MOVES_SHOWN = 100  # the newest; enough to see a quarter of a busy part (our own choice)


@dataclass(frozen=True, kw_only=True)
class StockFilter:
    """Words in code, name or shelf; a kind; `show` one of "" for all, here, short, low; a page."""

    text: str = ""
    kind: str = ""
    show: str = ""
    page: int = 1


@dataclass(frozen=True, kw_only=True)
class StockRow:
    """One component. `short` what open builds still need and nobody has kept for them; `on_order` still to come.

    `to_buy` what neither shelf nor orders cover, the least stock to keep included.
    """

    component: Component
    on_hand: Decimal = NONE
    reserved: Decimal = NONE
    free: Decimal = NONE
    on_order: Decimal = NONE
    short: Decimal = NONE

    @property
    def to_buy(self) -> Decimal:
        return max(self.short + self.component.keep_on_shelf - self.free - self.on_order, NONE)


@dataclass(frozen=True, kw_only=True)
class NeedRow:
    """What one build needs of a component, and how much of it is there. `short` is not kept for it yet."""

    need: PartNeed
    reserved: Decimal
    issued: Decimal

    @property
    def short(self) -> Decimal:
        return max(self.need.quantity - self.reserved - self.issued, NONE)


@dataclass(frozen=True, kw_only=True)
class DueLine:
    """A line of a sent order with what is still to come of it."""

    line: PurchaseOrderLine
    left: Decimal


@dataclass(frozen=True, kw_only=True)
class StockPage:
    """One component: its row, the open builds that need it in order of the line, what is due, its newest moves.

    `units` those with numbers, `batches` what lies on the shelf by batch; empty for kinds that have neither.
    """

    row: StockRow
    needs: tuple[NeedRow, ...]
    due: tuple[DueLine, ...]
    moves: tuple[StockMove, ...]
    units: tuple[StockUnit, ...] = ()
    batches: tuple[Batch, ...] = ()


@dataclass(frozen=True, slots=True)
class OpenLine:
    """A line of a sent order with what is still to come of it, without its rows: for sums over many."""

    order_id: int
    supplier_id: int
    component_id: int
    expected_on: date | None
    left: Decimal


class Stores:
    """Sums by component id, in a fixed number of queries; `balances` of the named components, or of all."""

    def __init__(self, components: Collection[int] | None = None) -> None:
        self.balances: Mapping[int, Balance] = stock_balances(components)
        self.on_order: dict[int, Decimal] = {}
        for due in lines_open():
            self.on_order[due.component_id] = self.on_order.get(due.component_id, NONE) + due.left
        self.short: dict[int, Decimal] = {}
        for row in need_rows(open_needs()):
            if row.short:
                key = row.need.component_id
                self.short[key] = self.short.get(key, NONE) + row.short

    def row(self, component: Component) -> StockRow:
        balance = self.balances.get(component.pk, EMPTY)
        return StockRow(
            component=component,
            on_hand=balance.on_hand,
            reserved=balance.reserved,
            free=balance.free,
            on_order=self.on_order.get(component.pk, NONE),
            short=self.short.get(component.pk, NONE),
        )


def stock_rows(filters: StockFilter) -> Paged[StockRow]:
    """Components by kind and name with their sums."""
    found, stores = _matching(filters), Stores(())
    only = _only(filters.show, stores)
    if only is None:
        count = found.count()
        page, pages, shown = page_bounds(count, filters.page)
        components = list(found[shown])
    else:
        ids = [key for key in found.values_list("pk", flat=True) if key in only]
        count = len(ids)
        page, pages, shown = page_bounds(count, filters.page)
        known = Component.objects.in_bulk(ids[shown])
        components = [known[key] for key in ids[shown]]
    stores.balances = stock_balances([each.pk for each in components])
    return Paged(rows=tuple(stores.row(each) for each in components), count=count, page=page, pages=pages)


def all_stock() -> tuple[StockRow, ...]:
    """Every component with its sums."""
    stores = Stores()
    return tuple(stores.row(each) for each in Component.objects.order_by("kind", "name", "pk"))


def found_components(filters: StockFilter, most: int) -> tuple[Component, ...]:
    """The components a list shows, on all its pages; the first `most` of them."""
    only = _only(filters.show, Stores(())) if filters.show else None
    rows = (row for row in _matching(filters) if only is None or row.pk in only)
    return tuple(islice(rows, most))


def _matching(filters: StockFilter) -> QuerySet[Component]:
    rows = Component.objects.order_by("kind", "name", "pk")
    if filters.kind:
        rows = rows.filter(kind=filters.kind)
    for word in filters.text.split():
        rows = rows.filter(Q(code__icontains=word) | Q(name__icontains=word) | Q(shelf__icontains=word))
    return rows


def _only(show: str, stores: Stores) -> Collection[int] | None:
    """The components `show` leaves, by id; None for all."""
    if show == "here":
        return components_here()
    if show == "short":
        return set(stores.short)
    if show == "low":
        kept = list(Component.objects.filter(keep_on_shelf__gt=0))
        balances = stock_balances([row.pk for row in kept])
        return {row.pk for row in kept if balances.get(row.pk, EMPTY).free < row.keep_on_shelf}
    return None


def stock_page(public_id: str) -> StockPage:
    """One component's page. Raises Component.DoesNotExist."""
    component = Component.objects.get(public_id=public_id)
    needs = need_rows(open_needs().filter(component=component).select_related("build__customer"))
    due = lines_due(component)
    balance = stock_balances([component.pk]).get(component.pk, EMPTY)
    row = StockRow(
        component=component,
        on_hand=balance.on_hand,
        reserved=balance.reserved,
        free=balance.free,
        on_order=sum((each.left for each in due), NONE),
        short=sum((each.short for each in needs), NONE),
    )
    moves = component.moves.select_related("need__build", "order_line__order", "person")[:MOVES_SHOWN]
    return StockPage(
        row=row,
        needs=needs,
        due=due,
        moves=tuple(moves),
        units=units_of(component),
        batches=batches_here(component),
    )


def open_needs() -> QuerySet[PartNeed]:
    """What open builds need, in order of the line."""
    return PartNeed.objects.exclude(build__state__in=CLOSED_STATES).order_by("build__place", "pk")


def need_rows(needs: Iterable[PartNeed]) -> tuple[NeedRow, ...]:
    """Needs with what is reserved and issued for them, but for those a change order took off. Two queries besides the
    needs' own.
    """
    needs = tuple(needs)
    ids = [need.pk for need in needs]
    kept, issued = reserved_by_need(ids), issued_by_need(ids)
    rows = (NeedRow(need=need, reserved=kept.get(need.pk, NONE), issued=issued.get(need.pk, NONE)) for need in needs)
    return tuple(row for row in rows if row.need.quantity or row.reserved or row.issued)


def lines_due(component: Component | None = None) -> tuple[DueLine, ...]:
    """Lines of sent orders that have not come in full, the first expected first; of one component or of all."""
    rows = PurchaseOrderLine.objects.filter(order__state=OrderState.SENT).select_related("order__supplier", "component")
    if component is not None:
        rows = rows.filter(component=component)
    rows = rows.order_by(F("expected_on").asc(nulls_last=True), "pk")  # the databases differ on where no day goes
    came = received_by_line([row.pk for row in rows])
    due = (DueLine(line=row, left=row.wanted - came.get(row.pk, NONE)) for row in rows)
    return tuple(each for each in due if each.left > 0)


def lines_open() -> tuple[OpenLine, ...]:
    """What sent orders still owe, in no order. Two queries."""
    names = ("pk", "order_id", "order__supplier_id", "component_id", "expected_on", "quantity", "cancelled")
    rows = list(PurchaseOrderLine.objects.filter(order__state=OrderState.SENT).order_by().values_list(*names))
    came = received_by_line([row[0] for row in rows])
    found = (
        OpenLine(order, supplier, component, expected, quantity - cancelled - came.get(pk, NONE))
        for pk, order, supplier, component, expected, quantity, cancelled in rows
    )
    return tuple(each for each in found if each.left > 0)
