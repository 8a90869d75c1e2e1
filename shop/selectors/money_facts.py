"""What invoices, credit notes, refunds and statements say, kept on the day they are issued."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeVar

from quoting import from_json
from quoting.price import LineShare, tax_of
from quoting.result import PriceSheet, TaxShare
from shop.models import DocumentFacts, LedgerEntry
from shop.selectors.document_facts import Addressee, Letterhead

Kept = TypeVar("Kept")
NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class PaidRow:
    """Money that came in before: its receipt, day and way."""

    receipt: str
    day: date
    method: str
    amount: Decimal


@dataclass(frozen=True, kw_only=True)
class InvoiceFacts:
    """An invoice as issued. `sheet` without costs; `shares` each line's part of discount and tax, for crediting it.

    `deposits` those received, `applied` how much of them this invoice took, `balance` what it then still asked;
    `left_over` stayed with the shop for the customer. `changes` what is not as it was agreed, in words. `tax_ahead` the
    tax that was charged with the deposits of the receipts in `taxed_with`, which this invoice takes off.
    """

    letterhead: Letterhead
    addressee: Addressee
    build: str
    title: str
    quote: str
    bike: str
    vin: str
    day: date
    sheet: PriceSheet
    shares: tuple[LineShare, ...]
    deposits: tuple[PaidRow, ...]
    applied: Decimal
    balance: Decimal
    left_over: Decimal = NONE
    exempt_certificate: str = ""
    exempt_kind: str = ""
    changes: tuple[str, ...] = ()
    stored_days: int = 0
    is_kit: bool = False
    tax_ahead: tuple[TaxShare, ...] = ()
    taxed_with: tuple[str, ...] = ()

    @property
    def tax_now(self) -> Decimal:
        """The tax that it charges itself."""
        return (self.sheet.tax_total or NONE) - tax_of(self.tax_ahead)


@dataclass(frozen=True, kw_only=True)
class CreditLine:
    """One line that was credited, by its index on the invoice."""

    line: int
    label: str
    net: Decimal
    tax: Decimal


@dataclass(frozen=True, kw_only=True)
class CreditFacts:
    """A credit note as issued. `allowance` given up with the last line: the engine goes back to the customer.

    `total` what the invoice asks less; `owed` what it still asks; `to_customer` was paid already and is held for them.
    """

    letterhead: Letterhead
    addressee: Addressee
    currency: str
    build: str
    title: str
    invoice: str
    invoice_day: date
    day: date
    lines: tuple[CreditLine, ...]
    taxes: tuple[TaxShare, ...]
    net: Decimal
    tax: Decimal
    allowance: Decimal
    total: Decimal
    owed: Decimal
    to_customer: Decimal
    reason: str


@dataclass(frozen=True, kw_only=True)
class RefundFacts:
    """Money given back, or kept, as settled. `paid` all that was held; `why` the sums in words; `cancelled` a build.

    `taxes` of it that was charged when it was received and is taken back; `taxes_kept` that stays with the authority.
    """

    letterhead: Letterhead
    addressee: Addressee
    currency: str
    build: str
    title: str
    quote: str
    day: date
    paid: Decimal
    kept: Decimal
    refunded: Decimal
    left: Decimal
    why: tuple[str, ...]
    reason: str
    cancelled: bool
    taxes: tuple[TaxShare, ...] = ()
    taxes_kept: tuple[TaxShare, ...] = ()


def kept_facts(entry: LedgerEntry, form: type[Kept]) -> Kept:
    """What was kept with an entry. Raises DocumentFacts.DoesNotExist for one that gave no such document."""
    return from_json(form, DocumentFacts.objects.get(entry=entry).facts)
