"""The one way into the cash book. Call it under the line's lock: entries are numbered and balances looked at there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.result import TaxShare
from shop.models import Build, EntryKind, EntryTax, LedgerEntry, Method, Posting
from shop.models.cash import WITH_DOCUMENT, WITH_RECEIPT
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.numbers import number_take

DOCUMENT_RUN = {EntryKind.CREDIT_NOTE: "credit note"}  # every other document is an invoice
KEPT_ROWS = ["build", "customer", "person", "reverses", "concerns"]  # the caller holds them: no look-up

# Asking for each constraint before it is held anyway takes longer than writing the entry; keys were looked at before.
BY_THE_DATABASE = {"validate_unique": False, "validate_constraints": False}


@dataclass(frozen=True, kw_only=True)
class Move:
    """`amount` goes from `credit` to `debit`; none is written for zero."""

    debit: str
    credit: str
    amount: Decimal


def entry_post(
    *,
    kind: EntryKind,
    build: Build,
    day: date,
    moves: Iterable[Move],
    person: User,
    key: str,
    method: str = "",
    reference: str = "",
    reason: str = "",
    concerns: LedgerEntry | None = None,
    reverses: LedgerEntry | None = None,
    taxes: Sequence[TaxShare] = (),
) -> LedgerEntry:
    """Write an entry with its numbers, postings and taxes. What raises a balance stands first among `moves`."""
    entry = LedgerEntry(
        number=int(number_take("entry")),
        kind=kind,
        day=day,
        build=build,
        customer=build.customer,
        method=method,
        reference=reference.strip(),
        receipt=number_take("receipt") if kind in WITH_RECEIPT else None,
        document=number_take(DOCUMENT_RUN.get(kind, "invoice")) if kind in WITH_DOCUMENT else None,
        reason=reason,
        concerns=concerns,
        reverses=reverses,
        person=person,
        key=key,
    )
    entry.full_clean(exclude=KEPT_ROWS, **BY_THE_DATABASE)
    entry.save(force_insert=True)
    for move in moves:
        if move.amount:
            posting = Posting(entry=entry, debit=move.debit, credit=move.credit, amount=move.amount)
            posting.full_clean(exclude=["entry", "build", "day"], **BY_THE_DATABASE)
            posting.save(force_insert=True)
    EntryTax.objects.bulk_create(
        EntryTax(
            entry=entry,
            position=position,
            authority=share.authority,
            level=share.level,
            taxable=share.taxable,
            amount=share.amount,
        )
        for position, share in enumerate(taxes, start=1)
    )
    return entry


def reversal_post(*, entry: LedgerEntry, reason: str, person: User, key: str) -> LedgerEntry:
    """Write the entry that undoes another: every posting the other way, the last one first."""
    assert entry.build is not None  # noqa: S101 - every entry has one; for the type checker
    moves = [
        Move(debit=posting.credit, credit=posting.debit, amount=posting.amount)
        for posting in entry.postings.order_by("-pk")
    ]
    return entry_post(
        kind=EntryKind.REVERSAL,
        build=entry.build,
        day=shop_today(),
        moves=moves,
        person=person,
        key=key,
        method=entry.method,
        reference=entry.reference,
        reason=reason,
        concerns=entry.concerns,
        reverses=entry,
    )


def made_with(key: str, **same: object) -> LedgerEntry | None:
    """The entry an earlier press of the same form made. Refused when it was about something else."""
    entry = LedgerEntry.objects.filter(key=key).first()
    if entry is not None and any(getattr(entry, name) != value for name, value in same.items()):
        raise used_already(entry)
    return entry


def used_already(entry: LedgerEntry) -> Refused:
    """What a form says that was sent before with other words in it."""
    return Refused(
        f"This form was used already for entry {entry.number} of the cash book. Look there before taking it again."
    )


def received_guard(method: str, received_on: date) -> None:
    """Refuse a way of paying nobody knows, and a day that lies ahead."""
    if method not in Method.values:
        raise Refused(f"Choose how it was paid: {', '.join(Method.labels)}.", "method")
    if received_on > shop_today():
        raise Refused("The day it was received lies ahead. Enter today or earlier.", "received_on")
