"""When the shop is open, and when it will be shut."""

from __future__ import annotations

from datetime import date

from shop.models import ClosedDays, OpeningHours


def opening_rows() -> list[OpeningHours]:
    """The week, Monday first."""
    return list(OpeningHours.objects.order_by("weekday", "start"))


def closed_days_from(day: date) -> tuple[ClosedDays, ...]:
    """Closed days that are not over, the next first."""
    return tuple(ClosedDays.objects.filter(last__gte=day).order_by("first"))
