"""Gapless numbers for documents."""

from __future__ import annotations

from django.db import connection

from shop.models import Sequence

PREFIXES = {
    "quote": "Q-",
    "build": "B-",
    "order": "P-",
    "receipt": "R-",
    "invoice": "INV-",
    "credit note": "CN-",
    "entry": "",
}


def number_take(name: str) -> str:
    """The next number of a run, such as Q-2041.

    Taken under a row lock inside the caller's transaction: when that rolls back, the number is free again, so no
    number is ever missing.
    """
    if not connection.in_atomic_block:
        raise RuntimeError("number_take must be called inside a transaction, or a failure would leave a gap")
    row = Sequence.objects.select_for_update().filter(name=name).first()
    if row is None:
        Sequence.objects.get_or_create(name=name, defaults={"prefix": PREFIXES[name]})
        row = Sequence.objects.select_for_update().get(name=name)
    taken = row.next_number
    row.next_number = taken + 1
    row.save(update_fields=["next_number"])
    return f"{row.prefix}{taken}"
