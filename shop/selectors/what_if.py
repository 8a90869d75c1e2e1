"""What if: some things otherwise, the line planned anew, each build now and then. Nothing is written here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from quoting.odds import Change, changed_shop
from quoting.request import ShopState
from shop.models import Bench, BenchType, Build, Person, PurchaseOrder, PurchaseOrderLine, Supplier
from shop.selectors.balances import received_by_line
from shop.selectors.line import WindowChange, open_builds, window_change, with_place
from shop.selectors.odds import line_odds
from shop.selectors.plan import plan_basis, planned
from shop.selectors.slips import with_line_dates

NONE = Decimal(0)
HOUR_MINUTES = 60


@dataclass(frozen=True, kw_only=True)
class Span:
    """Days, both included."""

    first: date
    last: date


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """What is to be otherwise; what is None or empty stays as it is.

    `days` the day each line of the order, or of all the supplier's orders on their way, would come. `overtime_h` longer
    on each open day, week after week [h].
    """

    order: PurchaseOrder | None = None
    supplier: Supplier | None = None
    days: tuple[tuple[PurchaseOrderLine, date], ...] = ()
    bench: Bench | None = None
    bench_span: Span | None = None
    person: Person | None = None
    person_span: Span | None = None
    bench_type: BenchType | None = None
    overtime_h: Decimal | None = None
    build: Build | None = None
    place: int = 0

    @property
    def only_tried(self) -> bool:
        """Something in it can't be entered from here: another bench, longer hours."""
        return self.bench_type is not None or self.overtime_h is not None

    @property
    def owners_act(self) -> bool:
        """Something in it only the owner enters: a move in the line, leave, a bench down."""
        return any(each is not None for each in (self.bench, self.person, self.build))


@dataclass(frozen=True, kw_only=True)
class Compared:
    """Every open build in order of the line, now and then, at one revision of the plan."""

    revision: int
    rows: tuple[WindowChange, ...] = field(default=())

    @property
    def moved(self) -> tuple[WindowChange, ...]:
        return tuple(row for row in self.rows if differs(row))

    @property
    def simulated(self) -> bool:
        return any(row.simulated for row in self.rows)

    @property
    def broken(self) -> tuple[WindowChange, ...]:
        return tuple(row for row in self.rows if row.breaks)

    @property
    def mended(self) -> tuple[WindowChange, ...]:
        return tuple(row for row in self.rows if row.mends)


def differs(row: WindowChange) -> bool:
    """Whether a build's place or window is another then."""
    before = (row.place_before, row.from_before, row.to_before)
    return before != (row.place_after, row.from_after, row.to_after)


def compared(chosen: Chosen) -> Compared:
    """The line as it stands and as it would be. The same shop and changes give the same dates, to the day."""
    state, now, policies = plan_basis()
    before, after = planned(state, now, policies), planned(with_changes(state, chosen), now, policies)
    builds = {row.number: row for row in open_builds()}
    pairs = ((old, after.build(old.number)) for old in before.builds)
    odds = line_odds(state.revision)
    known = ((old, new) for old, new in pairs if new and old.number in builds)
    rows = tuple(window_change(builds[old.number], old, new, odds) for old, new in known)
    return Compared(revision=state.revision, rows=rows)


def with_changes(state: ShopState, chosen: Chosen) -> ShopState:
    """The shop with all that was chosen. Raises RequestError for what it does not have."""
    state = with_line_dates(state, {(line.order.number, line.component.code): day for line, day in chosen.days})
    for change in _changes(chosen):
        state = changed_shop(state, change)
    return with_place(state, chosen.build.number, chosen.place) if chosen.build else state


def _changes(chosen: Chosen) -> Sequence[Change]:
    found = []
    if chosen.bench and chosen.bench_span:
        down = chosen.bench_span
        found.append(Change(kind="bench_down", name=chosen.bench.name, first=down.first, last=down.last))
    if chosen.person and chosen.person_span:
        away = chosen.person_span
        found.append(Change(kind="away", name=chosen.person.name, first=away.first, last=away.last))
    if chosen.bench_type:
        found.append(Change(kind="one_more_bench", name=chosen.bench_type.code))
    if chosen.overtime_h:
        found.append(Change(kind="overtime", minutes=int(chosen.overtime_h * HOUR_MINUTES)))
    return found


def lines_due(orders: Iterable[PurchaseOrder]) -> tuple[PurchaseOrderLine, ...]:
    """What sent orders still owe."""
    came = received_by_line()
    rows = PurchaseOrderLine.objects.filter(order__in=orders)
    lines = rows.select_related("order", "component").order_by("order__number", "pk")
    return tuple(line for line in lines if line.quantity > came.get(line.pk, NONE))


def later_by(lines: Sequence[PurchaseOrderLine], days: int, today: date) -> tuple[tuple[PurchaseOrderLine, date], ...]:
    """Each line so many days after it was expected, or after today when that has passed. Without a day: none."""
    late = timedelta(days=days)
    return tuple((line, max(line.expected_on, today) + late) for line in lines if line.expected_on is not None)
