"""What the papers of money have in common: whose they are, one figure that counts, a table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Generic, TypeVar

from shop.documents.columns import Columns
from shop.documents.price import Sum
from shop.documents.quote import Head, head_of
from shop.documents.scan import ScanCode
from shop.selectors.document_facts import Addressee, Letterhead

CLOSING_LINE = 60  # characters a line in two columns (counted on a page)
Facts = TypeVar("Facts")
Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Issued(Generic[Facts]):
    """An entry's paper: its number and facts, when it was entered, the customer's link, how it was paid."""

    number: str
    facts: Facts
    entered_at: datetime
    token: str
    method: str = ""
    reference: str = ""


@dataclass(frozen=True)
class PaperRow:
    """One row of a table: texts, then figures."""

    texts: tuple[str, ...]
    figures: tuple[str, ...]
    strong: bool = False


@dataclass(frozen=True)
class PaperTable:
    """`heads` of the columns; the first `texts` of them are words, the rest figures."""

    title: str
    heads: tuple[str, ...]
    texts: int
    rows: tuple[PaperRow, ...]

    @property
    def text_heads(self) -> tuple[str, ...]:
        return self.heads[: self.texts]

    @property
    def figure_heads(self) -> tuple[str, ...]:
        return self.heads[self.texts :]


@dataclass(frozen=True)
class MoneyDocument:
    """A credit note, a refund or a statement: one figure that counts, sums beside it, a table."""

    head: Head
    kind: str
    heading: str
    dates: Pairs
    about: Pairs
    to: str
    big_words: str
    big: str
    rows: tuple[Sum, ...]
    table: PaperTable | None
    said: tuple[str, ...]
    closing: Columns
    code: ScanCode | None


def paper_head(letterhead: Letterhead, addressee: Addressee, title: str, issued: Issued[Facts], build: str) -> Head:
    return head_of(
        letterhead,
        addressee,
        title=f"{title}, {letterhead.name}",
        ref=f"{issued.number}, build {build}",
        made_at=issued.entered_at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
    )
