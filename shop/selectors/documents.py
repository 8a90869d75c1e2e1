"""Everything a quote's document or a receipt is made of, read once; and whose link may fetch which."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from quoting import QuoteRequest, QuoteResult, from_json
from shop.models import Build, EntryKind, LedgerEntry, Quote, QuoteVersion
from shop.selectors.document_facts import QuoteFacts, ReceiptFacts, amount_of, quote_facts, receipt_facts

PAID_IN = (EntryKind.DEPOSIT, EntryKind.PAYMENT)


@dataclass(frozen=True, kw_only=True)
class EarlierVersion:
    """The offered version before this one: its number and what it came to."""

    number: int
    result: QuoteResult


@dataclass(frozen=True, kw_only=True)
class IssuedQuote:
    """An offered version as frozen. `token` opens the customer's page."""

    request: QuoteRequest
    result: QuoteResult
    facts: QuoteFacts
    number: str
    version: int
    token: str
    offered_at: datetime
    valid_until: date
    earlier: EarlierVersion | None = None


@dataclass(frozen=True, kw_only=True)
class IssuedReceipt:
    """A deposit as entered. `reversed_on` the day it was undone, None while it stands."""

    facts: ReceiptFacts
    number: str
    amount: Decimal
    method: str
    reference: str
    received_on: date
    entered_at: datetime
    token: str
    reversed_on: date | None = None


def issued_quote(version: QuoteVersion) -> IssuedQuote:
    """The frozen parts of a version. Raises QuoteVersion.DoesNotExist for a draft: nothing is frozen in it yet."""
    if version.offered_at is None or version.valid_until is None:
        raise QuoteVersion.DoesNotExist(f"{version} is a draft")
    return IssuedQuote(
        request=from_json(QuoteRequest, version.request),
        result=from_json(QuoteResult, version.result),
        facts=quote_facts(version),
        number=version.quote.number,
        version=version.number,
        token=version.quote.link_token,
        offered_at=version.offered_at,
        valid_until=version.valid_until,
        earlier=_earlier(version),
    )


def issued_receipt(entry: LedgerEntry) -> IssuedReceipt:
    """A deposit's or payment's own rows. Raises LedgerEntry.DoesNotExist for an entry that gave no receipt."""
    if entry.kind not in PAID_IN or entry.receipt is None or entry.build is None:
        raise LedgerEntry.DoesNotExist(f"entry {entry.number} has no receipt")
    undone = LedgerEntry.objects.filter(reverses=entry).first()
    return IssuedReceipt(
        facts=receipt_facts(entry),
        number=entry.receipt,
        amount=amount_of(entry),
        method=entry.method,
        reference=entry.reference,
        received_on=entry.day,
        entered_at=entry.at,
        token=entry.build.link_token,
        reversed_on=undone.day if undone else None,
    )


def version_by_id(public_id: str) -> QuoteVersion:
    """Raises QuoteVersion.DoesNotExist."""
    return QuoteVersion.objects.select_related("quote__customer").get(public_id=public_id)


def entry_by_id(public_id: str) -> LedgerEntry:
    """Raises LedgerEntry.DoesNotExist."""
    return LedgerEntry.objects.select_related("build", "customer", "person", "concerns").get(public_id=public_id)


def version_for_customer(token: str, public_id: str) -> QuoteVersion:
    """An offered version of the quote that a customer's link belongs to. Raises Quote or QuoteVersion.DoesNotExist."""
    rows = QuoteVersion.objects.select_related("quote__customer").filter(offered_at__isnull=False)
    return rows.get(public_id=public_id, quote=_quote_of(token))


def entry_for_customer(token: str, public_id: str) -> LedgerEntry:
    """An entry with a paper of its own, of a customer's link. Raises Quote or LedgerEntry.DoesNotExist."""
    rows = LedgerEntry.objects.select_related("build", "customer", "person", "concerns")
    rows = rows.exclude(receipt=None, document=None)
    return rows.get(public_id=public_id, build__version__quote=_quote_of(token))


def _quote_of(token: str) -> Quote:
    """The quote behind its own link or its build's."""
    build = Build.objects.filter(link_token=token).select_related("version__quote").first()
    return build.version.quote if build else Quote.objects.get(link_token=token)


def _earlier(version: QuoteVersion) -> EarlierVersion | None:
    rows = QuoteVersion.objects.filter(quote=version.quote_id, number__lt=version.number, offered_at__isnull=False)
    row = rows.order_by("-number").first()
    return EarlierVersion(number=row.number, result=from_json(QuoteResult, row.result)) if row else None
