"""What has to be looked at today, by role."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date, timedelta

from quoting.result import LaneBooking, LinePlan
from shop.models import BuildState, QuoteVersion, VersionState
from shop.permissions import COUNTER, OWNER
from shop.selectors.line import LineRow, line_rows
from shop.selectors.odds import LineOdds, line_odds
from shop.selectors.orders import late_lines
from shop.selectors.plan import line_plan
from shop.selectors.shop import shop_today
from shop.selectors.stock import DueLine
from shop.selectors.to_order import ToOrderRow, to_order

LAPSE_DAYS = 7  # our own choice: a week to ring up


@dataclass(frozen=True, kw_only=True)
class LapsingQuote:
    """An offered version whose validity ends within a week. `days_left` 0 on its last day."""

    version: QuoteVersion
    days_left: int


@dataclass(frozen=True, kw_only=True)
class BenchDay:
    """A bench and what the plan has on it today, in order of time."""

    name: str
    bookings: tuple[LaneBooking, ...]


@dataclass(frozen=True, kw_only=True)
class TodayPage:
    """A day in the shop. Quotes and orders stay empty for people who have nothing to do with them.

    `endangered` promises that are late, or kept in too few of the simulated runs, the least likely to be kept first;
    `odds` what that rests on.
    """

    day: date
    lapsing: tuple[LapsingQuote, ...]
    order_now: tuple[ToOrderRow, ...]
    endangered: tuple[LineRow, ...]
    late_orders: tuple[DueLine, ...]
    benches: tuple[BenchDay, ...]
    ready: tuple[LineRow, ...]
    on_hold: tuple[LineRow, ...]
    odds: LineOdds | None


def today_page(roles: Collection[str], plan: LinePlan | None = None) -> TodayPage:
    """What is due for someone with these roles."""
    plan = plan or line_plan()
    today = shop_today()
    desk = bool({OWNER, COUNTER} & set(roles))
    odds = line_odds(plan.revision)
    rows = line_rows(plan, odds)
    return TodayPage(
        day=today,
        lapsing=lapsing_quotes(today) if desk else (),
        order_now=tuple(_without_held(row) for row in to_order(plan) if row.due_now) if desk else (),
        endangered=tuple(sorted(filter(_is_endangered, rows), key=_danger)),
        late_orders=late_lines() if desk else (),
        benches=tuple(BenchDay(name=lane.name, bookings=lane.on(today)) for lane in plan.benches),
        ready=tuple(row for row in rows if row.build.state == BuildState.READY),
        on_hold=tuple(row for row in rows if row.build.on_hold),
        odds=odds,
    )


def _without_held(row: ToOrderRow) -> ToOrderRow:
    """What may be ordered of it without waiting for anybody's parts deposit."""
    return replace(row, quantity=row.open_quantity)


def _is_endangered(row: LineRow) -> bool:
    return bool(row.late_days or row.is_tight or (row.plan and row.plan.blocked))


def _danger(row: LineRow) -> tuple[float, int, int]:
    """No date first, then by the chance of keeping it, then by how late, then by place."""
    chance = row.chance if row.chance is not None else 0.0 if row.late_days else -1.0
    return (chance, -(row.late_days or 0), row.build.place or 0)


def lapsing_quotes(today: date) -> tuple[LapsingQuote, ...]:
    """Offered versions that lapse within a week, the first to lapse first."""
    rows = QuoteVersion.objects.filter(state=VersionState.OFFERED, valid_until__gte=today)
    rows = rows.filter(valid_until__lte=today + timedelta(days=LAPSE_DAYS)).defer("request", "result")
    rows = rows.select_related("quote__customer", "quote__donor__family").order_by("valid_until", "pk")
    return tuple(LapsingQuote(version=row, days_left=(row.valid_until - today).days) for row in rows if row.valid_until)
