"""The cash book as it is looked at: a period, a kind, and words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Q, QuerySet

from shop.models import LedgerEntry
from shop.selectors.cash import AccountBalance, CashRow, account_balances, book_rows, deposits_after
from shop.selectors.paging import Paged, page_bounds

SEARCHED = ("receipt", "document", "reference", "build__number", "customer__name", "number")


@dataclass(frozen=True, kw_only=True)
class CashFilter:
    """A period, both days included; a kind of entry; words in numbers, build, customer or reference; a page."""

    first: date
    last: date
    kind: str = ""
    text: str = ""
    page: int = 1


@dataclass(frozen=True, kw_only=True)
class CashFound:
    """The entries of a period that fit, a page of them; its balances stay those of all of them.

    `rows` a row a posting, so that there may be more of them than `found.count` entries.
    """

    first: date
    last: date
    rows: tuple[CashRow, ...]
    found: Paged[CashRow]
    balances: tuple[AccountBalance, ...]
    deposits_held: Decimal


def cash_found(filters: CashFilter) -> CashFound:
    """The period's book with only the entries that fit."""
    entries = _fitting(filters)
    count = entries.count()
    if count == LedgerEntry.objects.count():
        entries = LedgerEntry.objects.all()  # nothing is held back: the newest are read off their numbers
    page, pages, shown = page_bounds(count, filters.page)
    rows = book_rows(entries.order_by("-number")[shown])
    balances = account_balances(filters.first, filters.last)
    return CashFound(
        first=filters.first,
        last=filters.last,
        rows=rows,
        found=Paged(rows=rows, count=count, page=page, pages=pages),
        balances=balances,
        deposits_held=deposits_after(balances),
    )


def _fitting(filters: CashFilter) -> QuerySet[LedgerEntry]:
    entries = LedgerEntry.objects.filter(day__gte=filters.first, day__lte=filters.last)
    if filters.kind:
        entries = entries.filter(kind=filters.kind)
    for word in filters.text.split():
        said = Q()
        for name in SEARCHED:
            said |= Q(**{f"{name}__icontains": word})
        entries = entries.filter(said)
    return entries
