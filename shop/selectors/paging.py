"""One page of a long list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

PER_PAGE = 50  # common practice, no source

Row = TypeVar("Row")


@dataclass(frozen=True, kw_only=True)
class Paged(Generic[Row]):
    """Rows of one page, how many there are in all, and which page of how many this is (from 1)."""

    rows: tuple[Row, ...]
    count: int
    page: int
    pages: int


def page_bounds(count: int, asked: int) -> tuple[int, int, slice]:
    """The page shown for the one asked for, the number of pages, and its slice; past either end gives that end."""
    pages = max(-(-count // PER_PAGE), 1)
    page = min(max(asked, 1), pages)
    return page, pages, slice((page - 1) * PER_PAGE, page * PER_PAGE)


def paged(rows: Sequence[Row], asked: int) -> Paged[Row]:
    """A page of rows that are all at hand."""
    page, pages, shown = page_bounds(len(rows), asked)
    return Paged(rows=tuple(rows[shown]), count=len(rows), page=page, pages=pages)
