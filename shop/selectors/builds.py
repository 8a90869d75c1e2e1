"""One build for the shop: its steps, parts, money, promises and log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import QuerySet

from quoting.result import BuildPlan, LinePlan, PartPromise, PlannedStep
from shop.models import (
    Build,
    BuildStep,
    Event,
    LedgerEntry,
    PromiseEntry,
    Shop,
    StepState,
    StockUnit,
    UnitPlace,
)
from shop.selectors.build_money import BuildMoney, build_money
from shop.selectors.line import LineRow, builds_shown, line_row
from shop.selectors.odds import line_odds
from shop.selectors.plan import line_plan
from shop.selectors.shop import the_shop
from shop.selectors.steps import bar_to_start, needs_by_step
from shop.selectors.stock import NeedRow, need_rows
from shop.selectors.units import Batch, batches_by_need, units_by_need

# Builders see no money, so not these lines of the log.
MONEY_VERBS = (
    "deposit taken",
    "payment taken",
    "deposit corrected",
    "entry reversed",
    "check cleared",
    "invoiced",
    "credited",
    "written off",
    "refunded",
    "deposit settled",
    "handed over unpaid",
)


@dataclass(frozen=True, kw_only=True)
class StepRow:
    """One step: when the plan has it, the parts it takes at its start, and what bars that; empty when it can start."""

    step: BuildStep
    planned: PlannedStep | None
    needs: tuple[NeedRow, ...]
    bar: str

    @property
    def can_start(self) -> bool:
        return self.step.state == StepState.TODO and not self.bar


@dataclass(frozen=True, kw_only=True)
class BuildNeed:
    """One need with what is kept and issued, where the rest comes from, and its units' numbers or batches."""

    row: NeedRow
    coming: tuple[PartPromise, ...]
    units: tuple[StockUnit, ...] = ()
    batches: tuple[Batch, ...] = ()

    @property
    def takes_numbers(self) -> bool:
        return self.row.need.component.numbered

    @property
    def unnumbered(self) -> Decimal:
        """Units issued whose number nobody entered."""
        known = sum(unit.place == UnitPlace.BUILD for unit in self.units)
        return max(self.row.issued - known, Decimal(0)) if self.takes_numbers else Decimal(0)


@dataclass(frozen=True, kw_only=True)
class BuildPage:
    """One build. `money` None and `entries` empty unless asked for."""

    row: LineRow
    steps: tuple[StepRow, ...]
    needs: tuple[BuildNeed, ...]
    promises: tuple[PromiseEntry, ...]
    events: tuple[Event, ...]
    money: BuildMoney | None
    entries: tuple[LedgerEntry, ...]

    @property
    def build(self) -> Build:
        return self.row.build


def build_page(public_id: str, *, with_money: bool, plan: LinePlan | None = None) -> BuildPage:
    """One build by its public id. Raises Build.DoesNotExist."""
    build = builds_shown().get(public_id=public_id)
    shop = the_shop()
    plan = (plan or line_plan(shop=shop)) if build.is_open else None
    own = plan.build(build.number) if plan else None
    needs = need_rows(build.needs.select_related("component", "instead_of").order_by("pk"))
    units, batches = units_by_need(row.need for row in needs), batches_by_need(row.need for row in needs)
    parts = own.parts if own else ()
    entries = build.entries.select_related("person", "reversed_by").prefetch_related("postings")
    return BuildPage(
        row=line_row(build, own, line_odds(plan.revision) if plan else None),
        steps=step_rows(build, own, needs, shop),
        needs=tuple(
            BuildNeed(
                row=row,
                coming=tuple(each for each in parts if each.code == row.need.component.code and each.short_by),
                units=units.get(row.need.pk, ()),
                batches=batches.get(row.need.pk, ()),
            )
            for row in needs
        ),
        promises=tuple(build.promises.select_related("person").order_by("at", "pk")),
        events=tuple(_events(build, with_money=with_money)),
        money=build_money([build])[build.pk] if with_money else None,
        entries=tuple(entries) if with_money else (),
    )


def step_rows(build: Build, plan: BuildPlan | None, needs: Sequence[NeedRow], shop: Shop) -> tuple[StepRow, ...]:
    """The steps of one build in order; `needs` its own, `plan` its own or None."""
    steps = list(build.steps.select_related("skill", "bench_type", "person", "bench").order_by("position"))
    taken = needs_by_step(steps, needs)
    planned = {step.code: step for step in plan.steps} if plan else {}
    parts = plan.parts if plan else ()
    rows = []
    for step in steps:
        own = taken.get(step.code, ()) if step.state == StepState.TODO else ()
        bar = bar_to_start(build, step, steps, own, parts, shop) if step.state == StepState.TODO else ""
        rows.append(StepRow(step=step, planned=planned.get(step.code), needs=own, bar=bar))
    return tuple(rows)


def _events(build: Build, *, with_money: bool) -> QuerySet[Event]:
    events = build.events.select_related("person").order_by("-at", "-pk")
    return events if with_money else events.exclude(verb__in=MONEY_VERBS)
