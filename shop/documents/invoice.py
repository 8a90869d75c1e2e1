"""An invoice: what is to pay, every line, the tax, what was paid before."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.price import tax_of
from quoting.request import Policies
from shop.documents.columns import PrintItem
from shop.documents.papers import Issued, Pairs, paper_head
from shop.documents.pen import Pen
from shop.documents.price import PriceBlock, Sum, price_block
from shop.documents.quote import Head
from shop.documents.scan import ScanCode, scan_code
from shop.documents.terms import storage_terms
from shop.selectors.money_facts import InvoiceFacts


@dataclass(frozen=True)
class InvoiceDocument:
    """An invoice: what is to pay, every line, the tax, what was paid before. `tax` what of it was charged before."""

    head: Head
    number: str
    dates: Pairs
    about: Pairs
    big_words: str
    big: str
    rows: tuple[Sum, ...]
    price: PriceBlock
    changes: tuple[str, ...]
    terms: tuple[PrintItem, ...]
    code: ScanCode
    tax: tuple[Sum, ...] = ()


def invoice_document(issued: Issued[InvoiceFacts], units: str = "us") -> InvoiceDocument:
    """From what was kept when it was made."""
    facts = issued.facts
    sheet, pen = facts.sheet, Pen(facts.letterhead.locale, facts.sheet.currency, units)
    policies = Policies(
        customer_tax_exempt=bool(facts.exempt_certificate),
        exempt_certificate=facts.exempt_certificate,
        exempt_kind=facts.exempt_kind,
    )
    paid = facts.balance <= 0
    return InvoiceDocument(
        head=paper_head(facts.letterhead, facts.addressee, f"Invoice {issued.number}", issued, facts.build),
        number=issued.number,
        dates=(("Date", pen.day(facts.day)), ("Quote", facts.quote)),
        about=_about(facts),
        big_words="Paid in full" if paid else "To pay",
        big=pen.money(facts.balance),
        rows=_invoice_rows(facts, pen),
        price=price_block(sheet, policies, pen),
        changes=tuple(pen.said(text) for text in facts.changes),
        terms=_invoice_terms(facts, pen),
        code=scan_code(issued.token, f"build {facts.build}"),
        tax=_tax_rows(facts, pen),
    )


def _tax_rows(facts: InvoiceFacts, pen: Pen) -> tuple[Sum, ...]:
    """Where deposits were taxed when they were received: what of the tax this invoice still charges."""
    if not facts.tax_ahead:
        return ()
    with_deposits = ", ".join(facts.taxed_with)
    return (
        Sum("Tax on the whole", pen.amount(facts.sheet.tax_total)),
        Sum(
            f"Charged with {with_deposits}" if with_deposits else "Charged with deposits",
            pen.amount(-tax_of(facts.tax_ahead)),
        ),
        Sum("Charged now" if facts.tax_now >= 0 else "Taken back now", pen.amount(facts.tax_now), "strong"),
    )


def _about(facts: InvoiceFacts) -> Pairs:
    rows = [("Build", facts.build), ("", facts.title)]
    if facts.vin:
        rows.append(("VIN or frame number", facts.vin))
    return tuple(rows)


def _invoice_rows(facts: InvoiceFacts, pen: Pen) -> tuple[Sum, ...]:
    """The invoice's total, each deposit with its receipt, and what is left."""
    sheet = facts.sheet
    rows = [Sum("Total, tax included" if sheet.taxes else "Total", pen.amount(sheet.total))]
    if sheet.allowance:
        rows.append(Sum(sheet.allowance_label or "Allowance", pen.amount(-sheet.allowance)))
    if facts.deposits and sum(row.amount for row in facts.deposits) == facts.applied:
        rows += [Sum(f"Deposit {row.receipt}, {pen.day(row.day)}", pen.amount(-row.amount)) for row in facts.deposits]
    elif facts.applied:
        rows.append(Sum("Deposits taken off", pen.amount(-facts.applied)))
    rows.append(Sum(f"To pay, {sheet.currency}", pen.amount(facts.balance), "strong"))
    if facts.left_over:
        rows.append(Sum("Held for you beyond that", pen.amount(facts.left_over)))
    return tuple(rows)


def _invoice_terms(facts: InvoiceFacts, pen: Pen) -> tuple[PrintItem, ...]:
    due = "on hand-over. A check counts once it has cleared."
    tax = f"charged at the rates in force on {pen.day(facts.day)}; the tax authority decides."
    if facts.tax_ahead:
        tax = f"due on deposits when they were received, at the rates of that day; on the rest {tax}"
    terms = (("Payment", due), ("Tax", tax), *storage_terms(facts.letterhead, pen))
    return tuple(PrintItem(pen.own(text), title) for title, text in terms)
