"""Sums of single builds and invoices in the cash book, as of now or as of an entry."""

from __future__ import annotations

from decimal import Decimal

from django.db.models import Q, QuerySet, Sum

from shop.models import Account, Build, LedgerEntry, Posting

NONE = Decimal(0)


def account_held(build: Build, *, before: int | None = None) -> Decimal:
    """Deposits held for a build; those before an entry's number when it is given."""
    taken, given = _sides(Posting.objects.filter(entry__build=build), Account.DEPOSITS, before)
    return taken - given


def invoice_sums(invoice: LedgerEntry, *, before: int | None = None) -> tuple[Decimal, Decimal]:
    """What an invoice asks, and what was paid, credited or written off of it."""
    rows = Posting.objects.filter(Q(entry=invoice) | Q(entry__concerns=invoice))
    lowered, raised = _sides(rows, Account.RECEIVABLE, before)
    asked_less, asked_more = _sides(Posting.objects.filter(entry=invoice), Account.RECEIVABLE, None)
    asked = asked_more - asked_less
    return asked, asked - (raised - lowered)


def written_off(invoice: LedgerEntry) -> Decimal:
    """What of an invoice was given up."""
    back, given = _sides(Posting.objects.filter(entry__concerns=invoice), Account.WRITE_OFF, None)
    return given - back


def uncleared(build: Build) -> Decimal:
    """What a build has paid by checks that nobody has said are cleared."""
    taken, gone = _sides(Posting.objects.filter(entry__build=build), Account.CHECKS, None)
    return gone - taken


def _sides(rows: QuerySet[Posting], account: Account, before: int | None) -> tuple[Decimal, Decimal]:
    """Credited and debited."""
    if before is not None:
        rows = rows.filter(entry__number__lt=before)
    sums = rows.aggregate(
        credited=Sum("amount", filter=Q(credit=account)), debited=Sum("amount", filter=Q(debit=account))
    )
    return sums["credited"] or NONE, sums["debited"] or NONE
