"""A credit note, and money given back or kept."""

from __future__ import annotations

from quoting.price import tax_of
from quoting.result import TaxShare
from shop.documents.columns import PrintItem, print_columns
from shop.documents.papers import CLOSING_LINE, Issued, MoneyDocument, PaperRow, PaperTable, paper_head
from shop.documents.pen import Pen
from shop.documents.price import Sum
from shop.documents.receipt import method_words
from shop.documents.scan import scan_code
from shop.selectors.money_facts import CreditFacts, RefundFacts


def credit_document(issued: Issued[CreditFacts], units: str = "us") -> MoneyDocument:
    facts = issued.facts
    pen = Pen(facts.letterhead.locale, facts.currency, units)
    lines = tuple(
        PaperRow(
            (f"{line.label[:1].upper()}{line.label[1:]}",),
            (pen.amount(line.net), pen.amount(line.tax), pen.amount(line.net + line.tax)),
        )
        for line in facts.lines
    )
    taken = (Sum("Old engine goes back to you", pen.amount(-facts.allowance)),) if facts.allowance else ()
    taxes = tuple(_tax(share, pen) for share in facts.taxes if share.amount)
    left = (
        (Sum("Held for you", pen.amount(facts.to_customer), "strong"),)
        if facts.to_customer
        else (Sum("The invoice still asks", pen.amount(facts.owed), "strong"),)
    )
    return MoneyDocument(
        head=paper_head(facts.letterhead, facts.addressee, f"Credit note {issued.number}", issued, facts.build),
        kind="credit",
        heading=f"Credit note {issued.number}",
        dates=(("Date", pen.day(facts.day)), ("On invoice", f"{facts.invoice}, {pen.day(facts.invoice_day)}")),
        about=(("Build", facts.build), ("", facts.title)),
        to="Credited to",
        big_words="Credited",
        big=pen.money(facts.total),
        rows=(Sum("Before tax", pen.amount(facts.net)), *taxes, *taken, *left),
        table=PaperTable("What is credited", ("Item", "Net", "Tax", facts.currency), 1, lines),
        said=(f"Why: {facts.reason}",),
        closing=print_columns((("Terms", _credit_terms(facts, pen)),), 2, CLOSING_LINE),
        code=scan_code(issued.token, f"build {facts.build}"),
    )


def refund_document(issued: Issued[RefundFacts], units: str = "us") -> MoneyDocument:
    """Money given back; for a cancelled build with what is kept and why."""
    facts = issued.facts
    pen = Pen(facts.letterhead.locale, facts.currency, units)
    title = f"Refund {issued.number}" if facts.refunded else f"Deposit kept {issued.number}"
    kept = (Sum("Kept by the terms", pen.amount(-facts.kept)),) if facts.kept else ()
    left = (Sum("Still held for you", pen.amount(facts.left)),) if facts.left else ()
    gone = (f"Build {facts.build} is cancelled.",) if facts.cancelled else ()
    dates = [("Date", pen.day(facts.day)), ("Quote", facts.quote)]
    if issued.method:
        dates.append(("Paid by", method_words(issued.method, facts.letterhead.locale)))
    if issued.reference:
        dates.append(("Reference", issued.reference))
    return MoneyDocument(
        head=paper_head(facts.letterhead, facts.addressee, title, issued, facts.build),
        kind="refund",
        heading=title,
        dates=tuple(dates),
        about=(("Build", facts.build), ("", facts.title)),
        to="Given back to",
        big_words="Given back",
        big=pen.money(facts.refunded),
        rows=(
            Sum("Held for you", pen.amount(facts.paid)),
            *kept,
            *left,
            Sum(f"Given back, {facts.currency}", pen.amount(facts.refunded), "strong"),
            *(Sum(f"Tax in it, {share.authority}", pen.amount(share.amount), "tax") for share in facts.taxes),
        ),
        table=None,
        said=(*gone, f"Why: {facts.reason}", *(pen.said(text) for text in facts.why)),
        closing=print_columns((("Note", _refund_terms(facts, pen)),), 2, CLOSING_LINE),
        code=scan_code(issued.token, f"build {facts.build}"),
    )


def _tax(share: TaxShare, pen: Pen) -> Sum:
    rates = " and ".join(pen.percent(rate) for rate in share.rates)
    return Sum(f"{share.authority}, {rates}" if rates else share.authority, pen.amount(share.amount), "tax")


def _credit_terms(facts: CreditFacts, pen: Pen) -> tuple[PrintItem, ...]:
    terms = [("Tax", "is credited with the lines it was charged on.")]
    if facts.to_customer:
        terms.append(("Held", "what you paid beyond the invoice is held for you and given back when you ask."))
    return tuple(PrintItem(pen.own(text), title) for title, text in terms)


def _refund_terms(facts: RefundFacts, pen: Pen) -> tuple[PrintItem, ...]:
    tax = "whether tax is due on a deposit that is kept, the tax authority decides."
    if facts.taxes_kept:
        stays = pen.amount(tax_of(facts.taxes_kept))
        tax = f"the {stays} charged on what is kept stays with the tax authority, unless it decides otherwise."
    kept = (("Tax", tax),) if facts.kept else ()
    receipt = (("Receipt", "keep this paper with the receipts of your deposits."),)
    return tuple(PrintItem(pen.own(text), title) for title, text in (*receipt, *kept))
