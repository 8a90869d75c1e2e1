"""Corrections of the cash book: nothing is edited, what was wrong is reversed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.price import round_money
from shop.models import Build, EntryKind, LedgerEntry, Quote, QuoteVersion, VersionState
from shop.selectors.cash import agreed_price, build_money
from shop.selectors.shop import shop_today
from shop.services.builds import build_take_out, open_build
from shop.services.cash import amount_guard, deposit_post, entry_save
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.numbers import number_take
from shop.services.stock import NONE, reason_guard


def entry_reverse(*, entry: LedgerEntry, reason: str, person: User, key: str) -> LedgerEntry:
    """Undo a deposit: the money went back or never came. Returns the reversing entry.

    Places are for deposits only, so with the first one the build is taken out of the line: its parts and its place go
    to those behind, and the quote can be revised and offered anew. That is refused once work on the build has begun,
    or while a later payment stands. A later payment is undone by itself. A slip of the keyboard is put right with
    `deposit_correct`, which keeps the place. Safe to repeat with the same `key`.
    """
    with line_lock():
        row = LedgerEntry.objects.select_related("build", "customer").get(pk=entry.pk)
        repeated = _made_before(key, row)
        if repeated is not None:
            return repeated
        reason = reason_guard(reason, "Say why: the check bounced, the customer withdrew.")
        build = _deposited_build(row)
        first, *later = _standing(build)
        if row == first and later:
            raise Refused(f"{build} holds a later payment, receipt {later[-1].receipt}. Reverse that one first.")
        reversal = _reversal(row, reason, person, key)
        if row == first:
            build_take_out(build=build, person=person, reason=reason)
            _acceptance_undone(build)
        _event(build, person, "entry reversed", row, after=f"entry {reversal.number}", reason=reason)
    return reversal


def deposit_correct(
    *,
    entry: LedgerEntry,
    amount: Decimal,
    method: str,
    reason: str,
    person: User,
    key: str,
    reference: str = "",
    received_on: date | None = None,
    allow_less: bool = False,
) -> LedgerEntry:
    """Put a deposit right that was entered wrong: it is reversed and entered anew, with a new receipt.

    The build keeps its place and its parts. Safe to repeat with the same `key`. Returns the new entry.
    """
    with line_lock():
        row = LedgerEntry.objects.select_related("build", "customer").get(pk=entry.pk)
        made = LedgerEntry.objects.filter(key=key).first()
        if made is not None and made.build_id == row.build_id and made.kind == EntryKind.DEPOSIT:
            return made
        reason = reason_guard(reason, "Say what was wrong.")
        build = _deposited_build(row)
        price = agreed_price(build)
        owed = round_money(build_money([build])[build.pk].owed + row.postings.get().amount, price.currency)
        asked = price.deposit if row == _standing(build)[0] else NONE
        amount_guard(amount, currency=price.currency, due=owed, asked=asked, person=person, allow_less=allow_less)
        _reversal(row, reason, person, f"{key}:reversal")
        made = deposit_post(
            build=build,
            amount=amount,
            method=method,
            reference=reference,
            received_on=received_on or row.day,
            person=person,
            key=key,
        )
        _event(build, person, "deposit corrected", row, after=f"{amount} {made.method}, {made.receipt}", reason=reason)
    return made


def _made_before(key: str, entry: LedgerEntry) -> LedgerEntry | None:
    made = LedgerEntry.objects.filter(key=key).first()
    if made is not None and made.reverses_id != entry.pk:
        raise Refused(f"This form was used already for entry {made.number}. Look in the cash book.")
    return made


def _deposited_build(entry: LedgerEntry) -> Build:
    if entry.kind != EntryKind.DEPOSIT or entry.build is None:
        raise Refused(f"Entry {entry.number} is no deposit. Only a deposit can be undone here.")
    undone = LedgerEntry.objects.filter(reverses=entry).first()
    if undone is not None:
        raise Refused(f"Entry {entry.number} was reversed already, by entry {undone.number}.")
    return open_build(entry.build)


def _standing(build: Build) -> list[LedgerEntry]:
    """Deposits of a build that were not undone, the one that gave it its place first."""
    return list(build.entries.filter(kind=EntryKind.DEPOSIT, reversed_by__isnull=True).order_by("number"))


def _reversal(entry: LedgerEntry, reason: str, person: User, key: str) -> LedgerEntry:
    posting = entry.postings.get()
    reversal = LedgerEntry(
        number=int(number_take("entry")),
        kind=EntryKind.REVERSAL,
        day=shop_today(),
        build=entry.build,
        customer=entry.customer,
        method=entry.method,
        reference=entry.reference,
        reverses=entry,
        reason=reason,
        person=person,
        key=key,
    )
    entry_save(reversal, debit=posting.credit, credit=posting.debit, amount=posting.amount)
    return reversal


def _acceptance_undone(build: Build) -> None:
    """The version counts as declined, so that the quote can be revised."""
    version = QuoteVersion.objects.only("quote_id").get(pk=build.version_id)
    Quote.objects.select_for_update().get(pk=version.quote_id)
    QuoteVersion.objects.filter(pk=version.pk).update(state=VersionState.DECLINED, accepted_option="")


def _event(build: Build, person: User, verb: str, entry: LedgerEntry, *, after: str, reason: str) -> None:
    event_write(
        person=person,
        verb=verb,
        subject=build.number,
        quote=build.version.quote,
        build=build,
        before=f"entry {entry.number}, {entry.receipt}",
        after=after,
        reason=reason,
    )
