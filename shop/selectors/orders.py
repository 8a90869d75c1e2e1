"""Purchase orders: the list, one order, and what has to be ordered by when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Max, Prefetch, Q, QuerySet

from quoting.price import round_money
from quoting.result import LinePlan, PartPromise
from shop.models import (
    Build,
    Component,
    Event,
    ExpectedDateChange,
    Mail,
    MoveKind,
    Offer,
    OrderState,
    PurchaseOrder,
    PurchaseOrderLine,
    StockMove,
)
from shop.selectors.balances import received_by_line
from shop.selectors.paging import Paged, page_bounds
from shop.selectors.plan import line_plan
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.spare_lines import SpareLine, spare_lines
from shop.selectors.stock import DueLine, OpenLine, lines_due, lines_open

NONE = Decimal(0)
LINES_SHOWN = 20  # the newest deliveries of a part (our own choice)


@dataclass(frozen=True, kw_only=True)
class OrderFilter:
    """Words in number, supplier or component; a state, or late; a page."""

    text: str = ""
    state: str = ""
    page: int = 1


@dataclass(frozen=True, kw_only=True)
class OrderRow:
    """One order. `total` in the supplier's currency. `expected` the first day something still due is expected.

    `late_days` how long the most overdue line is past its day, 0 when none is.
    """

    order: PurchaseOrder
    total: Decimal
    lines: int
    lines_due: int
    expected: date | None
    late_days: int


@dataclass(frozen=True, kw_only=True)
class OrderLineRow:
    """One line: what came, what is still due (nothing once the order is closed), and the history of its day."""

    line: PurchaseOrderLine
    amount: Decimal
    received: Decimal
    left: Decimal
    late_days: int
    changes: tuple[ExpectedDateChange, ...]

    @property
    def undoable(self) -> ExpectedDateChange | None:
        """The newest change of the day, while it may be taken back."""
        last = self.changes[-1] if self.changes else None
        return last if self.left and last and last.entry and not last.undoes_id else None


@dataclass(frozen=True, kw_only=True)
class Served:
    """Units on their way for a build, by the plan."""

    build: Build
    part: PartPromise


@dataclass(frozen=True, kw_only=True)
class OrderPage:
    """One order with its lines, the builds that wait for it in order of the line, and its log."""

    order: PurchaseOrder
    total: Decimal
    lines: tuple[OrderLineRow, ...]
    serves: tuple[Served, ...]
    events: tuple[Event, ...]
    mails: tuple[Mail, ...] = ()
    spare: tuple[SpareLine, ...] = ()


def order_rows(filters: OrderFilter) -> Paged[OrderRow]:
    """Orders, those with something overdue first, the longest overdue before all; then the newest."""
    due = _due_by_order(lines_open())
    today = shop_today()
    late = {order_id: days for order_id, lines in due.items() if (days := _late_days(lines, today))}
    newest = _matching(filters).order_by("-created_at", "-pk").values_list("pk", flat=True)
    ids = [pk for pk in newest if filters.state != "late" or pk in late]
    ids.sort(key=lambda pk: -late.get(pk, 0))  # stable: the newest first among equals
    page, pages, shown = page_bounds(len(ids), filters.page)
    known = PurchaseOrder.objects.select_related("supplier").prefetch_related("lines").in_bulk(ids[shown])
    rows = tuple(_row(known[pk], due.get(pk, ()), today) for pk in ids[shown])
    return Paged(rows=rows, count=len(ids), page=page, pages=pages)


def _due_by_order(lines: Iterable[OpenLine]) -> Mapping[int, tuple[OpenLine, ...]]:
    found: dict[int, tuple[OpenLine, ...]] = {}
    for each in lines:
        found[each.order_id] = (*found.get(each.order_id, ()), each)
    return found


def _matching(filters: OrderFilter) -> QuerySet[PurchaseOrder]:
    rows = PurchaseOrder.objects.all()
    if filters.state and filters.state != "late":
        rows = rows.filter(state=filters.state)
    for word in filters.text.split():
        lines = PurchaseOrderLine.objects.filter(
            Q(component__name__icontains=word) | Q(component__code__icontains=word)
        )
        rows = rows.filter(
            Q(number__icontains=word) | Q(supplier__name__icontains=word) | Q(pk__in=lines.values("order_id"))
        )
    return rows


def _row(order: PurchaseOrder, due: tuple[OpenLine, ...], today: date) -> OrderRow:
    lines = list(order.lines.all())
    return OrderRow(
        order=order,
        total=_total(order, lines),
        lines=len(lines),
        lines_due=len(due),
        expected=min((each.expected_on for each in due if each.expected_on), default=None),
        late_days=_late_days(due, today),
    )


def _late_days(due: Iterable[OpenLine], today: date) -> int:
    days = [(today - each.expected_on).days for each in due if each.expected_on]
    return max([0, *days])


def _total(order: PurchaseOrder, lines: Iterable[PurchaseOrderLine]) -> Decimal:
    return sum((_amount(order, line) for line in lines), NONE)


def _amount(order: PurchaseOrder, line: PurchaseOrderLine) -> Decimal:
    return round_money(line.quantity * line.unit_cost, order.supplier.currency)


def order_for_supplier(
    order: PurchaseOrder,
) -> tuple[PurchaseOrder, tuple[PurchaseOrderLine, ...], Mapping[int, str]]:
    """An order as its supplier is shown it: its lines, and the supplier's own part numbers by component id."""
    row = PurchaseOrder.objects.select_related("supplier").get(pk=order.pk)
    lines = tuple(row.lines.select_related("component").order_by("pk"))
    offers = Offer.objects.filter(supplier=row.supplier, component__in=[line.component_id for line in lines])
    return row, lines, dict(offers.values_list("component_id", "supplier_code"))


def lines_bought() -> tuple[tuple[PurchaseOrderLine, Decimal, date | None], ...]:
    """Every line of every order that was sent, the newest first, with what came and the day of the last delivery."""
    sent = PurchaseOrderLine.objects.exclude(order__state=OrderState.DRAFT).filter(order__ordered_on__isnull=False)
    rows = sent.select_related("order__supplier", "component").order_by("-order__ordered_on", "-order_id", "pk")
    zone = ZoneInfo(the_shop().zone)
    moves = StockMove.objects.order_by().filter(kind=MoveKind.RECEIVED, order_line__isnull=False)
    last = {row["order_line_id"]: row["newest"] for row in moves.values("order_line_id").annotate(newest=Max("at"))}
    came = received_by_line()
    return tuple(
        (row, came.get(row.pk, NONE), last[row.pk].astimezone(zone).date() if row.pk in last else None) for row in rows
    )


def lines_received(component: Component) -> tuple[PurchaseOrderLine, ...]:
    """Lines by which units of a component came, the newest first: what may be sent back."""
    rows = PurchaseOrderLine.objects.filter(component=component, moves__kind=MoveKind.RECEIVED).distinct()
    return tuple(rows.select_related("order__supplier").order_by("-pk")[:LINES_SHOWN])


def late_lines() -> tuple[DueLine, ...]:
    """Lines still due whose day has passed, the longest overdue first."""
    today = shop_today()
    return tuple(each for each in lines_due() if each.line.expected_on and each.line.expected_on < today)


def order_page(public_id: str, plan: LinePlan | None = None) -> OrderPage:
    """One order by its public id. Raises PurchaseOrder.DoesNotExist."""
    order = PurchaseOrder.objects.select_related("supplier").get(public_id=public_id)
    changes = ExpectedDateChange.objects.select_related("person").order_by("at", "pk")
    lines = list(
        order.lines.select_related("component").prefetch_related(Prefetch("date_changes", changes)).order_by("pk")
    )
    came, today = received_by_line([line.pk for line in lines]), shop_today()
    return OrderPage(
        order=order,
        total=_total(order, lines),
        lines=tuple(_line_row(order, line, came.get(line.pk, NONE), today) for line in lines),
        serves=_serves(order, plan) if order.state == OrderState.SENT else (),
        events=tuple(Event.objects.filter(subject=order.number).select_related("person")),
        mails=tuple(order.mails.select_related("person")),
        spare=tuple(each for each in spare_lines() if each.line.order_id == order.pk),
    )


def _line_row(order: PurchaseOrder, line: PurchaseOrderLine, received: Decimal, today: date) -> OrderLineRow:
    is_open = order.state in (OrderState.DRAFT, OrderState.SENT)
    left = max(line.wanted - received, NONE) if is_open else NONE
    late = bool(left and order.state == OrderState.SENT and line.expected_on and line.expected_on < today)
    return OrderLineRow(
        line=line,
        amount=_amount(order, line),
        received=received,
        left=left,
        late_days=(today - line.expected_on).days if late and line.expected_on else 0,
        changes=tuple(line.date_changes.all()),
    )


def _serves(order: PurchaseOrder, plan: LinePlan | None) -> tuple[Served, ...]:
    plan = plan or line_plan()
    parts = [(build.number, part) for build in plan.builds for part in build.parts if part.order == order.number]
    builds = Build.objects.filter(number__in={number for number, _ in parts}).select_related("customer").order_by()
    rows = {build.number: build for build in builds}
    return tuple(Served(build=rows[number], part=part) for number, part in parts)
