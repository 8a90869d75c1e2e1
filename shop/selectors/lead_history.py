"""How long deliveries really took, from past orders, and a lead time that holds with a given chance."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal
from statistics import fmean, stdev
from zoneinfo import ZoneInfo

from quoting.price import pert_deviation_h, pert_mean_h, quantile_h
from quoting.reorder import service_z
from shop.models import MoveKind, Offer, PastPurchase, StockMove, Supplier
from shop.selectors.shop import the_shop

MEASURED_FROM = 5  # deliveries; fewer say little of their spread (our own choice)
Key = tuple[int, int]  # supplier id, component id


@dataclass(frozen=True, kw_only=True)
class MeasuredLead:
    """Calendar days from order to door of past deliveries. `sd_days` 0 with a single one."""

    deliveries: int
    mean_days: float
    sd_days: float
    least_days: int
    most_days: int

    @property
    def counts(self) -> bool:
        """Whether there are enough to rest a date on."""
        return self.deliveries >= MEASURED_FROM


@dataclass(frozen=True, kw_only=True)
class LeadAt:
    """A lead time with its chance. `basis` measured, quoted, or likely: the offer names one figure only."""

    days: int
    percent: int
    basis: str
    measured: MeasuredLead | None


def measured_leads(
    *, components: Collection[int] | None = None, supplier: Supplier | None = None
) -> Mapping[Key, MeasuredLead]:
    """By supplier and component id; each delivery of an order counts once, those from before the shop kept its orders
    here as well. Two queries besides the shop's own.
    """
    moves = StockMove.objects.order_by().filter(
        kind=MoveKind.RECEIVED, order_line__isnull=False, order_line__order__ordered_on__isnull=False
    )
    if components is not None:
        moves = moves.filter(component__in=components)
    if supplier is not None:
        moves = moves.filter(order_line__order__supplier=supplier)
    zone = ZoneInfo(the_shop().zone)
    found: dict[Key, list[int]] = {}
    names = ("order_line__order__supplier_id", "component_id", "order_line__order__ordered_on", "at")
    for supplier_id, component_id, ordered_on, at in moves.values_list(*names):
        days = (at.astimezone(zone).date() - ordered_on).days
        found.setdefault((supplier_id, component_id), []).append(max(days, 0))
    past = PastPurchase.objects.order_by()
    past = past if components is None else past.filter(component__in=components)
    past = past if supplier is None else past.filter(supplier=supplier)
    for supplier_id, component_id, ordered_on, on in past.values_list(
        "supplier_id", "component_id", "ordered_on", "received_on"
    ):
        found.setdefault((supplier_id, component_id), []).append((on - ordered_on).days)
    return {key: _measured(days) for key, days in found.items()}


def _measured(days: list[int]) -> MeasuredLead:
    return MeasuredLead(
        deliveries=len(days),
        mean_days=fmean(days),
        sd_days=stdev(days) if len(days) > 1 else 0.0,
        least_days=min(days),
        most_days=max(days),
    )


def lead_at(offer: Offer, measured: MeasuredLead | None, percent: int) -> LeadAt | None:
    """The lead time within which `percent` of deliveries come; None when nobody knows any.

    Of past deliveries when there are enough, mean + z deviations; else the quantile of the offer's low, likely and
    high days (PERT).
    """
    if measured is not None and measured.counts:
        days = measured.mean_days + service_z(percent / 100) * measured.sd_days
        return LeadAt(days=max(math.ceil(days), 0), percent=percent, basis="measured", measured=measured)
    if offer.lead_days is None:
        return None
    low, high = offer.lead_low_days, offer.lead_high_days
    if low is None or high is None:
        return LeadAt(days=offer.lead_days, percent=percent, basis="likely", measured=measured)
    quantile = quantile_h(Decimal(low), Decimal(offer.lead_days), Decimal(high), percent)
    return LeadAt(days=math.ceil(quantile), percent=percent, basis="quoted", measured=measured)


def lead_spread(offer: Offer | None, measured: MeasuredLead | None) -> tuple[float, float] | None:
    """Mean lead time and its deviation [days]: measured from enough deliveries, else by PERT of the quoted days."""
    if measured is not None and measured.counts:
        return measured.mean_days, measured.sd_days
    if offer is None or offer.lead_days is None:
        return None
    likely = Decimal(offer.lead_days)
    low = likely if offer.lead_low_days is None else Decimal(offer.lead_low_days)
    high = likely if offer.lead_high_days is None else Decimal(offer.lead_high_days)
    return float(pert_mean_h(low, likely, high)), float(pert_deviation_h(low, high))
