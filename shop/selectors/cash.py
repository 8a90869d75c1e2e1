"""The cash book: entries of a period, what each account holds, what each build has paid and owes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Q, Sum

from quoting import from_json
from quoting.result import PriceSheet, QuoteResult
from shop.models import Account, Build, BuildState, EntryKind, LedgerEntry, Posting

NONE = Decimal(0)
# What the shop has; the other accounts hold what it owes or has earned, and grow when they are credited.
ASSETS = (Account.CASH, Account.CARD, Account.BANK, Account.CHECKS, Account.RECEIVABLE, Account.WRITE_OFF)


@dataclass(frozen=True, kw_only=True)
class CashRow:
    """One posting of an entry: `amount` goes from `from_account` to `to_account`. `reversed_by` once it was undone."""

    entry: LedgerEntry
    to_account: str
    from_account: str
    amount: Decimal
    reversed_by: LedgerEntry | None


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


@dataclass(frozen=True, kw_only=True)
class BuildMoney:
    """What a build comes to and what was paid towards it. `owed` is zero once a build is cancelled."""

    total: Decimal
    paid: Decimal
    owed: Decimal


@dataclass(frozen=True, kw_only=True)
class HeldRow:
    """A build the shop holds deposits for, since the day of the oldest."""

    build: Build
    money: BuildMoney
    since: date


def cash_rows(first: date, last: date) -> CashBook:
    """The cash book of a period."""
    entries = LedgerEntry.objects.filter(day__gte=first, day__lte=last).order_by("-number")
    entries = entries.select_related("build", "customer", "person", "reverses", "reversed_by")
    rows = tuple(
        CashRow(
            entry=entry,
            to_account=posting.get_debit_display(),
            from_account=posting.get_credit_display(),
            amount=posting.amount,
            reversed_by=getattr(entry, "reversed_by", None),
        )
        for entry in entries.prefetch_related("postings")
        for posting in entry.postings.all()
    )
    balances = account_balances(first, last)
    held = next((each.after for each in balances if each.account == Account.DEPOSITS), NONE)
    return CashBook(first=first, last=last, rows=rows, balances=balances, deposits_held=held)


def account_balances(first: date, last: date) -> tuple[AccountBalance, ...]:
    """Accounts that hold or moved anything, in the order of the chart. Four sums."""
    before, within = Q(entry__day__lt=first), Q(entry__day__gte=first, entry__day__lte=last)
    old_debit, old_credit = _sums("debit", before), _sums("credit", before)
    debit, credit = _sums("debit", within), _sums("credit", within)
    found = []
    for account in Account:
        moved = [sums.get(account, NONE) for sums in (old_debit, old_credit, debit, credit)]
        if not any(moved):
            continue
        old_up, old_down, up, down = moved if account in ASSETS else [moved[1], moved[0], moved[3], moved[2]]
        found.append(AccountBalance(account=account, label=account.label, before=old_up - old_down, up=up, down=down))
    return tuple(found)


def _sums(side: str, which: Q) -> Mapping[str, Decimal]:
    rows = Posting.objects.filter(which).order_by().values(side).annotate(moved=Sum("amount"))
    return {row[side]: row["moved"] for row in rows}


def deposits_held(day: date) -> Decimal:
    """Deposits held at the end of a day: taken less applied, given back or reversed."""
    until = Q(entry__day__lte=day)
    deposits = str(Account.DEPOSITS)
    return _sums("credit", until).get(deposits, NONE) - _sums("debit", until).get(deposits, NONE)


def held_rows() -> tuple[HeldRow, ...]:
    """Builds the shop holds deposits for, the oldest deposit first: the ageing of deposits."""
    paid = {build_id: amount for build_id, amount in paid_by_build().items() if amount}
    builds = Build.objects.filter(pk__in=paid).select_related("customer").order_by()
    since: dict[int, date] = {}
    for entry in LedgerEntry.objects.filter(build__in=paid, kind=EntryKind.DEPOSIT, reversed_by__isnull=True).order_by(
        "-day"
    ):
        if entry.build_id is not None:
            since[entry.build_id] = entry.day
    rows = [
        HeldRow(build=build, money=money_of(build, paid[build.pk]), since=since[build.pk])
        for build in builds
        if build.pk in since
    ]
    return tuple(sorted(rows, key=lambda row: (row.since, row.build.number)))


def build_money(builds: Collection[Build]) -> Mapping[int, BuildMoney]:
    """What each build comes to and has paid, by build id. Two queries, whatever their number."""
    paid = paid_by_build([build.pk for build in builds])
    return {build.pk: money_of(build, paid.get(build.pk, NONE)) for build in builds}


def money_of(build: Build, paid: Decimal) -> BuildMoney:
    """What a build still owes, given what was paid."""
    cancelled = build.state == BuildState.CANCELLED
    return BuildMoney(total=build.total, paid=paid, owed=NONE if cancelled else build.total - paid)


def paid_by_build(build_ids: Collection[int] | None = None) -> Mapping[int, Decimal]:
    """What customers have paid towards builds and the shop has not given back, by build id."""
    rows = Posting.objects.filter(entry__build__isnull=False)
    if build_ids is not None:
        rows = rows.filter(entry__build__in=build_ids)
    found: dict[int, Decimal] = {}
    for side, sign in (("credit", 1), ("debit", -1)):
        sums = (
            rows.filter(**{side: Account.DEPOSITS}).order_by().values("entry__build_id").annotate(moved=Sum("amount"))
        )
        for row in sums:
            key = row["entry__build_id"]
            found[key] = found.get(key, NONE) + sign * row["moved"]
    return found


def agreed_price(build: Build) -> PriceSheet:
    """The price of the option a build was accepted with, as it was frozen."""
    result = from_json(QuoteResult, build.version.result)
    return next(option.price for option in result.options if option.key == build.option_key)


def month_of(day: date) -> tuple[date, date]:
    """The first and last day of a day's month: the cash book's usual period."""
    first = day.replace(day=1)
    return first, (first + timedelta(days=31)).replace(day=1) - timedelta(days=1)
