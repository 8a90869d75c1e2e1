"""The receipt for a deposit: what was received, and where that leaves the customer on that day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC

from shop.documents.columns import Columns, PrintItem, print_columns
from shop.documents.pen import Pen
from shop.documents.price import Sum, tax_row
from shop.documents.quote import Head, head_of
from shop.documents.scan import ScanCode, scan_code
from shop.documents.spelling import is_british
from shop.documents.terms import kept_terms, parts_terms, storage_terms
from shop.models import Method
from shop.selectors.document_facts import ReceiptFacts
from shop.selectors.documents import IssuedReceipt

CLOSING_LINE = 60  # characters a line in two columns (counted on a page)
NEXT = (
    "Parts that are not on the shelf go on order by the day the finish needs them.",
    "Before its first day on the bench the bike has to be at the shop, with its key, its title and little fuel.",
    "When the finish window changes you are told the new one and the reason. The live page always shows both.",
    "Changes to the build are quoted with their price and their effect on the finish before they are made.",
    "At handover you get the final invoice with this deposit taken off, and the record of the bike as built.",
)
NEXT_KIT = (
    "Parts that are not on the shelf go on order by the day the shipment needs them.",
    "When the date changes you are told the new one and the reason. The live page always shows both.",
    "With the parts you get the final invoice with this deposit taken off.",
)


@dataclass(frozen=True)
class ReceiptDocument:
    """`place` and `window` empty when they are not known; `void` says so when the deposit was undone. `taxed` the tax
    in it where a payment is taxed when it is received.
    """

    head: Head
    number: str
    amount: str
    facts: tuple[tuple[str, str], ...]
    build: str
    title: str
    place: str
    window: str
    currency: str
    sums: tuple[tuple[str, str], ...]
    left: str
    closing: Columns
    happens: tuple[str, ...]
    code: ScanCode
    void: str
    words: str = "Deposit received"
    over: str = ""
    taxed_words: str = ""
    taxed: tuple[Sum, ...] = ()


def receipt_document(issued: IssuedReceipt, units: str = "us") -> ReceiptDocument:
    """From the deposit's own rows and what was kept with it; nothing of today's plan."""
    facts = issued.facts
    letterhead = facts.letterhead
    pen = Pen(letterhead.locale, facts.currency, units)
    window = pen.window(facts.finish_from, facts.finish_to) if facts.finish_from else ""
    what = "payment" if facts.invoice else "deposit"
    return ReceiptDocument(
        head=head_of(
            letterhead,
            facts.addressee,
            title=f"Receipt {issued.number}, {letterhead.name}",
            ref=f"{issued.number}, build {facts.build}",
            made_at=issued.entered_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        ),
        number=issued.number,
        amount=pen.money(issued.amount),
        facts=_rows(issued, pen),
        build=facts.build,
        title=facts.title,
        place=f"Place {facts.place} in line" if facts.place else "",
        window=window,
        currency=facts.currency,
        sums=_sums(issued, pen),
        left=pen.money(facts.left),
        closing=print_columns(((f"Terms of the {what}", _terms(facts, pen)),), 2, CLOSING_LINE),
        happens=() if facts.invoice else tuple(pen.own(text) for text in (NEXT_KIT if facts.is_kit else NEXT)),
        code=scan_code(issued.token, f"build {facts.build}"),
        void=f"Void. This {what} was reversed on {pen.day(issued.reversed_on)}." if issued.reversed_on else "",
        words=f"{what.capitalize()} received",
        over=pen.money(facts.over) if facts.over else "",
        taxed_words=_taxed_words(issued, what, pen),
        taxed=_taxed(facts, pen),
    )


def method_words(method: str, locale: str) -> str:
    """How it was paid; a check is a cheque where English is written so."""
    if method == Method.CHECKS and is_british(locale):
        return "Cheque"
    return str(Method(method).label)


def _rows(issued: IssuedReceipt, pen: Pen) -> tuple[tuple[str, str], ...]:
    rows = [("Received on", pen.day(issued.received_on)), ("Paid by", method_words(issued.method, pen.locale))]
    if issued.reference:
        rows.append(("Reference", issued.reference))
    if issued.facts.taken_by:
        rows.append(("Taken by", issued.facts.taken_by))
    return tuple(rows)


def _sums(issued: IssuedReceipt, pen: Pen) -> tuple[tuple[str, str], ...]:
    facts = issued.facts
    words = "Paid or credited before" if facts.invoice else "Received before"
    before = [(words, pen.amount(-facts.before))] if facts.before else []
    asked = f"Invoice {facts.invoice}" if facts.invoice else f"Agreed, {facts.quote}"
    this = "This payment" if facts.invoice else "This deposit"
    over = [("Held for you", pen.amount(facts.over))] if facts.over else []
    return ((asked, pen.amount(facts.total)), *before, (this, pen.amount(-issued.amount)), *over)


def _taxed_words(issued: IssuedReceipt, what: str, pen: Pen) -> str:
    """The day it is due; and of how much, where more came in than is taxed."""
    taxed = issued.facts.taxed
    if taxed is None:
        return ""
    part = "" if taxed.ahead.gross == issued.amount else f" of {pen.amount(taxed.ahead.gross)}"
    return f"Tax in this {what}{part}, due {pen.day(taxed.day)}"


def _taxed(facts: ReceiptFacts, pen: Pen) -> tuple[Sum, ...]:
    if facts.taxed is None:
        return ()
    ahead = facts.taxed.ahead
    without = Sum("Without tax", pen.amount(ahead.gross - ahead.tax))
    return (without, *(tax_row(share, pen) for share in ahead.shares))


def _terms(facts: ReceiptFacts, pen: Pen) -> tuple[PrintItem, ...]:
    if facts.invoice:
        held = "what came in beyond the invoice is held for you and given back when you ask." if facts.over else ""
        paid = (("Payment", f"goes to invoice {facts.invoice}. A check counts once it has cleared."), ("Held", held))
        return tuple(PrintItem(pen.own(text), title) for title, text in paid if text)
    own = (facts.letterhead.deposit_terms, parts_terms(facts.letterhead, pen), kept_terms(facts.letterhead, pen))
    held = " ".join(text for text in (f"held for build {facts.build} until the final invoice.", *own) if text)
    tax = "none is taken on a deposit; it falls on the final invoice."
    if facts.taxed:
        tax = "due on what is received when it is received; the final invoice takes it off. The tax authority decides."
    terms = (("Deposit", held), ("Tax", tax), *storage_terms(facts.letterhead, pen))
    return tuple(PrintItem(pen.own(text), title) for title, text in terms)
