"""The shop as it stands, for the promise: hours, people, benches, stock, what is on its way, the builds in line."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Protocol

from django.db.models import Prefetch, Sum

from quoting.request import (
    Bench,
    DaySpan,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Person,
    Receipt,
    ShopState,
    StockLevel,
    Supply,
)
from shop.models import (
    CLOSED_STATES,
    Build,
    BuildStep,
    ClosedDays,
    LineLock,
    Offer,
    OpeningHours,
    OrderState,
    PartNeed,
    PurchaseOrderLine,
    Shop,
    StepState,
    StockMove,
)
from shop.models import Bench as BenchRow
from shop.models import Person as PersonRow
from shop.selectors.balances import issued_by_need, received_by_line
from shop.selectors.open_time import open_hours
from shop.selectors.shop import shop_now, the_shop

# What a step under way still takes when its estimate is used up: the plan's quarter of an hour (our own choice).
LEAST_LEFT_H = Decimal("0.25")
NONE = Decimal(0)


class DaysRow(Protocol):
    """A row with a first and a last day."""

    first: date
    last: date


def shop_state(*, now: datetime | None = None, shop: Shop | None = None) -> ShopState:
    """Everything a promise is worked out from, in a fixed number of queries."""
    shop = shop or the_shop()
    openings, closed = hours_and_closures()
    lock = LineLock.objects.filter(pk=1).first()
    state = ShopState(
        zone=shop.zone,
        openings=openings,
        closed_days=closed,
        benches=_benches(),
        people=_people(),
        stock=_stock(),
        receipts=_receipts(),
        supplies=_supplies(),
        revision=lock.revision if lock else 0,
    )
    return replace(state, builds=_builds(state, now or shop_now(shop)))


def hours_and_closures() -> tuple[tuple[Opening, ...], tuple[DaySpan, ...]]:
    """When the shop is open in a week, and the days it is closed."""
    openings = tuple(Opening(weekday=row.weekday, start=row.start, end=row.end) for row in OpeningHours.objects.all())
    closed = tuple(DaySpan(first=row.first, last=row.last, reason=row.reason) for row in ClosedDays.objects.all())
    return openings, closed


def only_about(state: ShopState, codes: Collection[str]) -> ShopState:
    """The same state without stock, receipts and supplies of components that neither `codes` nor any build names."""
    wanted = set(codes) | {need.code for build in state.builds for need in build.needs}
    return replace(
        state,
        stock=tuple(row for row in state.stock if row.code in wanted),
        receipts=tuple(row for row in state.receipts if row.code in wanted),
        supplies=tuple(row for row in state.supplies if row.code in wanted),
    )


def _spans(rows: Iterable[DaysRow]) -> tuple[DaySpan, ...]:
    return tuple(DaySpan(first=row.first, last=row.last, reason=getattr(row, "reason", "")) for row in rows)


def _benches() -> tuple[Bench, ...]:
    rows = BenchRow.objects.filter(active=True).select_related("bench_type").prefetch_related("downtimes")
    return tuple(Bench(name=row.name, bench_type=row.bench_type.code, down=_spans(row.downtimes.all())) for row in rows)


def _people() -> tuple[Person, ...]:
    rows = PersonRow.objects.filter(active=True).prefetch_related("skills", "leaves")
    return tuple(
        # A reason for leave is nobody's business on a quote: it stays out.
        Person(
            name=row.name,
            skills=tuple(skill.code for skill in row.skills.all()),
            leave=tuple(DaySpan(first=leave.first, last=leave.last) for leave in row.leaves.all()),
        )
        for row in rows
    )


def _stock() -> tuple[StockLevel, ...]:
    sums = StockMove.objects.order_by("component__code").values("component__code").annotate(shelf=Sum("on_hand"))
    return tuple(StockLevel(code=row["component__code"], on_hand=row["shelf"]) for row in sums if row["shelf"] > 0)


def _receipts() -> tuple[Receipt, ...]:
    """What sent orders still owe: ordered less received."""
    came = received_by_line()
    rows = PurchaseOrderLine.objects.filter(order__state=OrderState.SENT)
    rows = rows.select_related("order__supplier", "component").order_by("expected_on", "pk")
    return tuple(
        Receipt(
            code=row.component.code,
            quantity=row.quantity - came.get(row.pk, NONE),
            expected=row.expected_on,
            order=row.order.number,
            supplier=row.order.supplier.name,
        )
        for row in rows
        if row.quantity > came.get(row.pk, NONE)
    )


def _supplies() -> tuple[Supply, ...]:
    """Lead times of preferred offers. One that is discontinued, or without a lead time, can't be counted on."""
    rows = Offer.objects.filter(preferred=True, lead_days__isnull=False, component__discontinued=False)
    rows = rows.select_related("component", "supplier").prefetch_related("supplier__closures")
    return tuple(
        Supply(
            code=row.component.code,
            supplier=row.supplier.name,
            likely_days=row.lead_days,
            low_days=row.lead_low_days,
            high_days=row.lead_high_days,
            closed=_spans(row.supplier.closures.all()),
        )
        for row in rows.order_by("component__code")
        if row.lead_days is not None
    )


def _builds(state: ShopState, now: datetime) -> tuple[OpenBuild, ...]:
    steps = BuildStep.objects.exclude(state=StepState.DONE).select_related("skill", "bench_type", "person", "bench")
    rows = Build.objects.exclude(state__in=CLOSED_STATES).order_by("place")
    rows = rows.prefetch_related(
        Prefetch("steps", queryset=steps.order_by("position")),
        Prefetch("needs", queryset=PartNeed.objects.select_related("component").order_by("pk")),
    )
    issued = issued_by_need()
    return tuple(
        OpenBuild(
            number=row.number,
            place=row.place or 0,
            steps=tuple(_step(step, state, now) for step in row.steps.all()),
            needs=tuple(_needs(row.needs.all(), issued)),
            promised_from=row.promised_from,
            promised_to=row.promised_to,
            on_hold=row.on_hold,
        )
        for row in rows
    )


def _needs(rows: Iterable[PartNeed], issued: Mapping[int, Decimal]) -> Iterator[Need]:
    """What has not been handed to the bench yet."""
    for row in rows:
        left = row.quantity - issued.get(row.pk, NONE)
        if left > 0:
            yield Need(code=row.component.code, quantity=left, step=row.step_code, name=row.component.name)


def _step(row: BuildStep, state: ShopState, now: datetime) -> OpenStep:
    """A step to do: the estimate less hours worked before a pause and, under way, those the shop was open since."""
    low_h, likely_h, high_h = row.low_h, row.likely_h, row.high_h
    gone_h = row.actual_h or NONE
    if row.started_at is not None and high_h > 0:
        gone_h += open_hours(state.openings, state.closed_days, state.zone, row.started_at, now)
    if (gone_h or row.started_at is not None) and high_h > 0:
        low_h, likely_h, high_h = (max(hours - gone_h, LEAST_LEFT_H) for hours in (low_h, likely_h, high_h))
    return OpenStep(
        code=row.code,
        label=row.label,
        skill=row.skill.code if row.skill else "",
        bench_type=row.bench_type.code if row.bench_type else "",
        low_h=low_h,
        likely_h=likely_h,
        high_h=high_h,
        lead_days=row.lead_days,
        started=row.started_at,
        person=row.person.name if row.person else "",
        bench=row.bench.name if row.bench else "",
    )
