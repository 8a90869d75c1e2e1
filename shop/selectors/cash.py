"""The cash book: entries of a period, and what each account holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Q, QuerySet, Sum

from shop.models import Account, EntryKind, LedgerEntry, Posting

NONE = Decimal(0)
# What the shop has; the other accounts hold what it owes or has earned, and grow when they are credited.
ASSETS = (
    Account.CASH,
    Account.CARD,
    Account.BANK,
    Account.CHECKS,
    Account.RECEIVABLE,
    Account.TAX_AHEAD,
    Account.TRADE_IN,
    Account.WRITE_OFF,
)

# Looked up once: asked of each row, a field makes its choices into a table anew.
ACCOUNT_WORDS, KIND_WORDS = dict(Account.choices), dict(EntryKind.choices)

# What a row of the book tells of its entry and of what that names.
SHOWN = (
    "public_id", "number", "kind", "day", "at", "method", "reference", "receipt", "document", "reason",
    "build__public_id", "build__number", "build__state", "customer__public_id", "customer__name", "person__username",
    "reverses__number", "reversed_by__number", "reversed_by__reverses", "concerns__document", "concerns__receipt",
)  # fmt: skip

# What the cash book may undo; the rest stands, invoices are put right with credit notes.
UNDOABLE = (
    EntryKind.DEPOSIT,
    EntryKind.PAYMENT,
    EntryKind.CLEARED,
    EntryKind.REFUND,
    EntryKind.KEPT,
    EntryKind.WRITE_OFF,
)


@dataclass(frozen=True, kw_only=True)
class CashRow:
    """One posting of an entry: `amount` goes from `from_account` to `to_account`. `reversed_by` once it was undone.

    `is_first` of its entry's rows: what may be done with the entry stands there.
    """

    entry: LedgerEntry
    kind: str
    to_account: str
    from_account: str
    amount: Decimal
    reversed_by: LedgerEntry | None
    is_first: bool

    @property
    def can_correct(self) -> bool:
        """Whether a slip of the keyboard may be put right: a deposit that stands, of a build that is open."""
        build = self.entry.build
        return self.can_undo and self.entry.kind == EntryKind.DEPOSIT and build is not None and build.is_open

    @property
    def can_undo(self) -> bool:
        """Whether it is offered to be undone; invoices are put right with credit notes."""
        return self.is_first and self.reversed_by is None and self.entry.kind in UNDOABLE


@dataclass(frozen=True, kw_only=True)
class AccountBalance:
    """One account over a period: what it held before, what went up and down, what it holds at the end."""

    account: str
    label: str
    before: Decimal
    up: Decimal
    down: Decimal

    @property
    def after(self) -> Decimal:
        return self.before + self.up - self.down


@dataclass(frozen=True, kw_only=True)
class CashBook:
    """A period, both days included: its entries, newest first, and the accounts that hold or moved anything."""

    first: date
    last: date
    rows: tuple[CashRow, ...]
    balances: tuple[AccountBalance, ...]
    deposits_held: Decimal


def cash_rows(first: date, last: date) -> CashBook:
    """The cash book of a period."""
    rows = book_rows(LedgerEntry.objects.filter(day__gte=first, day__lte=last).order_by("-number"))
    balances = account_balances(first, last)
    return CashBook(first=first, last=last, rows=rows, balances=balances, deposits_held=deposits_after(balances))


def book_rows(entries: QuerySet[LedgerEntry]) -> tuple[CashRow, ...]:
    """A row for each posting of some entries, in their order. Two queries, of what the book shows and no more."""
    entries = entries.select_related("build", "customer", "person", "reverses", "reversed_by", "concerns").only(*SHOWN)
    return tuple(
        CashRow(
            entry=entry,
            kind=KIND_WORDS[entry.kind],
            to_account=ACCOUNT_WORDS[posting.debit],
            from_account=ACCOUNT_WORDS[posting.credit],
            amount=posting.amount,
            reversed_by=getattr(entry, "reversed_by", None),
            is_first=not at,
        )
        for entry in entries.prefetch_related("postings")
        for at, posting in enumerate(entry.postings.all())
    )


def deposits_after(balances: Iterable[AccountBalance]) -> Decimal:
    """Deposits held at the end of a period, from its balances."""
    return next((each.after for each in balances if each.account == Account.DEPOSITS), NONE)


def account_balances(first: date, last: date) -> tuple[AccountBalance, ...]:
    """Accounts that hold or moved anything, in the order of the chart. One query."""
    before, within = Q(day__lt=first), Q(day__gte=first)
    pairs = Posting.objects.filter(day__lte=last).order_by().values("debit", "credit")
    sums: dict[str, list[Decimal]] = {}  # debits and credits before, debits and credits within
    for row in pairs.annotate(old=Sum("amount", filter=before), new=Sum("amount", filter=within)):
        for account, at in ((row["debit"], 0), (row["credit"], 1)):
            moved = sums.setdefault(account, [NONE] * 4)
            moved[at] += row["old"] or NONE
            moved[at + 2] += row["new"] or NONE
    found = []
    for own in Account:
        if own not in sums:
            continue
        moved = sums[own]
        old_up, old_down, up, down = moved if own in ASSETS else [moved[1], moved[0], moved[3], moved[2]]
        found.append(AccountBalance(account=own, label=own.label, before=old_up - old_down, up=up, down=down))
    return tuple(found)


def _sums(side: str, which: Q) -> Mapping[str, Decimal]:
    rows = Posting.objects.filter(which).order_by().values(side).annotate(moved=Sum("amount"))
    return {row[side]: row["moved"] for row in rows}


def deposits_held(day: date) -> Decimal:
    """Deposits held at the end of a day: taken less applied, given back or reversed."""
    until = Q(day__lte=day)
    deposits = str(Account.DEPOSITS)
    return _sums("credit", until).get(deposits, NONE) - _sums("debit", until).get(deposits, NONE)


def month_of(day: date) -> tuple[date, date]:
    """The first and last day of a day's month: the cash book's usual period."""
    first = day.replace(day=1)
    return first, (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
