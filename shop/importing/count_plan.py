"""What a stock count would do, worked out against the books and written nowhere.

Numbered units: numbers the books have on the shelf and the count has not are missing; new numbers are first given to
units that had none, the rest were found. So moves carry units, and a number given to a unit moves nothing.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal

from django.db.models import Sum

from shop.importing.count_rows import BOOKS, SERIALS, CountRow, read_counts
from shop.importing.files import read_table
from shop.importing.problems import RowProblem
from shop.importing.sheets import Change, fingerprint_of, problem_at, said
from shop.models import Component, ImportFile, ImportSubject, StockMove, StockUnit, UnitPlace
from shop.selectors.balances import stock_balances

NONE = Decimal(0)
MOST_NAMED = 2_000  # components whose sums are asked one by one; above that all sums are read (our own choice)


@dataclass(frozen=True, kw_only=True)
class Books:
    """What the books say of the components of a file."""

    on_hand: Mapping[int, Decimal]
    batches: Mapping[tuple[int, str], tuple[str, Decimal]]
    units: Mapping[int, tuple[StockUnit, ...]]


@dataclass(frozen=True, kw_only=True)
class PartCount:
    """One row worked out. `less` and `more` units that go and come by a move each; `named` numbers given in place.

    `missing` the units that go, as far as they have numbers; `found` numbers of those that come.
    """

    row: CountRow
    before: Decimal
    less: Decimal = NONE
    more: Decimal = NONE
    batch: str = ""
    missing: tuple[StockUnit, ...] = ()
    found: tuple[str, ...] = ()
    named: tuple[str, ...] = ()
    moves_shelf: bool = False

    @property
    def differs(self) -> bool:
        return bool(self.less or self.more or self.named)


@dataclass(frozen=True, kw_only=True)
class CountPlan:
    """A count looked over. `fingerprint` changes when the file or what it would do does.

    `applied_at` when this very file was applied before.
    """

    counts: tuple[PartCount, ...]
    skipped: int
    problems: tuple[RowProblem, ...]
    fingerprint: str
    applied_at: datetime | None = None
    changes: tuple[Change, ...] = field(default=())

    @property
    def summary(self) -> tuple[tuple[str, int], ...]:
        counted = [each for each in self.counts if each.row.counted is not None]
        return (
            ("Counted otherwise than the books", sum(each.differs for each in self.counts)),
            ("On another shelf", sum(each.moves_shelf for each in self.counts)),
            ("As the books say", sum(not each.differs for each in counted)),
            ("Not counted", self.skipped),
        )

    @property
    def act(self) -> str:
        rows = len({change.row for change in self.changes})
        return f"Apply {rows} row{'' if rows == 1 else 's'}"

    @property
    def refused(self) -> str:
        """Why what differs may not be applied."""
        if not self.applied_at or not self.changes:
            return ""
        return (
            "This very file was applied before, and stock has moved since: applied again it would undo that. Count "
            "afresh; when the figures are the same again, write the day under reason."
        )

    @property
    def may_apply(self) -> bool:
        return bool(self.changes) and not self.problems and not self.refused


def plan_counts(content: bytes, filename: str) -> CountPlan:
    """Look a count over. Raises FileError for a file that can't be read. A fixed number of queries."""
    rows, problems = read_counts(read_table(content, filename))
    books = _books({row.component.pk for row in rows})
    counts = []
    for row in rows:
        worked, wrong = _worked_out(row, books)
        problems += wrong
        counts.append(worked)
    problems.sort(key=lambda problem: problem.row)
    changes = tuple(change for count in counts for change in _changes(count))
    done = ImportFile.objects.filter(
        subject=ImportSubject.COUNTS, sha256=hashlib.sha256(content).hexdigest(), applied_at__isnull=False
    )
    return CountPlan(
        counts=tuple(counts),
        skipped=sum(row.counted is None for row in rows),
        problems=tuple(problems),
        fingerprint=fingerprint_of(content, *changes, *problems),
        applied_at=done.values_list("applied_at", flat=True).first(),
        changes=changes,
    )


def _books(ids: Collection[int]) -> Books:
    few = list(ids) if len(ids) <= MOST_NAMED else None
    moves, units = StockMove.objects.order_by(), StockUnit.objects.select_related("need__build").order_by("pk")
    if few is not None:
        moves, units = moves.filter(component__in=few), units.filter(component__in=few)
    found: dict[int, tuple[StockUnit, ...]] = {}
    for unit in units:
        found[unit.component_id] = (*found.get(unit.component_id, ()), unit)
    batched = moves.exclude(batch="").values_list("component_id", "batch").annotate(there=Sum("on_hand"))
    return Books(
        on_hand={pk: balance.on_hand for pk, balance in stock_balances(few).items()},
        batches={(pk, batch.upper()): (batch, there) for pk, batch, there in batched},
        units=found,
    )


def _worked_out(row: CountRow, books: Books) -> tuple[PartCount, list[RowProblem]]:
    component = row.component
    moves_shelf = bool(row.shelf) and row.shelf != component.shelf
    batch, before = _before(row, books)
    if row.counted is None:
        return PartCount(row=row, before=before, moves_shelf=moves_shelf), []
    if row.books is not None and row.books != before and row.counted != before:
        moved = f"The books said {said(row.books)} when the sheet was written and say {said(before)} now."
        remedy = "Count it again, and empty this cell or write what they say now."
        return PartCount(row=row, before=before), [problem_at(row.row, BOOKS, moved, remedy)]
    if component.numbered:
        return _numbered(row, before, books.units.get(component.pk, ()), moves_shelf)
    change = row.counted - before
    made = PartCount(
        row=row, before=before, less=max(-change, NONE), more=max(change, NONE), batch=batch, moves_shelf=moves_shelf
    )
    return made, []


def _before(row: CountRow, books: Books) -> tuple[str, Decimal]:
    """The batch as the books spell it, and what they say lies there of it."""
    pk = row.component.pk
    if row.batch:
        return books.batches.get((pk, row.batch.upper()), (row.batch, NONE))
    there = books.on_hand.get(pk, NONE)
    if row.component.batched:  # what lies there of no batch
        there -= sum((units for (owner, _), (_, units) in books.batches.items() if owner == pk), NONE)
    return "", there


def _numbered(
    row: CountRow, before: Decimal, units: Iterable[StockUnit], moves_shelf: bool
) -> tuple[PartCount, list[RowProblem]]:
    counted = row.counted or NONE
    there = {unit.serial.upper(): unit for unit in units if unit.place == UnitPlace.SHELF}
    away = {unit.serial.upper(): unit for unit in units if unit.place == UnitPlace.BUILD}
    if row.serials is None:
        return _by_number_alone(row, before, there, moves_shelf)
    built_in = [away[serial.upper()] for serial in row.serials if serial.upper() in away]
    if built_in:
        build = built_in[0].need.build if built_in[0].need else "a build"
        problem = problem_at(row.row, SERIALS, f"{built_in[0].serial} is in {build}.", "Check the number.")
        return PartCount(row=row, before=before), [problem]
    named = {serial.upper() for serial in row.serials}
    missing = tuple(unit for serial, unit in there.items() if serial not in named)
    new = [serial for serial in row.serials if serial.upper() not in there]
    bare_before, bare_now = int(before) - len(there), int(counted) - len(row.serials)
    given = min(len(new), max(bare_before - bare_now, 0))
    bare_less = max(bare_before - bare_now - given, 0)
    made = PartCount(
        row=row,
        before=before,
        less=Decimal(len(missing) + bare_less),
        more=Decimal(len(new) - given + max(bare_now - bare_before, 0)),
        missing=missing,
        named=tuple(new[:given]),
        found=tuple(new[given:]),
        moves_shelf=moves_shelf,
    )
    return made, []


def _by_number_alone(
    row: CountRow, before: Decimal, there: Mapping[str, StockUnit], moves_shelf: bool
) -> tuple[PartCount, list[RowProblem]]:
    """Counted without a look at the numbers: fine as long as it is clear which units are gone."""
    change = (row.counted or NONE) - before
    missing: tuple[StockUnit, ...] = ()
    if before + change < len(there):
        if row.counted:
            serials = ", ".join(unit.serial for unit in there.values())
            problem = problem_at(row.row, SERIALS, f"The books have {serials} there.", "Write those that really are.")
            return PartCount(row=row, before=before), [problem]
        missing = tuple(there.values())
    made = PartCount(
        row=row,
        before=before,
        less=max(-change, NONE),
        more=max(change, NONE),
        missing=missing,
        moves_shelf=moves_shelf,
    )
    return made, []


def _changes(count: PartCount) -> Iterable[Change]:
    row, component = count.row, count.row.component

    def change(label: str, before: str, after: str) -> Change:
        return Change(row=row.row, name=component.name, code=component.code, label=label, before=before, after=after)

    if row.counted is not None and row.counted != count.before:
        label = f"Batch {count.batch}" if count.batch else "On the shelf"
        yield change(label, said(count.before), said(row.counted))
    if count.missing:
        yield change("Numbers missing", ", ".join(unit.serial for unit in count.missing), "missing")
    if count.found:
        yield change("Numbers found", "not on the shelf", ", ".join(count.found))
    if count.named:
        yield change("Numbers of units that had none", "none", ", ".join(count.named))
    if count.moves_shelf:
        yield change("Shelf place", component.shelf or "none", row.shelf)


def touched(plan: CountPlan) -> list[Component]:
    """Components whose stock the plan changes."""
    return [count.row.component for count in plan.counts if count.less or count.more]
