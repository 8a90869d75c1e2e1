"""The paper of an entry of the cash book, whichever kind it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

from shop.documents.invoice import invoice_document
from shop.documents.papers import Issued
from shop.documents.receipt import receipt_document
from shop.documents.render import Document
from shop.documents.settled import credit_document, refund_document
from shop.models import EntryKind, LedgerEntry, PaperKind
from shop.selectors.documents import PAID_IN, issued_receipt
from shop.selectors.money_facts import CreditFacts, InvoiceFacts, RefundFacts, kept_facts

Facts = TypeVar("Facts")


@dataclass(frozen=True)
class EntryPaper:
    """`kind` under which it is kept; `name` of its file."""

    document: Document
    kind: PaperKind
    name: str


def entry_paper(entry: LedgerEntry) -> EntryPaper:
    """Raises LedgerEntry.DoesNotExist for an entry that has none: a reversal, a deposit applied."""
    if entry.kind in PAID_IN:
        issued = issued_receipt(entry)
        kind = PaperKind.VOID if issued.reversed_on else PaperKind.RECEIPT
        return EntryPaper(receipt_document(issued), kind, f"receipt-{entry.receipt}")
    if entry.kind in (EntryKind.INVOICE, EntryKind.STORAGE):
        return EntryPaper(
            invoice_document(_issued(entry, InvoiceFacts)), PaperKind.INVOICE, f"invoice-{entry.document}"
        )
    if entry.kind == EntryKind.CREDIT_NOTE:
        paper = credit_document(_issued(entry, CreditFacts))
        return EntryPaper(paper, PaperKind.CREDIT_NOTE, f"credit-note-{entry.document}")
    if entry.kind in (EntryKind.REFUND, EntryKind.KEPT):
        return EntryPaper(refund_document(_issued(entry, RefundFacts)), PaperKind.REFUND, f"refund-{entry.receipt}")
    raise LedgerEntry.DoesNotExist(f"entry {entry.number} has no paper of its own")


def _issued(entry: LedgerEntry, form: type[Facts]) -> Issued[Facts]:
    assert entry.build is not None  # noqa: S101 - every such entry has one; for the type checker
    return Issued(
        number=entry.document or entry.receipt or "",
        facts=kept_facts(entry, form),
        entered_at=entry.at,
        token=entry.build.link_token,
        method=entry.method,
        reference=entry.reference,
    )
