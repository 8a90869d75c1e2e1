"""One build's money on its own: held, spent on parts, earned by hours, what may be given back, what comes next."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from quoting.price import round_money
from shop.models import Account, Build, BuildState, EntryKind, LedgerEntry
from shop.selectors.agreement import Agreed, agreed_of
from shop.selectors.build_money import BuildMoney, build_money
from shop.selectors.document_facts import quote_facts
from shop.selectors.invoices import INVOICES, invoice_owed
from shop.selectors.ledger_sums import uncleared
from shop.selectors.settlement import Settlement, settlement_of
from shop.selectors.storage import StorageDue, storage_due
from shop.selectors.tax_ahead import is_taxed_at_payment, standing_ahead

NONE = Decimal(0)
# Paid this share of the price more than parts and hours come to so far: worth a look (our own choice).
FAR_AHEAD = Decimal("0.25")


@dataclass(frozen=True, kw_only=True)
class Stage:
    """A deposit by a point of the build: `asked` in all by then, `left` of it to pay."""

    label: str
    asked: Decimal
    left: Decimal


@dataclass(frozen=True, kw_only=True)
class PurseEntry:
    """An entry with what it moved; `cleared` the entry that says its check has, `waits` while none does."""

    entry: LedgerEntry
    amount: Decimal
    cleared: LedgerEntry | None
    waits: bool

    @property
    def can_clear(self) -> bool:
        return self.waits and self.cleared is None

    @property
    def has_paper(self) -> bool:
        return bool(self.entry.receipt or self.entry.document)


@dataclass(frozen=True, kw_only=True)
class OpenInvoice:
    """An invoice and what it still asks."""

    entry: LedgerEntry
    owed: Decimal


@dataclass(frozen=True, kw_only=True)
class Purse:
    """A build's money. `refundable` what would go back now: by the terms while it is open, else what is overpaid.

    `tax_ahead` what of the deposits held is tax that was due when they were received; `taxed_at_payment` whether the
    next one would be taxed so.
    """

    build: Build
    currency: str
    money: BuildMoney
    stages: tuple[Stage, ...]
    settlement: Settlement
    entries: tuple[PurseEntry, ...]
    invoices: tuple[OpenInvoice, ...]
    uncleared: Decimal
    storage: StorageDue | None
    tax_ahead: Decimal
    taxed_at_payment: bool

    @property
    def refundable(self) -> Decimal:
        return self.money.overpaid if self.money.invoiced or not self.build.is_open else self.settlement.refunded

    @property
    def ahead(self) -> Decimal:
        """What was paid beyond what parts and hours come to so far."""
        return self.money.paid - self.settlement.spent.amount

    @property
    def is_far_ahead(self) -> bool:
        return self.build.state != BuildState.READY and self.ahead > FAR_AHEAD * self.money.total

    @property
    def next_stage(self) -> Stage | None:
        return next((stage for stage in self.stages if stage.left), None)

    @property
    def can_cancel(self) -> bool:
        return self.build.is_open and not self.money.invoiced

    @property
    def can_invoice(self) -> bool:
        return self.build.state == BuildState.READY and not self.money.invoiced


def purse_of(public_id: str) -> Purse:
    """By a build's public id. Raises Build.DoesNotExist."""
    rows = Build.objects.select_related("customer", "version__quote", "version__tax_place", "donor__family")
    build = rows.get(public_id=public_id)
    agreed = agreed_of(build)
    money = build_money([build])[build.pk]
    entries = _entries(build)
    return Purse(
        build=build,
        currency=agreed.price.currency,
        money=money,
        stages=stages_of(build, agreed, money),
        settlement=settlement_of(build),
        entries=entries,
        invoices=tuple(
            OpenInvoice(entry=row.entry, owed=invoice_owed(row.entry)) for row in entries if row.entry.kind in INVOICES
        ),
        uncleared=uncleared(build),
        storage=storage_due(build),
        tax_ahead=standing_ahead(build).tax,
        taxed_at_payment=is_taxed_at_payment(build.version),
    )


def stages_of(build: Build, agreed: Agreed, money: BuildMoney) -> tuple[Stage, ...]:
    """The place, the parts where the terms ask for it, the balance; none once it is invoiced or closed."""
    if money.invoiced or not build.is_open:
        return ()
    price, terms = agreed.price, quote_facts(agreed.version).letterhead
    asked = [("Deposit for the place", price.deposit)]
    if terms.parts_deposit_rate:
        parts = round_money(price.due * terms.parts_deposit_rate, price.currency)
        asked.append(("Deposit for parts, before they are ordered", max(parts, price.deposit)))
    asked.append(("Balance at hand-over", price.due))
    return tuple(
        Stage(label=label, asked=amount, left=max(round_money(amount - money.held, price.currency), NONE))
        for label, amount in asked
    )


def _entries(build: Build) -> tuple[PurseEntry, ...]:
    """All of them, the newest first. Two queries."""
    rows = list(
        build.entries.select_related("person", "reversed_by", "reverses", "concerns")
        .prefetch_related("postings")
        .order_by("-number")
    )
    cleared = {
        row.concerns_id: row
        for row in rows
        if row.kind == EntryKind.CLEARED and getattr(row, "reversed_by", None) is None
    }
    return tuple(
        PurseEntry(
            entry=row,
            amount=entry_amount(row),
            cleared=cleared.get(row.pk),
            waits=row.kind in (EntryKind.DEPOSIT, EntryKind.PAYMENT)
            and getattr(row, "reversed_by", None) is None
            and any(posting.debit == Account.CHECKS for posting in row.postings.all()),
        )
        for row in rows
    )


def entry_amount(entry: LedgerEntry) -> Decimal:
    """What an entry is about: an invoice's or credit note's total, else all that it moved."""
    postings = entry.money_postings
    if entry.kind in (*INVOICES, EntryKind.CREDIT_NOTE):
        return abs(
            sum(
                (row.amount * ((row.debit == Account.RECEIVABLE) - (row.credit == Account.RECEIVABLE)))
                for row in postings
                if {row.debit, row.credit} & {Account.SALES, Account.TAX, Account.STORAGE, Account.TRADE_IN}
            )
            or NONE
        )
    return entry.moved
