"""Deposits and invoices: what is held goes on what is asked, and comes off it when the money was not real.

Call these under the line's lock.
"""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.models import Build, EntryKind, LedgerEntry
from shop.selectors.invoices import invoice_owed, invoices_of
from shop.selectors.ledger_sums import account_held
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.invoices import deposit_apply
from shop.services.ledger import reversal_post


def held_applied(*, build: Build, person: User, key: str) -> None:
    """Put what is held for a build on its invoices, the oldest first. Nobody owes the shop what it holds for them."""
    for invoice in invoices_of(build):
        amount = min(account_held(build), invoice_owed(invoice))
        deposit_apply(
            invoice=invoice,
            build=build,
            amount=amount,
            day=shop_today(),
            person=person,
            key=f"{key}:applied {invoice.number}",
        )


def held_freed(*, build: Build, amount: Decimal, reason: str, person: User, key: str) -> None:
    """Take deposits off a build's invoices again until `amount` is held. Refused when it was given back or kept."""
    applied = build.entries.filter(kind=EntryKind.APPLIED, reversed_by__isnull=True)
    rows: list[LedgerEntry] = list(applied.select_related("build__customer", "concerns").order_by("-number"))
    while account_held(build) < amount:
        if not rows:
            raise Refused("Its money was given back or kept already. Undo that entry first, if it never went out.")
        row = rows.pop(0)
        reversal_post(entry=row, reason=reason, person=person, key=f"{key}:freed {row.number}")
