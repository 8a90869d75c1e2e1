"""The shop's settings row and its own clock."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils import timezone

from shop.models import Shop


def the_shop() -> Shop:
    """The settings row, made with its defaults on first use."""
    return Shop.objects.select_related("home_tax_place").get_or_create(pk=1, defaults={"name": "Our shop"})[0]


def shop_now(shop: Shop | None = None) -> datetime:
    """The present moment, aware, in the shop's zone. Pass the row when you hold it: it saves a query."""
    zone = shop.zone if shop else Shop.objects.filter(pk=1).values_list("zone", flat=True).first()
    return timezone.now().astimezone(ZoneInfo(zone or the_shop().zone))


def shop_today(shop: Shop | None = None) -> date:
    """The date on the shop's wall."""
    return shop_now(shop).date()
