"""Tax places as the engine sees them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.db.models import Prefetch, Q

from quoting.request import Authority, DatedRate, TaxPlace
from shop.models import TaxPlace as TaxPlaceRow
from shop.models import TaxPlaceAuthority, TaxRate


def engine_tax_place(place_id: int, day: date) -> TaxPlace:
    """The stack of a place with the rates that hold on `day` or begin later, in a fixed number of queries."""
    rates = TaxRate.objects.filter(Q(end__isnull=True) | Q(end__gte=day)).order_by("tax_class", "begin")
    layers = TaxPlaceAuthority.objects.select_related("authority").order_by("position", "pk")
    row = TaxPlaceRow.objects.prefetch_related(
        Prefetch("layers", queryset=layers), Prefetch("layers__authority__rates", queryset=rates)
    ).get(pk=place_id)
    return TaxPlace(
        code=row.code,
        name=row.name,
        mode=row.mode,
        authorities=tuple(
            Authority(
                name=layer.authority.name,
                level=layer.authority.level,
                rates=engine_rates(layer.authority.rates.all()),
            )
            for layer in row.layers.all()
        ),
    )


def engine_rates(rows: Iterable[TaxRate]) -> tuple[DatedRate, ...]:
    """Rows of the rate table as the engine sees them, in the same order."""
    return tuple(
        DatedRate(
            tax_class=row.tax_class,
            rate=row.rate,
            begin=row.begin,
            end=row.end,
            taxed=row.taxed,
            cap=row.cap,
            threshold=row.threshold,
            per_item=row.per_item,
            whole=row.whole,
        )
        for row in rows
    )
