"""When to order again, from what was used and how long deliveries take: the suggestion with all its figures."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Min, Sum
from django.db.models.functions import TruncDate

from quoting.reorder import reorder_point, safety_stock, service_z
from shop.models import Component, MoveKind, Offer, StockMove
from shop.selectors.lead_history import MeasuredLead, lead_spread, measured_leads
from shop.selectors.shop import shop_today, the_shop

WINDOW_DAYS = 365  # use of the last year; seasons cancel out (common practice, no source)
LEAST_USES = 3  # days on which it was used, or there is no mean to speak of (our own choice)
SERVICES = (80, 90, 95, 98)


@dataclass(frozen=True, kw_only=True)
class ReorderRow:
    """One component's figures. `days` over which its use is known; per day mean and deviation; lead time and deviation.

    `point` the stock at which to order again, rounded up to whole units.
    """

    component: Component
    used: Decimal
    days: int
    demand: float
    demand_sd: float
    lead_days: float
    lead_sd_days: float
    measured: MeasuredLead | None
    z: float
    safety: float
    point: Decimal

    @property
    def differs(self) -> bool:
        return self.point != self.component.keep_on_shelf


def reorder_rows(service_percent: int) -> tuple[ReorderRow, ...]:
    """Every component that was used often enough and has a lead time, those furthest from their least stock first."""
    use, firsts = _use(), _first_moves()
    components = Component.objects.filter(pk__in=use, discontinued=False)
    offers = {row.component_id: row for row in Offer.objects.filter(preferred=True, component__in=use).order_by()}
    measured = measured_leads(components=list(use))
    today, z = shop_today(), service_z(service_percent / 100)
    rows = []
    for component in components:
        offer = offers.get(component.pk)
        real = measured.get((offer.supplier_id, component.pk)) if offer else None
        lead = lead_spread(offer, real)
        if lead is not None and len(use[component.pk]) >= LEAST_USES:
            days = min(max((today - firsts[component.pk]).days, 1), WINDOW_DAYS)
            rows.append(_row(component, use[component.pk], days, lead, real, z))
    return tuple(sorted(rows, key=lambda row: (not row.differs, row.component.keep_on_shelf - row.point,
                                               row.component.name, row.component.pk)))  # fmt: skip


def _row(
    component: Component,
    use: Mapping[date, Decimal],
    days: int,
    lead: tuple[float, float],
    measured: MeasuredLead | None,
    z: float,
) -> ReorderRow:
    used = sum(use.values(), Decimal(0))
    demand = float(used) / days
    squares = sum(float(units) ** 2 for units in use.values()) / days
    demand_sd = math.sqrt(max(squares - demand**2, 0.0))
    safety = safety_stock(z, lead_days=lead[0], demand_sd=demand_sd, demand=demand, lead_sd_days=lead[1])
    point = reorder_point(demand=demand, lead_days=lead[0], safety=max(safety, 0.0))
    return ReorderRow(
        component=component,
        used=used,
        days=days,
        demand=demand,
        demand_sd=demand_sd,
        lead_days=lead[0],
        lead_sd_days=lead[1],
        measured=measured,
        z=z,
        safety=safety,
        point=Decimal(math.ceil(round(point, 6))),
    )


def _use() -> Mapping[int, Mapping[date, Decimal]]:
    """Units used a day over the window, by component id: issued or scrapped, less what came back that day."""
    zone = ZoneInfo(the_shop().zone)
    kinds = [MoveKind.ISSUED, MoveKind.RETURNED, MoveKind.SCRAPPED]
    since = shop_today() - timedelta(days=WINDOW_DAYS)
    moves = StockMove.objects.order_by().filter(kind__in=kinds).annotate(day=TruncDate("at", tzinfo=zone))
    rows = moves.filter(day__gt=since).values("component_id", "day").annotate(gone=Sum("on_hand"))
    found: dict[int, dict[date, Decimal]] = {}
    for row in rows:
        if row["gone"] < 0:
            found.setdefault(row["component_id"], {})[row["day"]] = -row["gone"]
    return found


def _first_moves() -> Mapping[int, date]:
    zone = ZoneInfo(the_shop().zone)
    rows = StockMove.objects.order_by().values("component_id").annotate(first=Min("at"))
    return {row["component_id"]: row["first"].astimezone(zone).date() for row in rows}
