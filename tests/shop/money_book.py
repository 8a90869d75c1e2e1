"""The cash book mirrored row by row as it grows, and what must hold of it after each step.

Entries are only ever added, so a step reads what it wrote and no more; `money_truths.end_holds` holds the whole against
the bare rows at the end of a run.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from shop.models import Build, Method, Posting
from shop.selectors.build_money import build_money

NONE = Decimal(0)
INVOICES = ("invoice", "storage")
COLUMNS = (
    "pk", "debit", "credit", "amount", "entry_id", "entry__number", "entry__kind", "entry__build_id",
    "entry__concerns_id", "entry__reverses_id", "entry__taxed_ahead", "entry__receipt", "entry__document",
)  # fmt: skip


@dataclass
class Entry:
    """An entry as it stands in the book."""

    pk: int
    number: int
    kind: str
    build: int
    concerns: int | None
    reverses: int | None
    postings: list[tuple[str, str, Decimal]] = field(default_factory=list)

    @property
    def amount(self) -> Decimal:
        return sum((amount for debit, credit, amount in self.postings if "tax_ahead" not in (debit, credit)), NONE)

    @property
    def by_check(self) -> bool:
        return self.kind in ("deposit", "payment") and any(debit == "checks" for debit, _, _ in self.postings)


@dataclass
class BuildRow:
    """Of a build what the acts are chosen by."""

    pk: int
    state: str
    place: int | None
    told: bool


class Book:
    """Sums of what has been read so far; `gone` the entries that a later one undid or said to have cleared."""

    def __init__(self) -> None:
        self.entries: dict[int, Entry] = {}
        self.builds: list[BuildRow] = []
        self.accounts: dict[str, Decimal] = defaultdict(Decimal)
        self.held: dict[int, Decimal] = defaultdict(Decimal)
        self.owed: dict[int, Decimal] = defaultdict(Decimal)
        self.ahead: dict[int, Decimal] = defaultdict(Decimal)  # tax charged at payment, and on how much
        self.taxed: dict[int, Decimal] = defaultdict(Decimal)
        self.counts: dict[str, int] = defaultdict(int)
        self.gone: set[int] = set()
        self.cleared: set[int] = set()
        self.last_posting = 0

    def of(self, *kinds: str) -> list[Entry]:
        return [entry for entry in self.entries.values() if entry.kind in kinds]

    def in_state(self, *states: str) -> list[BuildRow]:
        return [build for build in self.builds if build.state in states]

    def read(self) -> list[Entry]:
        """Take in what was written since; the new entries in the order of the book."""
        found = Build.objects.order_by("pk").values_list("pk", "state", "place", "told_ready_on")
        self.builds = [BuildRow(pk, state, place, told is not None) for pk, state, place, told in found]
        new = []
        for row in Posting.objects.filter(pk__gt=self.last_posting).order_by("pk").values_list(*COLUMNS):
            self.last_posting, debit, credit, amount, pk, number, kind, build, concerns, reverses, taxed, *numbers = row
            entry = self.entries.get(pk)
            if entry is None:
                entry = self.entries[pk] = Entry(pk, number, kind, build, concerns, reverses)
                new.append(entry)
                self.taxed[build] += taxed
                self._count(entry, numbers)
            assert entry is new[-1], "nothing is added to an entry once a later one stands"
            assert amount > 0, "each posting moves something"
            assert debit != credit, "each posting balances"
            entry.postings.append((debit, credit, amount))
            self._move(entry, debit, amount)
            self._move(entry, credit, -amount)
        return new

    def _count(self, entry: Entry, numbers: Collection[str | None]) -> None:
        """Entries, receipts, invoices and credit notes count from 1 without a gap, in the order of the book."""
        assert entry.number == len(self.entries), "an entry moves something, and has the next number"
        for number in filter(None, numbers):
            prefix, _, count = number.partition("-")
            self.counts[prefix] += 1
            assert int(count) == self.counts[prefix], number
        if entry.reverses is not None:
            self.gone.add(entry.reverses)
            self.cleared.discard(self.entries[entry.reverses].concerns or 0)
        elif entry.kind == "cleared" and entry.concerns is not None:
            self.cleared.add(entry.concerns)

    def _move(self, entry: Entry, account: str, amount: Decimal) -> None:
        self.accounts[account] += amount
        if account == "deposits":
            self.held[entry.build] -= amount
        elif account == "tax_ahead":
            self.ahead[entry.build] += amount
            assert self.ahead[entry.build] >= 0, "tax charged ahead of a build never goes below zero"
        elif account == "receivable":
            invoice = entry.pk if entry.kind in INVOICES else entry.concerns
            assert invoice is not None
            self.owed[invoice] += amount


def step_holds(book: Book, new: Collection[Entry], drawer: Mapping[str, Decimal]) -> None:
    """After every step, with the entries it wrote. `drawer` what was put into each account of money, less what was
    taken out.
    """
    places = sorted(build.place for build in book.builds if build.place is not None)
    assert places == list(range(1, len(places) + 1))
    money = {name: book.accounts[name] for name in Method.values if book.accounts[name]}
    assert money == drawer, "the drawer holds what was put in, less what was taken out"
    if not new:
        return
    assert all(amount >= 0 for amount in book.held.values()), "deposits held for a build never go below zero"
    assert all(amount >= 0 for amount in book.owed.values()), "no invoice is paid more than it asks"
    for pk, amount in book.taxed.items():
        assert 0 <= amount <= book.held[pk], "tax is charged ahead on what is held, on nothing else"
        assert amount or not book.ahead[pk], "and it goes with what it was charged on"
    owing: dict[int, Decimal] = defaultdict(Decimal)
    for invoice, amount in book.owed.items():
        owing[book.entries[invoice].build] += amount
    assert not any(book.held[build] for build, amount in owing.items() if amount), "nobody owes what is held for them"
    touched: list[Any] = list(Build.objects.filter(pk__in={entry.build for entry in new}))
    for pk, shown in build_money(touched).items():
        assert shown.held == book.held[pk]
        assert not shown.invoiced or (shown.owed == owing[pk] and not book.ahead[pk]), (
            "an invoice charges the whole tax"
        )
