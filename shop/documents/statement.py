"""A customer's account with the shop at a day."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

from shop.documents.papers import MoneyDocument, PaperRow, PaperTable
from shop.documents.pen import Pen
from shop.documents.price import Sum
from shop.documents.quote import head_of
from shop.selectors.statements import Statement


def statement_document(statement: Statement, made_at: datetime, units: str = "us") -> MoneyDocument:
    """The account at a day. It carries no code to scan: it may speak of several builds."""
    pen = Pen(statement.letterhead.locale, statement.currency, units)
    rows = tuple(
        PaperRow(
            (pen.day(row.day), row.number, row.words, row.build),
            (_or_blank(row.charged, pen), _or_blank(row.paid, pen), pen.amount(row.balance)),
        )
        for row in statement.rows
    )
    total = PaperRow(
        ("", "", "Together", ""),
        (pen.amount(statement.charged), pen.amount(statement.paid), pen.amount(statement.balance)),
        strong=True,
    )
    owes = statement.balance > 0
    about = (("Build", statement.build), ("", statement.title)) if statement.build else (("For", "all builds"),)
    heads = ("Date", "Number", "What", "Build", "Charged", "Paid", f"Balance, {statement.currency}")
    return MoneyDocument(
        head=head_of(
            statement.letterhead,
            statement.addressee,
            title=f"Statement at {pen.day(statement.day)}, {statement.letterhead.name}",
            ref=f"Statement, {pen.day(statement.day)}",
            made_at=made_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        ),
        kind="statement",
        heading="Statement",
        dates=(("At the end of", pen.day(statement.day)),),
        about=about,
        to="For",
        big_words="You owe" if owes else "In your favor" if statement.balance else "Settled",
        big=pen.money(abs(statement.balance)),
        rows=(Sum("Invoices still ask", pen.amount(statement.owed)), Sum("Deposits held", pen.amount(-statement.held))),
        table=PaperTable("Entries", heads, 4, (*rows, total)),
        said=(),
        closing=(),
        code=None,
    )


def _or_blank(amount: Decimal, pen: Pen) -> str:
    return pen.amount(amount) if amount else ""
