"""How long components take to come, by their preferred offers."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from shop.models import Offer


def lead_times(codes: Collection[str]) -> Mapping[str, int]:
    """Likely lead time in calendar days by component code; a component nobody has a lead time for is not in it."""
    offers = Offer.objects.filter(preferred=True, lead_days__isnull=False, component__code__in=codes).order_by()
    return {code: days for code, days in offers.values_list("component__code", "lead_days") if days is not None}
