"""A customer's or a build's account with the shop at a day: what was charged, what was paid, what is open."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import QuerySet

from shop.models import Account, Build, Customer, EntryKind, LedgerEntry, Posting
from shop.selectors.document_facts import Addressee, Letterhead, addressee_of, letterhead_of
from shop.selectors.shop import shop_today, the_shop

NONE = Decimal(0)
OWN = (Account.RECEIVABLE, Account.DEPOSITS)  # the customer's account with the shop: debited is charged, credited paid


@dataclass(frozen=True, kw_only=True)
class StatementRow:
    """One entry that changed the account. `charged` and `paid` one of them zero; `balance` after it."""

    day: date
    number: str
    words: str
    build: str
    charged: Decimal
    paid: Decimal
    balance: Decimal


@dataclass(frozen=True, kw_only=True)
class Statement:
    """The account of a customer, or of one build, at the end of a day.

    `balance` above zero is owed to the shop, below zero is the customer's. `held` of what was paid is still a deposit,
    `owed` is what invoices still ask: balance = owed - held.
    """

    letterhead: Letterhead
    addressee: Addressee
    currency: str
    day: date
    build: str
    title: str
    rows: tuple[StatementRow, ...]
    charged: Decimal
    paid: Decimal
    owed: Decimal
    held: Decimal

    @property
    def balance(self) -> Decimal:
        return self.owed - self.held

    @property
    def in_favor(self) -> Decimal:
        """What the shop owes the customer."""
        return max(-self.balance, NONE)


def customer_statement(customer: Customer, day: date | None = None) -> Statement:
    """All of a customer's builds. A fixed number of queries."""
    return _statement(LedgerEntry.objects.filter(customer=customer), customer, None, day)


def build_statement(build: Build, day: date | None = None) -> Statement:
    """One build."""
    return _statement(LedgerEntry.objects.filter(build=build), build.customer, build, day)


def _statement(entries: QuerySet[LedgerEntry], customer: Customer, build: Build | None, day: date | None) -> Statement:
    shop = the_shop()
    day = day or shop_today(shop)
    entries = entries.filter(day__lte=day)
    moved, owed, held = _moved(entries)
    rows, balance, sums = [], NONE, [NONE, NONE]
    found = entries.select_related("build", "concerns", "reverses").order_by("day", "number")
    for entry in found:
        effect = moved.get(entry.pk, NONE)
        if not effect:
            continue
        balance += effect
        charged, paid = max(effect, NONE), max(-effect, NONE)
        sums = [sums[0] + charged, sums[1] + paid]
        rows.append(
            StatementRow(
                day=entry.day,
                number=entry.document or entry.receipt or "",
                words=words_of(entry),
                build=str(entry.build or ""),
                charged=charged,
                paid=paid,
                balance=balance,
            )
        )
    return Statement(
        letterhead=letterhead_of(shop),
        addressee=addressee_of(customer),
        currency=shop.currency,
        day=day,
        build=build.number if build else "",
        title=build.title if build else "",
        rows=tuple(rows),
        charged=sums[0],
        paid=sums[1],
        owed=owed,
        held=held,
    )


def words_of(entry: LedgerEntry) -> str:
    """An entry as the customer reads it."""
    if entry.reverses is not None:
        return f"{entry.reverses.get_kind_display()} undone: {entry.reason}"
    if entry.kind == EntryKind.CREDIT_NOTE and entry.concerns is not None:
        return f"Credit note on {entry.concerns.document}: {entry.reason}"
    if entry.concerns is not None:
        return f"{entry.get_kind_display()} on {entry.concerns.document}"
    return str(entry.get_kind_display())


def _moved(entries: QuerySet[LedgerEntry]) -> tuple[Mapping[int, Decimal], Decimal, Decimal]:
    """What each entry did to the customer's account, charged less paid; what invoices ask and what is held then."""
    rows = Posting.objects.filter(entry__in=entries.values("pk")).order_by()
    found: dict[int, Decimal] = {}
    sums = dict.fromkeys(OWN, NONE)
    for entry, debit, credit, amount in rows.values_list("entry_id", "debit", "credit", "amount"):
        for account in OWN:
            moved = amount * ((debit == account) - (credit == account))
            sums[account] += moved
            found[entry] = found.get(entry, NONE) + moved
    return found, sums[Account.RECEIVABLE], -sums[Account.DEPOSITS]
