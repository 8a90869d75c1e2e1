"""The one way into the cash book. Call it under the line's lock: entries are numbered and balances looked at there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.price import tax_of
from quoting.result import TaxShare
from shop.models import Account, Build, EntryKind, EntryTax, LedgerEntry, Method, Posting
from shop.models.cash import WITH_DOCUMENT, WITH_RECEIPT
from shop.selectors.shop import shop_today
from shop.services.errors import Refused
from shop.services.numbers import number_take
from shop.services.tax_ahead import NOTHING, AheadMove, undone_ahead

DOCUMENT_RUN = {EntryKind.CREDIT_NOTE: "credit note"}  # every other document is an invoice
KEPT_ROWS = ["build", "customer", "person", "reverses", "concerns"]  # the caller holds them: no look-up

NONE = Decimal(0)

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
    ahead: AheadMove = NOTHING,
) -> LedgerEntry:
    """Write an entry with its numbers, postings and taxes. What raises a balance stands first among `moves`; what is
    charged `ahead` of the invoice, or no longer, comes after them.
    """
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
        taxed_ahead=ahead.gross,
        person=person,
        key=key,
    )
    entry.full_clean(exclude=KEPT_ROWS, **BY_THE_DATABASE)
    entry.save(force_insert=True)
    for move in (*moves, *_ahead_moves(ahead)):
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
            ahead=is_ahead,
        )
        for position, (share, is_ahead) in enumerate(
            (*((share, False) for share in (*taxes, *ahead.kept)), *((share, True) for share in ahead.shares)), start=1
        )
    )
    return entry


def _ahead_moves(ahead: AheadMove) -> tuple[Move, ...]:
    """Tax owed from the day money came; what of it stays with the authority comes off what the shop keeps."""
    owed, kept = ahead.owed, tax_of(ahead.kept)
    return (
        Move(debit=Account.TAX_AHEAD, credit=Account.TAX, amount=max(owed, NONE)),
        Move(debit=Account.TAX, credit=Account.TAX_AHEAD, amount=max(-owed, NONE)),
        Move(debit=Account.KEPT, credit=Account.TAX_AHEAD, amount=max(kept, NONE)),
        Move(debit=Account.TAX_AHEAD, credit=Account.KEPT, amount=max(-kept, NONE)),
    )


def reversal_post(*, entry: LedgerEntry, reason: str, person: User, key: str) -> LedgerEntry:
    """Write the entry that undoes another: every posting the other way, the last one first. Of tax charged ahead what
    no invoice has charged since.
    """
    assert entry.build is not None  # noqa: S101 - every entry has one; for the type checker
    moves = [
        Move(debit=posting.credit, credit=posting.debit, amount=posting.amount)
        for posting in reversed(entry.money_postings)
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
        ahead=undone_ahead(entry),
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
