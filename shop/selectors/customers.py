"""Customers, found as their name is typed."""

from __future__ import annotations

from django.db.models import Q

from shop.models import Customer


def customers_found(text: str, *, limit: int = 10) -> tuple[Customer, ...]:
    """Customers whose name, mail address or telephone holds every word typed; all by name when nothing is typed."""
    rows = Customer.objects.order_by("name", "pk")
    for word in text.split():
        rows = rows.filter(Q(name__icontains=word) | Q(email__icontains=word) | Q(phone__icontains=word))
    return tuple(rows[:limit])
