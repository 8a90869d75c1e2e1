"""Pegging: which units each need gets, from the shelf, from an order on its way, or from an order still to be made.

Builds are pegged in the order of the line, whole quantities and not order lines, so one delivery may serve several
builds. Within a build the step that comes first is served first. Pegs are given once, on the expected days; the slow
plan keeps them and only moves the days.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from quoting.promise.calendar import HORIZON_DAYS, Calendar
from quoting.promise.spans import Spans, arrival_day, closed_ordinals
from quoting.promise.words import mid_sentence
from quoting.promise.work import Pace, wanting_step
from quoting.request import Need, OpenBuild, Receipt, ShopState, Supply

STOCK, ORDER, TO_ORDER = "stock", "order", "to_order"


@dataclass(frozen=True, slots=True)
class Lead:
    """A supplier's lead time: likely and slow [calendar days], not counting the supplier's closed days."""

    supplier: str
    likely_days: int
    slow_days: int
    closed: Spans

    @classmethod
    def of(cls, supply: Supply) -> Lead:
        """Slow is the high figure, or the likely one when there is none."""
        likely = max(supply.likely_days, 0)
        slow = max(supply.high_days or 0, likely)
        return cls(supply.supplier, likely, slow, closed_ordinals(supply.closed))

    def days(self, pace: Pace) -> int:
        """Lead time at a pace [calendar days]."""
        return self.likely_days if pace is Pace.LIKELY else self.slow_days


@dataclass(frozen=True, slots=True)
class Incoming:
    """Units on order. `arrives` and `slow_arrives` None: nobody knows. `late_days` past the day it was expected.

    `row` its place among the receipts, by which what is left of it is counted.
    """

    row: int
    receipt: Receipt
    arrives: date | None
    slow_arrives: date | None
    late_days: int
    lead: Lead | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Peg:
    """Units of one need from one place. Ready is arrival and goods-in handling; None when it cannot be known.

    `step` index of the step held up. `ahead` the builds before it that have the units on the shelf. `unknown` why
    there is no day.
    """

    need: Need
    step: int
    quantity: Decimal
    origin: str
    arrives: date | None = None
    ready: date | None = None
    slow_ready: date | None = None
    incoming: Incoming | None = None
    lead: Lead | None = None
    ahead: tuple[str, ...] = ()
    unknown: str = ""

    def ready_at(self, pace: Pace) -> date | None:
        """Day it can be used, at a pace."""
        return self.ready if pace is Pace.LIKELY else self.slow_ready

    @property
    def name(self) -> str:
        """The component's name, or its code."""
        return self.need.name or self.need.code


@dataclass(slots=True)
class Shelf:
    """What is left to peg: free units on the shelf, units left of each receipt, and who took units off the shelf."""

    today: date
    last_day: date
    handling: timedelta
    leads: dict[str, tuple[Lead, ...]]
    incoming: dict[str, tuple[Incoming, ...]]
    free: dict[str, Decimal]
    left: dict[int, Decimal] = field(default_factory=dict)
    taken: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @classmethod
    def of(cls, shop: ShopState, calendar: Calendar, today: date, handling_days: int) -> Shelf:
        """Everything free, before any build is pegged."""
        leads: dict[str, tuple[Lead, ...]] = {}
        for supply in shop.supplies:
            leads[supply.code] = (*leads.get(supply.code, ()), Lead.of(supply))
        free: dict[str, Decimal] = {}
        for level in shop.stock:
            free[level.code] = free.get(level.code, Decimal(0)) + level.on_hand
        last_day = calendar.first + timedelta(days=HORIZON_DAYS - 1)
        shelf = cls(today, last_day, timedelta(days=max(handling_days, 0)), leads, {}, free)
        due = [shelf.expect(row, receipt, calendar) for row, receipt in enumerate(shop.receipts)]
        for coming in sorted(due, key=lambda each: (each.arrives is None, each.arrives or today, each.receipt.order)):
            code = coming.receipt.code
            shelf.incoming[code] = (*shelf.incoming.get(code, ()), coming)
            shelf.left[coming.row] = coming.receipt.quantity
        return shelf

    def copy(self) -> Shelf:
        """The same state, to peg one more build without touching this one."""
        return Shelf(
            self.today,
            self.last_day,
            self.handling,
            self.leads,
            self.incoming,
            dict(self.free),
            dict(self.left),
            dict(self.taken),
        )

    def expect(self, row: int, receipt: Receipt, calendar: Calendar) -> Incoming:
        """When a receipt comes.

        On its day; an overdue one is not here yet, so not before the next working day; one without a day after the
        supplier's lead time from today. Slow: later by the high lead time less the likely one.
        """
        lead = self.lead_of(receipt.code, receipt.supplier)
        if receipt.expected is None:
            if lead is None:
                return Incoming(row, receipt, None, None, 0, None)
            arrives, slow = (self._within(self._arrival(lead, pace)) for pace in Pace)
            return Incoming(row, receipt, arrives, slow, 0, lead)
        margin = timedelta(days=lead.slow_days - lead.likely_days if lead else 0)
        expected = self._within(receipt.expected)
        if expected is None:
            return Incoming(row, receipt, None, None, 0, lead)
        late_days = max((self.today - expected).days, 0)
        soonest = calendar.next_working_day(self.today) if late_days else self.today
        slow = self._within(max(expected + margin, soonest))
        return Incoming(row, receipt, max(expected, soonest), slow, late_days, lead)

    def lead_of(self, code: str, supplier: str = "") -> Lead | None:
        """Lead time of a component: from the named supplier when it has one, else the first one listed."""
        known = self.leads.get(code, ())
        return next((lead for lead in known if lead.supplier == supplier), known[0] if known else None)

    def peg(self, build: OpenBuild) -> tuple[Peg, ...]:
        """Give a build its units and take them off what is left."""
        pegs: list[Peg] = []
        wanted = [(wanting_step(build, need), need) for need in build.needs if need.quantity > 0]
        for step, need in sorted(wanted, key=lambda pair: pair[0]):
            pegs.extend(self._peg_need(build.number, need, step))
        return tuple(pegs)

    def _peg_need(self, number: str, need: Need, step: int) -> Iterable[Peg]:
        wanted = need.quantity
        ahead = tuple(other for other in self.taken.get(need.code, ()) if other != number)
        from_shelf = min(wanted, max(self.free.get(need.code, Decimal(0)), Decimal(0)))
        if from_shelf > 0:
            self.free[need.code] -= from_shelf
            self.taken[need.code] = (*self.taken.get(need.code, ()), number)
            wanted -= from_shelf
            yield Peg(need=need, step=step, quantity=from_shelf, origin=STOCK, ready=self.today, slow_ready=self.today)
        for coming in self.incoming.get(need.code, ()):
            part = min(wanted, self.left[coming.row])
            if part > 0:
                self.left[coming.row] -= part
                wanted -= part
                yield self._from_order(need, step, part, coming, ahead)
        if wanted > 0:
            yield self._to_order(need, step, wanted, ahead)

    def _from_order(self, need: Need, step: int, quantity: Decimal, coming: Incoming, ahead: tuple[str, ...]) -> Peg:
        name = mid_sentence(need.name or need.code)
        unknown = ""
        if coming.arrives is None or coming.slow_arrives is None:
            unknown = (
                f"Order {coming.receipt.order} for {name} has no day within ten years and no lead time is known. "
                "Enter the day the supplier gives."
            )
        return Peg(
            need=need,
            step=step,
            quantity=quantity,
            origin=ORDER,
            arrives=coming.arrives,
            ready=coming.arrives and coming.arrives + self.handling,
            slow_ready=coming.slow_arrives and coming.slow_arrives + self.handling,
            incoming=coming,
            lead=coming.lead,
            ahead=ahead,
            unknown=unknown,
        )

    def _to_order(self, need: Need, step: int, quantity: Decimal, ahead: tuple[str, ...]) -> Peg:
        lead = self.lead_of(need.code)
        arrives = self._within(self._arrival(lead, Pace.LIKELY)) if lead else None
        slow = self._within(self._arrival(lead, Pace.SLOW)) if lead else None
        unknown = ""
        if arrives is None or slow is None:
            name = need.name or need.code
            unknown = (
                f"{name} is not on the shelf, not on order, and has no lead time within ten years. "
                "Enter a supplier with a lead time."
            )
        return Peg(
            need=need,
            step=step,
            quantity=quantity,
            origin=TO_ORDER,
            arrives=arrives,
            ready=arrives and arrives + self.handling,
            slow_ready=slow and slow + self.handling,
            lead=lead,
            ahead=ahead,
            unknown=unknown,
        )

    def _arrival(self, lead: Lead, pace: Pace) -> date | None:
        days = lead.days(pace)
        return arrival_day(self.today, days, lead.closed) if days <= HORIZON_DAYS else None

    def _within(self, day: date | None) -> date | None:
        return day if day is not None and day <= self.last_day else None
