"""Invented shops for the promise tests, as short to write as the arithmetic beside them.

The week: Monday to Friday 8:00 to 12:00 and 13:00 to 17:00, New York time, so a day has 8 hours. Plans begin on Monday
1 March 2027 at 8:00, before the clocks change on 14 March (13:00 UTC).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from quoting.promise import plan_line
from quoting.request import (
    Bench,
    DaySpan,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Option,
    PartLine,
    Person,
    Policies,
    QuoteRequest,
    Receipt,
    ShopState,
    StepLine,
    StockLevel,
    Supply,
)
from quoting.result import BuildPlan, LinePlan, PlannedStep, Reason

ZONE = "America/New_York"
DAY = date(2027, 3, 1)  # a Monday
NOW = datetime(2027, 3, 1, 13, tzinfo=UTC)
WEEK = tuple(
    Opening(weekday=weekday, start=time(start), end=time(start + 4)) for weekday in range(5) for start in (8, 13)
)
NO_HANDLING = Policies(handling_days=0)


def at(day: int, hour: int, minute: int = 0, month: int = 3) -> datetime:
    """A local moment in 2027."""
    return datetime(2027, month, day, hour, minute, tzinfo=ZoneInfo(ZONE))


def off(first: date, last: date | None = None, reason: str = "") -> DaySpan:
    return DaySpan(first=first, last=last or first, reason=reason)


def march(day: int) -> date:
    return date(2027, 3, day)


def step(code: str, hours: float | str, bench_type: str = "", skill: str = "", **fields: Any) -> OpenStep:
    """A step with likely hours only, unless `low_h` and `high_h` are given."""
    likely = Decimal(str(hours))
    made = OpenStep(
        code=code, label=code, skill=skill, bench_type=bench_type, low_h=Decimal(0), likely_h=likely, high_h=Decimal(0)
    )
    return replace(made, **fields)


def need(code: str, at_step: str = "", quantity: str = "1") -> Need:
    return Need(code=code, quantity=Decimal(quantity), step=at_step, name=code)


def build(number: int, steps: Iterable[OpenStep], needs: Iterable[Need] = (), **fields: Any) -> OpenBuild:
    """Build "B<number>" at place <number>."""
    made = OpenBuild(number=f"B{number}", place=number, steps=tuple(steps), needs=tuple(needs))
    return replace(made, **fields)


def shop(**fields: Any) -> ShopState:
    """One bench "Lift" and one person Ana who can do anything, unless told otherwise."""
    made = ShopState(
        zone=ZONE,
        openings=WEEK,
        benches=(Bench(name="Lift", bench_type="lift"),),
        people=(Person(name="Ana", skills=("wiring", "welding")),),
    )
    return replace(made, **fields)


def stock(code: str, quantity: str) -> StockLevel:
    return StockLevel(code=code, on_hand=Decimal(quantity))


def due(code: str, quantity: str, expected: date | None, order: str = "PO-1", supplier: str = "") -> Receipt:
    return Receipt(code=code, quantity=Decimal(quantity), expected=expected, order=order, supplier=supplier)


def lead(code: str, likely: int, high: int | None = None, closed: tuple[DaySpan, ...] = ()) -> Supply:
    return Supply(code=code, supplier="Estuary Supply", likely_days=likely, high_days=high, closed=closed)


def part(code: str, kind: str = "motor", quantity: str = "1") -> PartLine:
    return PartLine(code=code, kind=kind, name=code, quantity=Decimal(quantity), unit_price=Decimal(1))


def work(code: str, hours: float | str, bench_type: str = "", skill: str = "", **fields: Any) -> StepLine:
    """A step of an option with likely hours only, unless told otherwise."""
    made = StepLine(code=code, label=code, skill=skill, bench_type=bench_type, likely_h=Decimal(str(hours)))
    return replace(made, **fields)


def option(*lines: PartLine | StepLine) -> Option:
    return Option(
        key="a",
        label="A",
        parts=tuple(line for line in lines if isinstance(line, PartLine)),
        steps=tuple(line for line in lines if isinstance(line, StepLine)),
    )


def request(
    shop: ShopState, *options: Option, policies: Policies = NO_HANDLING, job: str = "conversion"
) -> QuoteRequest:
    return QuoteRequest(day=DAY, now=NOW, currency="USD", options=options, shop=shop, policies=policies, job=job)


def planned(shop: ShopState, policies: Policies = NO_HANDLING, now: datetime = NOW, day: date = DAY) -> LinePlan:
    return plan_line(shop, now, day, policies)


def plan_of(line: LinePlan, number: str) -> BuildPlan:
    """The plan of a build that is in the line."""
    found = line.build(number)
    assert found is not None
    return found


def held(plan: BuildPlan) -> Reason:
    """What a build that is held waits for."""
    assert plan.held is not None
    return plan.held


def times(steps: Iterable[PlannedStep]) -> list[tuple[str, datetime, datetime]]:
    return [(each.code, each.start, each.end) for each in steps]


def open_minutes(shop: ShopState, start: datetime, end: datetime, away: Iterable[DaySpan] = ()) -> int:
    """Open time between two moments without the days in `away`, counted opening by opening on the wall clock [min].

    An oracle of its own: knows nothing of slots. Right where no clock change lies inside an opening.
    """
    closed = [*shop.closed_days, *away]
    total = timedelta()
    day = start.date()
    while day <= end.date():
        if not any(span.first <= day <= span.last for span in closed):
            for opening in shop.openings:
                if opening.weekday == day.weekday():
                    begin = max(datetime.combine(day, opening.start, start.tzinfo), start)
                    until = min(datetime.combine(day, opening.end, start.tzinfo), end)
                    total += max(until - begin, timedelta())
        day += timedelta(days=1)
    return round(total.total_seconds() / 60)
