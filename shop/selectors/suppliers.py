"""Suppliers: what they sell, how long it really takes beside what they say, when they are closed, what is open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q

from shop.models import Offer, OfferBreak, OrderState, PurchaseOrder, Supplier, SupplierClosure
from shop.selectors.lead_history import MeasuredLead, measured_leads
from shop.selectors.shop import shop_today
from shop.selectors.stock import DueLine, OpenLine, lines_due, lines_open

MUCH_DAYS = 3  # mean further from the quoted likely days than this is worth a word (our own choice)


@dataclass(frozen=True, kw_only=True)
class SupplierRow:
    """One supplier with how much it sells and owes. `late` lines past their day."""

    supplier: Supplier
    offers: int
    due: int
    late: int


@dataclass(frozen=True, kw_only=True)
class OfferRow:
    """One offer, its price breaks, and the lead times of past deliveries."""

    offer: Offer
    breaks: tuple[OfferBreak, ...]
    measured: MeasuredLead | None

    @property
    def slower_days(self) -> int:
        """How far the measured mean lies past the quoted likely lead time; 0 when that is about right or not known."""
        if self.measured is None or not self.measured.counts or self.offer.lead_days is None:
            return 0
        over = round(self.measured.mean_days - self.offer.lead_days)
        return over if over > MUCH_DAYS else 0


@dataclass(frozen=True, kw_only=True)
class SupplierPage:
    """One supplier. `closures` those that are not over."""

    supplier: Supplier
    offers: tuple[OfferRow, ...]
    closures: tuple[SupplierClosure, ...]
    due: tuple[DueLine, ...]
    orders: tuple[PurchaseOrder, ...]


def supplier_rows() -> tuple[SupplierRow, ...]:
    """Every supplier by name."""
    today = shop_today()
    due: dict[int, list[OpenLine]] = {}
    for each in lines_open():
        due.setdefault(each.supplier_id, []).append(each)
    rows = Supplier.objects.annotate(sold=Count("offers", filter=Q(offers__component__discontinued=False)))
    return tuple(
        SupplierRow(
            supplier=row,
            offers=row.sold,
            due=len(due.get(row.pk, ())),
            late=sum(_late(each, today) for each in due.get(row.pk, ())),
        )
        for row in rows.order_by("name", "pk")
    )


def _late(due: OpenLine, today: date) -> bool:
    return due.expected_on is not None and due.expected_on < today


def supplier_page(public_id: str) -> SupplierPage:
    """One supplier by its public id. Raises Supplier.DoesNotExist."""
    supplier = Supplier.objects.get(public_id=public_id)
    measured = measured_leads(supplier=supplier)
    offers = supplier.offers.select_related("component", "supplier").prefetch_related("breaks")
    return SupplierPage(
        supplier=supplier,
        offers=tuple(
            OfferRow(
                offer=offer,
                breaks=tuple(offer.breaks.all()),
                measured=measured.get((supplier.pk, offer.component_id)),
            )
            for offer in offers.order_by("component__kind", "component__name", "pk")
        ),
        closures=tuple(supplier.closures.filter(last__gte=shop_today())),
        due=tuple(each for each in lines_due() if each.line.order.supplier_id == supplier.pk),
        orders=tuple(supplier.orders.filter(state=OrderState.DRAFT)),
    )
