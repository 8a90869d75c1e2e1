"""Invoices: what one would say today, and what those that stand still ask."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quoting import QuoteRequest
from quoting.price import PriceDifference, TaxAhead, price_difference, price_sheet, round_money
from quoting.request import ExtraLine, Option
from quoting.result import PriceSheet
from shop.models import Build, BuildState, EntryKind, LedgerEntry
from shop.selectors.agreement import Agreed, agreed_of
from shop.selectors.build_money import BuildMoney, build_money
from shop.selectors.ledger_sums import invoice_sums
from shop.selectors.money_facts import CreditFacts, InvoiceFacts, PaidRow, kept_facts
from shop.selectors.priced_on import priced_on
from shop.selectors.shop import shop_today
from shop.selectors.tax_ahead import TaxedRow, standing_ahead, taxed_rows, with_kept_rates

NONE = Decimal(0)
INVOICES = (EntryKind.INVOICE, EntryKind.STORAGE)


@dataclass(frozen=True, kw_only=True)
class InvoiceDraft:
    """What an invoice would say: priced on its day, by the tax of that day. `difference` from what was agreed.

    `ahead` the tax charged on deposits when they were received, by the receipts in `taxed`: it comes off the tax that
    is charged now. `barred` why it can't be made, with the remedy; empty when it can.
    """

    build: Build
    agreed: Agreed
    request: QuoteRequest
    sheet: PriceSheet
    difference: PriceDifference
    money: BuildMoney
    deposits: tuple[PaidRow, ...]
    barred: str
    ahead: TaxAhead
    taxed: tuple[TaxedRow, ...]

    @property
    def tax_now(self) -> Decimal:
        """The tax that this invoice still charges; below zero when more was charged than the price has."""
        return (self.sheet.tax_total or NONE) - self.ahead.tax

    @property
    def applied(self) -> Decimal:
        return round_money(min(self.money.held, self.sheet.due), self.sheet.currency)

    @property
    def balance(self) -> Decimal:
        return self.sheet.due - self.applied

    @property
    def left_over(self) -> Decimal:
        return round_money(self.money.held, self.sheet.currency) - self.applied

    @property
    def has_changed(self) -> bool:
        """Whether the customer pays something else than was agreed."""
        return not self.difference.is_empty


@dataclass(frozen=True, kw_only=True)
class CreditableLine:
    """A line of an invoice: what the customer pays for it, and whether it was credited."""

    line: int
    label: str
    net: Decimal
    tax: Decimal
    credited: bool

    @property
    def total(self) -> Decimal:
        return self.net + self.tax


@dataclass(frozen=True, kw_only=True)
class InvoicePage:
    """An invoice that stands: what it says, what came of it since, what it still asks."""

    entry: LedgerEntry
    facts: InvoiceFacts
    asked: Decimal
    owed: Decimal
    lines: tuple[CreditableLine, ...]
    followers: tuple[LedgerEntry, ...]

    @property
    def creditable(self) -> tuple[CreditableLine, ...]:
        return tuple(line for line in self.lines if not line.credited)


def invoice_draft(build: Build, *, day: date | None = None) -> InvoiceDraft:
    """What the invoice of a build would say on a day, today unless told."""
    day = day or shop_today()
    agreed = agreed_of(build)
    request = invoice_request(build, agreed, agreed.option, day)
    ahead = standing_ahead(build)
    taxed = taxed_rows(build) if ahead.gross else ()
    sheet = with_kept_rates(request, price_sheet(request, agreed.option), ahead, taxed)
    money = build_money([build])[build.pk]
    return InvoiceDraft(
        build=build,
        agreed=agreed,
        request=request,
        sheet=sheet,
        difference=price_difference(agreed.price, sheet),
        money=money,
        deposits=paid_rows(build),
        barred=_barred(build, sheet, money),
        ahead=ahead,
        taxed=taxed,
    )


def storage_draft(build: Build, days: int, fee: Decimal, *, day: date) -> tuple[QuoteRequest, PriceSheet]:
    """The price of so many days of storage, taxed as a fee."""
    agreed = agreed_of(build)
    words = f"Storage, {days} day{'' if days == 1 else 's'}"
    option = Option(key="A", label="", extras=(ExtraLine(kind="fee", label=words, amount=days * fee, tax_class="fee"),))
    request = invoice_request(build, agreed, option, day)
    return request, price_sheet(request, option)


def invoice_request(build: Build, agreed: Agreed, option: Option, day: date) -> QuoteRequest:
    """The agreed request as of another day: that day's tax rates, and whether the customer is exempt on it."""
    return priced_on(agreed.request, option, place=agreed.version.tax_place_id, customer=build.customer, day=day)


def _barred(build: Build, sheet: PriceSheet, money: BuildMoney) -> str:
    if money.invoiced:
        return f"{build} is invoiced already. What was wrong is put right with a credit note."
    if build.state != BuildState.READY:
        return f"{build} is {build.get_state_display().lower()}. It is invoiced when it is ready."
    if sheet.tax_total is None:
        return f"The tax of that day is not known: {', '.join(sheet.missing)}. Enter it in the settings first."
    if sheet.due < 0:
        return (
            f"The allowance is more than the price: the shop would owe {-sheet.due}. Settle that outside the invoice."
        )
    return ""


def paid_rows(build: Build) -> tuple[PaidRow, ...]:
    """Deposits of a build that stand, the first one first."""
    rows = build.entries.filter(kind=EntryKind.DEPOSIT, reversed_by__isnull=True).order_by("number")
    return tuple(
        PaidRow(
            receipt=entry.receipt or "",
            day=entry.day,
            method=entry.method,
            amount=entry.moved,
        )
        for entry in rows.prefetch_related("postings")
    )


def invoice_owed(invoice: LedgerEntry) -> Decimal:
    """What an invoice still asks."""
    asked, paid = invoice_sums(invoice)
    return asked - paid


def invoices_of(build: Build) -> tuple[LedgerEntry, ...]:
    """A build's invoices, the first one first."""
    return tuple(build.entries.filter(kind__in=INVOICES).order_by("number"))


def invoice_page(public_id: str) -> InvoicePage:
    """One invoice by its public id. Raises LedgerEntry.DoesNotExist."""
    rows = LedgerEntry.objects.select_related("build__version__quote", "build__customer", "customer", "person")
    entry = rows.get(public_id=public_id, kind__in=INVOICES)
    asked, paid = invoice_sums(entry)
    followers = entry.followers.select_related("person", "reversed_by", "reverses").prefetch_related("postings")
    return InvoicePage(
        entry=entry,
        facts=kept_facts(entry, InvoiceFacts),
        asked=asked,
        owed=asked - paid,
        lines=creditable_lines(entry),
        followers=tuple(followers.order_by("number")),
    )


def creditable_lines(invoice: LedgerEntry) -> tuple[CreditableLine, ...]:
    """The lines of an invoice, those that were credited marked."""
    facts = kept_facts(invoice, InvoiceFacts)
    notes = invoice.followers.filter(kind=EntryKind.CREDIT_NOTE)
    gone = {line.line for note in notes for line in kept_facts(note, CreditFacts).lines}
    return tuple(
        CreditableLine(
            line=share.line,
            label=facts.sheet.lines[share.line].label,
            net=share.net,
            tax=sum(share.taxes, NONE),
            credited=share.line in gone,
        )
        for share in facts.shares
    )


def standing(entries: Sequence[LedgerEntry]) -> tuple[LedgerEntry, ...]:
    """Entries that were not undone and undo nothing."""
    return tuple(each for each in entries if each.reverses_id is None and getattr(each, "reversed_by", None) is None)
