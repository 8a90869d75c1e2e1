"""The cash book as it is looked at: a period, a kind, and words."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from shop.selectors.cash import CashBook, CashRow, cash_rows


@dataclass(frozen=True, kw_only=True)
class CashFilter:
    """A period, both days included; a kind of entry; words in number, receipt, build, customer or reference."""

    first: date
    last: date
    kind: str = ""
    text: str = ""


def cash_found(filters: CashFilter) -> CashBook:
    """The period's book with only the rows that fit; its balances stay those of all of them."""
    book = cash_rows(filters.first, filters.last)
    rows = tuple(row for row in book.rows if filters.kind in ("", row.entry.kind) and _holds(row, filters.text))
    return replace(book, rows=rows)


def _holds(row: CashRow, text: str) -> bool:
    entry = row.entry
    about = f"{entry.number} {entry.receipt or ''} {entry.build or ''} {entry.customer} {entry.reference}".casefold()
    return all(word in about for word in text.casefold().split())
