"""Checks: received on one day, cleared on another."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User
from django.db.models import Sum

from quoting.price import round_money
from shop.models import Account, EntryKind, LedgerEntry
from shop.selectors.shop import shop_today, the_shop
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.ledger import Move, entry_post, made_with
from shop.services.line_lock import line_lock
from shop.services.stock import NONE


def check_clear(*, entry: LedgerEntry, cleared_on: date, person: User, key: str) -> LedgerEntry:
    """Enter that a check's money has arrived at the bank. Safe to repeat with the same `key`.

    One that bounces is undone with `entry_reverse`, also after it was said to have cleared.
    """
    with line_lock():
        made = made_with(key, kind=EntryKind.CLEARED, concerns_id=entry.pk)
        if made is not None:
            return made
        row = LedgerEntry.objects.select_related("build__version__quote", "build__customer").get(pk=entry.pk)
        amount = row.postings.filter(debit=Account.CHECKS).aggregate(sum=Sum("amount"))["sum"] or NONE
        build = row.build
        if row.kind not in (EntryKind.DEPOSIT, EntryKind.PAYMENT) or not amount or build is None:
            raise Refused(f"Entry {row.number} was not paid by check.")
        if LedgerEntry.objects.filter(reverses=row).exists():
            raise Refused(f"Entry {row.number} was undone. Nothing is left to clear.")
        if row.followers.filter(kind=EntryKind.CLEARED, reversed_by__isnull=True).exists():
            raise Refused(f"The check of entry {row.number} has cleared already.")
        if not row.day <= cleared_on <= shop_today():
            raise Refused(f"It was received on {row.day}. Enter a day from then to today.", "cleared_on")
        made = entry_post(
            kind=EntryKind.CLEARED,
            build=build,
            day=cleared_on,
            moves=[Move(debit=Account.BANK, credit=Account.CHECKS, amount=amount)],
            person=person,
            key=key,
            method=row.method,
            reference=row.reference,
            concerns=row,
        )
        event_write(
            person=person,
            verb="check cleared",
            subject=build.number,
            quote=build.version.quote,
            build=build,
            after=f"{round_money(amount, the_shop().currency)}, receipt {row.receipt}, {cleared_on}",
        )
    return made
