"""The shop as it stands, for the promise: hours, people, benches, stock, what is on its way, the builds in line."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Protocol

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
    Turn,
)
from shop.models import (
    CLOSED_STATES,
    Build,
    BuildStep,
    ClosedDays,
    Component,
    LineLock,
    Offer,
    OpeningHours,
    OrderState,
    PartNeed,
    PurchaseOrderLine,
    Shop,
    StepState,
    StepTurn,
    SupplierClosure,
)
from shop.models import Bench as BenchRow
from shop.models import Person as PersonRow
from shop.selectors.balances import Balance, issued_by_need, pinned_units, received_by_line, stock_balances
from shop.selectors.open_time import open_hours
from shop.selectors.shop import shop_now, the_shop

# What a step under way still takes when its estimate is used up: the plan's quarter of an hour (our own choice).
LEAST_LEFT_H = Decimal("0.25")
NONE = Decimal(0)


class DaysRow(Protocol):
    """A row with a first and a last day."""

    first: date
    last: date


def shop_state(
    *,
    now: datetime | None = None,
    shop: Shop | None = None,
    codes: Collection[str] | None = None,
    balances: Mapping[int, Balance] | None = None,
) -> ShopState:
    """Everything a promise is worked out from, in a fixed number of queries.

    With `codes`, stock, receipts and supplies only of these components and those that builds need: a plan of the line
    needs no others, and the catalogue may be long. `balances` of all stock save their query when they are at hand.
    """
    shop = shop or the_shop()
    openings, closed = hours_and_closures()
    lock = LineLock.objects.filter(pk=1).first()
    pinned = pinned_units()
    needs = _needs(pinned)
    wanted = None if codes is None else {*codes, *(need.code for each in needs.values() for need in each)}
    state = ShopState(
        zone=shop.zone,
        openings=openings,
        closed_days=closed,
        benches=_benches(),
        people=_people(),
        stock=_stock(pinned, wanted, balances),
        receipts=_receipts(wanted),
        supplies=_supplies(wanted),
        revision=lock.revision if lock else 0,
        turns=_turns(),
    )
    return replace(state, builds=_builds(state, now or shop_now(shop), needs))


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


def _stock(
    pinned: Mapping[int, Decimal], codes: Collection[str] | None, balances: Mapping[int, Balance] | None
) -> tuple[StockLevel, ...]:
    """What the line may be given in its order: the shelf less units that were lent to a build."""
    lent: dict[str, Decimal] = {}
    for need in PartNeed.objects.filter(pk__in=pinned).select_related("component") if pinned else ():
        lent[need.component.code] = lent.get(need.component.code, NONE) + pinned[need.pk]
    names = Component.objects.order_by("code") if codes is None else Component.objects.filter(code__in=codes)
    by_id = dict(names.order_by("code").values_list("pk", "code"))
    if balances is None:
        balances = stock_balances(None if codes is None else list(by_id))
    there = ((code, balances[pk].on_hand) for pk, code in by_id.items() if pk in balances)
    left = ((code, on_hand - lent.get(code, NONE)) for code, on_hand in there)
    return tuple(StockLevel(code=code, on_hand=units) for code, units in left if units > 0)


def _receipts(codes: Collection[str] | None) -> tuple[Receipt, ...]:
    """What sent orders still owe: ordered less received."""
    rows = PurchaseOrderLine.objects.filter(order__state=OrderState.SENT).order_by("expected_on", "pk")
    if codes is not None:
        rows = rows.filter(component__code__in=codes)
    names = ("pk", "quantity", "cancelled", "expected_on", "component__code", "order__number", "order__supplier__name")
    due = list(rows.values_list(*names, named=True))
    came = received_by_line([row.pk for row in due])
    return tuple(
        Receipt(
            code=row.component__code,
            quantity=row.quantity - row.cancelled - came.get(row.pk, NONE),
            expected=row.expected_on,
            order=row.order__number,
            supplier=row.order__supplier__name,
        )
        for row in due
        if row.quantity - row.cancelled > came.get(row.pk, NONE)
    )


def _supplies(codes: Collection[str] | None) -> tuple[Supply, ...]:
    """Lead times of preferred offers. One that is discontinued, or without a lead time, can't be counted on."""
    closures: dict[int, list[DaySpan]] = {}
    for closure in SupplierClosure.objects.all():
        closures.setdefault(closure.supplier_id, []).append(DaySpan(first=closure.first, last=closure.last))
    closed = {supplier: tuple(spans) for supplier, spans in closures.items()}
    rows = Offer.objects.filter(preferred=True, lead_days__isnull=False, component__discontinued=False)
    if codes is not None:
        rows = rows.filter(component__code__in=codes)
    names = ("component__code", "supplier_id", "supplier__name", "lead_low_days", "lead_days", "lead_high_days")
    return tuple(
        Supply(
            code=row.component__code,
            supplier=row.supplier__name,
            likely_days=row.lead_days,
            low_days=row.lead_low_days,
            high_days=row.lead_high_days,
            closed=closed.get(row.supplier_id, ()),
        )
        for row in rows.order_by("component__code").values_list(*names, named=True)
    )


def _builds(state: ShopState, now: datetime, needs: Mapping[int, list[Need]]) -> tuple[OpenBuild, ...]:
    steps = _steps(state, now)
    return tuple(
        OpenBuild(
            number=row.number,
            place=row.place or 0,
            steps=tuple(steps.get(row.pk, ())),
            needs=tuple(needs.get(row.pk, ())),
            promised_from=row.promised_from,
            promised_to=row.promised_to,
            on_hold=row.on_hold,
        )
        for row in Build.objects.exclude(state__in=CLOSED_STATES).order_by("place")
    )


def _turns() -> tuple[Turn, ...]:
    """Turns that still count: both steps are to do."""
    to_do = {"first__state": StepState.TODO, "then__state": StepState.TODO}
    names = ("first__build__number", "first__code", "then__build__number", "then__code")
    rows = StepTurn.objects.filter(**to_do).exclude(first__build__state__in=CLOSED_STATES).order_by("at", "pk")
    return tuple(Turn(build=a, step=b, then_build=c, then_step=d) for a, b, c, d in rows.values_list(*names))


def _needs(pinned: Mapping[int, Decimal]) -> Mapping[int, list[Need]]:
    """What has not been handed to the bench yet, nor lent to the build, by build id."""
    names = ("pk", "build_id", "quantity", "step_code", "component__code", "component__name")
    opened = PartNeed.objects.exclude(build__state__in=CLOSED_STATES).order_by("pk")
    rows = list(opened.values_list(*names, named=True))
    issued = issued_by_need([row.pk for row in rows])
    found: dict[int, list[Need]] = {}
    for row in rows:
        left = row.quantity - issued.get(row.pk, NONE) - pinned.get(row.pk, NONE)
        if left > 0:
            need = Need(code=row.component__code, quantity=left, step=row.step_code, name=row.component__name)
            found.setdefault(row.build_id, []).append(need)
    return found


STEP_NAMES = ("build_id", "code", "label", "low_h", "likely_h", "high_h", "lead_days", "started_at", "actual_h")
STEP_WHERE = ("skill__code", "bench_type__code", "person__name", "bench__name")


def _steps(state: ShopState, now: datetime) -> Mapping[int, list[OpenStep]]:
    """Steps to do, by build id: the estimate less hours worked before a pause, and those open since a start."""
    rows = BuildStep.objects.exclude(state=StepState.DONE).exclude(build__state__in=CLOSED_STATES)
    found: dict[int, list[OpenStep]] = {}
    for row in rows.order_by("build_id", "position").values_list(*STEP_NAMES, *STEP_WHERE, named=True):
        hours = (row.low_h, row.likely_h, row.high_h)
        gone_h = row.actual_h or NONE
        if row.started_at is not None:
            gone_h += open_hours(state.openings, state.closed_days, state.zone, row.started_at, now)
        if (gone_h or row.started_at is not None) and row.high_h > 0:
            hours = (
                max(row.low_h - gone_h, LEAST_LEFT_H),
                max(row.likely_h - gone_h, LEAST_LEFT_H),
                max(row.high_h - gone_h, LEAST_LEFT_H),
            )
        step = OpenStep(
            code=row.code,
            label=row.label,
            skill=row.skill__code or "",
            bench_type=row.bench_type__code or "",
            low_h=hours[0],
            likely_h=hours[1],
            high_h=hours[2],
            lead_days=row.lead_days,
            started=row.started_at,
            person=row.person__name or "",
            bench=row.bench__name or "",
        )
        found.setdefault(row.build_id, []).append(step)
    return found
