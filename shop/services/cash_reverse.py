"""Corrections of the cash book: nothing is edited, what was wrong is reversed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User
from django.db.models import Sum

from quoting.price import round_money
from shop.models import Account, Build, EntryKind, LedgerEntry, Quote, QuoteVersion, VersionState
from shop.selectors.agreement import agreed_of
from shop.selectors.build_money import build_money
from shop.selectors.cash import UNDOABLE
from shop.selectors.invoices import invoices_of
from shop.services.builds import build_take_out, open_build
from shop.services.cash import amount_guard, deposit_post
from shop.services.errors import Refused
from shop.services.events import build_event
from shop.services.ledger import reversal_post
from shop.services.line_lock import line_lock
from shop.services.settling import held_applied, held_freed
from shop.services.stock import NONE, reason_guard


def entry_reverse(*, entry: LedgerEntry, reason: str, person: User, key: str, keep_build: bool = False) -> LedgerEntry:
    """Undo an entry: a deposit or a payment that never came or bounced, a refund that did not go out, money kept or
    written off that comes back after all. Returns the reversing entry. Invoices are put right with credit notes.

    Places are for deposits only: with a build's first deposit the build is taken out of the line, its parts and its
    place go to those behind, and the quote can be revised and offered anew. That is refused once work has begun or
    while a later payment stands; `keep_build` then keeps the build where it is, for an owner who has other money
    coming. A slip of the keyboard is put right with `deposit_correct`. Safe to repeat with the same `key`.
    """
    with line_lock():
        row = LedgerEntry.objects.select_related("build__customer", "customer", "concerns").get(pk=entry.pk)
        repeated = _made_before(key, row)
        if repeated is not None:
            return repeated
        reason = reason_guard(reason, "Say why: the check bounced, the customer withdrew.")
        build = _undoable(row)
        goes = row.kind == EntryKind.DEPOSIT and build.is_open and not keep_build and not invoices_of(build)
        standing = _standing(build) if goes else []
        is_first, later = standing[:1] == [row], standing[1:]
        if is_first and later:
            raise Refused(f"{build} holds a later payment, receipt {later[-1].receipt}. Reverse that one first.")
        _clearing_undone(row, reason, person, key)
        taken = row.postings.filter(credit=Account.DEPOSITS).aggregate(taken=Sum("amount"))["taken"]
        if taken:
            held_freed(build=build, amount=taken, reason=reason, person=person, key=key)
        reversal = reversal_post(entry=row, reason=reason, person=person, key=key)
        held_applied(build=build, person=person, key=key)
        if is_first:
            build_take_out(build=build, person=person, reason=reason)
            acceptance_undone(build)
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
        build = open_build(_undoable(row))
        if row.kind != EntryKind.DEPOSIT or invoices_of(build):
            raise Refused("Only a deposit of a build that is not invoiced is corrected here. Undo the entry instead.")
        price = agreed_of(build).price
        money, taken = build_money([build])[build.pk], row.moved
        if money.held < taken:  # what is held is never below zero, not even between two entries
            gone = round_money(taken - money.held, price.currency)
            raise Refused(f"{gone} of {row.receipt} went back or was kept. Undo that entry first, then correct it.")
        owed = round_money(money.owed + taken, price.currency)
        asked = price.deposit if row == _standing(build)[0] else NONE
        amount_guard(amount, currency=price.currency, due=owed, asked=asked, person=person, allow_less=allow_less)
        _clearing_undone(row, reason, person, key)
        reversal_post(entry=row, reason=reason, person=person, key=f"{key}:reversal")
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


def _undoable(entry: LedgerEntry) -> Build:
    if entry.kind not in UNDOABLE or entry.build_id is None:
        raise Refused(f"Entry {entry.number} is not undone here. An invoice is put right with a credit note.")
    undone = LedgerEntry.objects.filter(reverses=entry).first()
    if undone is not None:
        raise Refused(f"Entry {entry.number} was reversed already, by entry {undone.number}.")
    if entry.kind == EntryKind.WRITE_OFF and entry.concerns is not None:
        credited = entry.concerns.followers.filter(kind=EntryKind.CREDIT_NOTE, number__gt=entry.number).first()
        if credited is not None:
            raise Refused(f"{credited.document} has credited what was written off. There is nothing left to ask for.")
    return Build.objects.select_related("customer", "version__quote").get(pk=entry.build_id)


def _standing(build: Build) -> list[LedgerEntry]:
    """Deposits of a build that were not undone, the one that gave it its place first."""
    return list(build.entries.filter(kind=EntryKind.DEPOSIT, reversed_by__isnull=True).order_by("number"))


def _clearing_undone(entry: LedgerEntry, reason: str, person: User, key: str) -> None:
    """A check that was said to have cleared goes back to those that have not, before it is undone."""
    cleared = entry.followers.filter(kind=EntryKind.CLEARED, reversed_by__isnull=True).first()
    if cleared is not None:
        reversal_post(entry=cleared, reason=reason, person=person, key=f"{key}:cleared")


def acceptance_undone(build: Build) -> None:
    """The version counts as declined, so that the quote can be revised."""
    version = QuoteVersion.objects.only("quote_id").get(pk=build.version_id)
    Quote.objects.select_for_update().get(pk=version.quote_id)
    QuoteVersion.objects.filter(pk=version.pk).update(state=VersionState.DECLINED, accepted_option="")


def _event(build: Build, person: User, verb: str, entry: LedgerEntry, *, after: str, reason: str) -> None:
    before = f"entry {entry.number}, {entry.receipt}"
    build_event(build=build, person=person, verb=verb, before=before, after=after, reason=reason)
