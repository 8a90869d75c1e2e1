"""Tax places as they stand on a day: what each comes to by class, and when that changes next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, Prefetch

from quoting.price import in_force
from quoting.request import DatedRate
from shop.models import TaxBoundary, TaxClass, TaxPlace, TaxPlaceAuthority, TaxRate
from shop.selectors.tax import engine_rates

LIMITED, MISSING, UNTAXED = "limited", "missing", "untaxed"


@dataclass(frozen=True, kw_only=True)
class ClassRate:
    """What a place takes of a class on the day: `rate` combined; `note` limited, missing or untaxed, else empty."""

    label: str
    rate: Decimal
    note: str


@dataclass(frozen=True, kw_only=True)
class PlaceRow:
    """One place. `next_change` the first day from which a rate is another; None when none is known."""

    place: TaxPlace
    authorities: tuple[str, ...]
    rates: tuple[ClassRate, ...]
    next_change: date | None


@dataclass(frozen=True, kw_only=True)
class TaxPage:
    """All places, and how many ranges of ZIP codes were read, by state."""

    day: date
    classes: tuple[str, ...]
    places: tuple[PlaceRow, ...]
    zips: tuple[tuple[str, int], ...]


def tax_page(day: date) -> TaxPage:
    """Five queries, whatever the number of places."""
    rates = TaxRate.objects.order_by("tax_class", "begin")
    layers = TaxPlaceAuthority.objects.select_related("authority").order_by("position", "pk")
    rows = TaxPlace.objects.prefetch_related(
        Prefetch("layers", queryset=layers), Prefetch("layers__authority__rates", queryset=rates)
    )
    zips = TaxBoundary.objects.order_by("state").values_list("state").annotate(count=Count("pk"))
    return TaxPage(
        day=day,
        classes=tuple(TaxClass.labels),
        places=tuple(_place(row, day) for row in rows),
        zips=tuple((state, count) for state, count in zips),
    )


def _place(place: TaxPlace, day: date) -> PlaceRow:
    stacks = [engine_rates(layer.authority.rates.all()) for layer in place.layers.all()]
    changes = [rate.begin for rates in stacks for rate in rates if rate.begin > day]
    return PlaceRow(
        place=place,
        authorities=tuple(layer.authority.name for layer in place.layers.all()),
        rates=tuple(_class_rate(tax_class, stacks, day) for tax_class in TaxClass.values),
        next_change=min(changes, default=None),
    )


def _class_rate(tax_class: str, stacks: Iterable[tuple[DatedRate, ...]], day: date) -> ClassRate:
    found = [[rate for rate in rates if rate.tax_class == tax_class and in_force(rate, day)] for rates in stacks]
    standing = [rates[0] for rates in found if rates]
    note = ""
    if not found or len(standing) < len(found):
        note = MISSING
    elif not any(rate.taxed and rate.rate for rate in standing):
        note = UNTAXED
    elif any(rate.cap is not None or rate.threshold for rate in standing):
        note = LIMITED
    return ClassRate(
        label=str(TaxClass(tax_class).label), rate=sum((rate.rate for rate in standing), Decimal(0)), note=note
    )
