"""What waits for which part, from which order, until when, and what that does to the promise."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal

from quoting.request import ShopState
from quoting.result import BuildPlan, Decider, LinePlan, PartPromise
from shop.models import Component, ExpectedDateChange, PurchaseOrder
from shop.selectors.line import LineRow, line_row, open_builds
from shop.selectors.odds import LineOdds, line_odds
from shop.selectors.plan import plan_basis, planned
from shop.selectors.shop import shop_today


@dataclass(frozen=True, kw_only=True)
class WaitingNeed:
    """Units of one part that one build lacks, from one place.

    `part` says where they come from and when. `order` is set when they are on order. `waiting_days` since the build
    was accepted. `delay_days` how much earlier the likely finish would be with this part on the shelf [calendar days]:
    0 when it holds nothing up, None when one of the two dates is not known. `days_named` the days its order line was
    expected on, the first before all.
    """

    row: LineRow
    part: PartPromise
    component: Component
    order: PurchaseOrder | None
    waiting_days: int
    delay_days: int | None
    days_named: tuple[ExpectedDateChange, ...] = ()

    @property
    def short_by(self) -> Decimal:
        return self.part.quantity

    @property
    def decides(self) -> Decider | None:
        """In how many simulated runs this part decides the finish; None when in hardly any, or without odds."""
        deciders = self.row.odds.deciders if self.row.odds else ()
        return next((each for each in deciders if (each.kind, each.code) == ("part", self.component.code)), None)


@dataclass(frozen=True, kw_only=True)
class WaitingBuild:
    """A build that lacks parts. `delay_days` as in WaitingNeed, the worst of its parts."""

    row: LineRow
    needs: tuple[WaitingNeed, ...]

    @property
    def delay_days(self) -> int | None:
        return max((need.delay_days for need in self.needs if need.delay_days is not None), default=None)


@dataclass(frozen=True, kw_only=True)
class WaitingPart:
    """A part that builds lack, with those builds in order of the line. `expected` the first of it to come."""

    component: Component
    needs: tuple[WaitingNeed, ...]

    @property
    def short_by(self) -> Decimal:
        return sum((need.short_by for need in self.needs), Decimal(0))

    @property
    def expected(self) -> date | None:
        return min((need.part.arrives for need in self.needs if need.part.arrives), default=None)

    @property
    def order_by(self) -> date | None:
        """By when to order what is not on order yet, so that every promise holds."""
        return min((need.part.order_by for need in self.needs if need.part.order_by), default=None)

    @property
    def delay_days(self) -> int | None:
        return max((need.delay_days for need in self.needs if need.delay_days is not None), default=None)


def waiting_builds(needs: Iterable[WaitingNeed] | None = None) -> tuple[WaitingBuild, ...]:
    """Builds that lack parts, in order of the line. Pass `waiting_needs()` on when a page shows both groupings."""
    grouped: dict[int, list[WaitingNeed]] = {}
    for need in waiting_needs() if needs is None else needs:
        grouped.setdefault(need.row.build.pk, []).append(need)
    return tuple(WaitingBuild(row=group[0].row, needs=tuple(group)) for group in grouped.values())


def waiting_parts(needs: Iterable[WaitingNeed] | None = None) -> tuple[WaitingPart, ...]:
    """Parts that builds lack, the one that puts off a finish most first, then by what comes last."""
    grouped: dict[int, list[WaitingNeed]] = {}
    for need in waiting_needs() if needs is None else needs:
        grouped.setdefault(need.component.pk, []).append(need)
    parts = [WaitingPart(component=group[0].component, needs=tuple(group)) for group in grouped.values()]
    return tuple(sorted(parts, key=lambda part: (-(part.delay_days or 0), part.component.name, part.component.pk)))


def waiting_needs(odds: LineOdds | None = None) -> tuple[WaitingNeed, ...]:
    """Every lack of every open build, in order of the line and of the steps. Pass `odds` on when they are at hand."""
    state, now, policies = plan_basis()
    odds = odds or line_odds(state.revision)
    plan = planned(state, now, policies)
    plans = {build.number: build for build in plan.builds}
    rows = {build.number: line_row(build, plans.get(build.number), odds) for build in open_builds()}
    lacking = [(build, part) for build in plan.builds for part in build.parts if part.short_by]
    codes = {part.code for _, part in lacking}
    components = {row.code: row for row in Component.objects.filter(code__in=codes)}
    numbers = {part.order for _, part in lacking if part.order}
    orders = {row.number: row for row in PurchaseOrder.objects.filter(number__in=numbers).select_related("supplier")}
    named = _days_named(numbers)
    without = {code: planned(with_part_here(state, code), now, policies) for code in sorted(codes)}
    today = shop_today()
    return tuple(
        WaitingNeed(
            row=rows[build.number],
            part=part,
            component=components[part.code],
            order=orders.get(part.order),
            waiting_days=max((today - _day(rows[build.number].build.accepted_at, now)).days, 0),
            delay_days=_delay(build, without[part.code]),
            days_named=named.get((part.order, part.code), ()),
        )
        for build, part in lacking
    )


def _days_named(numbers: Collection[str]) -> Mapping[tuple[str, str], tuple[ExpectedDateChange, ...]]:
    """The history of expected days by order number and component code."""
    rows = ExpectedDateChange.objects.filter(line__order__number__in=numbers)
    found: dict[tuple[str, str], tuple[ExpectedDateChange, ...]] = {}
    for row in rows.select_related("line__component", "line__order").order_by("at", "pk"):
        key = (row.line.order.number, row.line.component.code)
        found[key] = (*found.get(key, ()), row)
    return found


def with_part_here(state: ShopState, code: str) -> ShopState:
    """The shop as if nobody had to wait for a part."""
    builds = tuple(
        replace(build, needs=tuple(need for need in build.needs if need.code != code))
        if any(need.code == code for need in build.needs)
        else build
        for build in state.builds
    )
    return replace(state, builds=builds)


def _day(moment: datetime, now: datetime) -> date:
    return moment.astimezone(now.tzinfo).date()


def _delay(build: BuildPlan, without: LinePlan) -> int | None:
    other = without.build(build.number)
    if other is None or other.finish_from is None or build.finish_from is None:
        return None
    return max((build.finish_from - other.finish_from).days, 0)
