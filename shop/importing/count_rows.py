"""Rows of a stock count as they are read: which component, how many, where, of which batch, with which numbers."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from shop.importing.columns import COUNT, TEXT, column
from shop.importing.files import Row, Table
from shop.importing.problems import RowProblem
from shop.importing.sheets import heading_problems, problem_at, row_values
from shop.models import Component, Offer

CODE, COUNTED, SHELF, BATCH, SERIALS, BOOKS = "code", "counted", "shelf", "batch", "serials", "books"
LONGEST = {SHELF: 40, BATCH: 60, "reason": 160}  # Component.shelf, StockMove.batch, StockMove.reason with its lead
LONGEST_SERIAL = 60  # StockUnit.serial
PARTED = re.compile(r"[\n,;\t]")


COLUMNS = (
    column(CODE, "Code", TEXT, "The component's own code."),
    column("supplier_code", "Supplier's code", TEXT, "The maker's or supplier's, read where the code is empty."),
    column("part", "Part", TEXT, "Its name, for whoever counts. Not read."),
    column(SHELF, "Shelf place", TEXT, "Where it lies. Empty: stays as it is."),
    column(COUNTED, "Counted", COUNT, "What lies there. Empty: not counted, the row is left alone. None there: 0."),
    column(BATCH, "Batch", TEXT, "Cells: one row a batch. A batch without a row is left alone."),
    column(
        SERIALS, "Serial numbers", TEXT,
        "All numbers that lie there, with commas between. Numbers the books have and the row has not are missing.",
    ),
    column("reason", "Reason", TEXT, "Why it differs, as far as it is known. Empty: the file's name."),
    column(
        BOOKS, "Books", COUNT,
        "What the books said when the sheet was written. Where they moved since, the row has to be counted again.",
    ),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class CountRow:
    """One row that can be read. `counted` None: not counted. `serials` None: nothing said of numbers."""

    row: int
    component: Component
    counted: Decimal | None
    shelf: str = ""
    batch: str = ""
    serials: tuple[str, ...] | None = None
    reason: str = ""
    books: Decimal | None = None


def read_counts(table: Table) -> tuple[list[CountRow], list[RowProblem]]:
    """Every row that can be read, and what is wrong with the others. At most two queries."""
    problems = [*table.problems, *heading_problems(table, COLUMNS, (COUNTED,))]
    if CODE not in table.columns and "supplier_code" not in table.columns:
        problems.append(problem_at(1, CODE, "The column is missing.", "Start from the template."))
    known = _by_code(table)
    by_supplier = _by_supplier_code(table)
    rows: list[CountRow] = []
    first: dict[tuple[int, str], int] = {}
    for row in table.rows:
        component, wrong = component_of(row, known, by_supplier)
        made, more = _read(row, component, table.comma_decimal)
        wrong += more
        if made is not None and not wrong:
            key = (made.component.pk, made.batch.upper())
            if key in first:
                twice = f"{made.component.code} stands in row {first[key]} already."
                wrong.append(problem_at(row.number, CODE, twice, "Keep one row, with all of it."))
            first.setdefault(key, row.number)
            rows.append(made)
        problems += wrong
    return rows, [*problems, *_two_places(rows)]


def component_of(
    row: Row, known: Mapping[str, Component], by_supplier: Mapping[str, list[Component]]
) -> tuple[Component | None, list[RowProblem]]:
    """The component a row names by its code, else by its supplier's."""
    code, theirs = row.cells.get(CODE, ""), row.cells.get("supplier_code", "")
    if code:
        if code in known:
            return known[code], []
        remedy = "Correct it, or import the component first."
        return None, [problem_at(row.number, CODE, f"No component has the code '{code}'.", remedy)]
    if not theirs:
        return None, [problem_at(row.number, CODE, "It is empty.", "Fill it in, or remove the row.")]
    found = by_supplier.get(theirs.upper(), [])
    if len(found) == 1:
        return found[0], []
    several = ", ".join(sorted(each.code for each in found))
    problem = f"'{theirs}' is {several}." if found else f"No supplier's offer has the number '{theirs}'."
    return None, [problem_at(row.number, "supplier_code", problem, "Write our own code in the column code.")]


def _by_code(table: Table) -> Mapping[str, Component]:
    codes = {row.cells.get(CODE, "") for row in table.rows}
    return {row.code: row for row in Component.objects.filter(code__in=codes).order_by()}


def _by_supplier_code(table: Table) -> Mapping[str, list[Component]]:
    if not any(row.cells.get("supplier_code") and not row.cells.get(CODE) for row in table.rows):
        return {}
    found: dict[str, list[Component]] = {}
    for offer in Offer.objects.exclude(supplier_code="").select_related("component").order_by("pk"):
        rows = found.setdefault(offer.supplier_code.upper(), [])
        if offer.component not in rows:
            rows.append(offer.component)
    return found


def _read(row: Row, component: Component | None, comma_decimal: bool) -> tuple[CountRow | None, list[RowProblem]]:
    values, wrong = row_values(row, COLUMNS, comma_decimal)
    for name, longest in LONGEST.items():
        if len(str(values.get(name) or "")) > longest:
            wrong.append(problem_at(row.number, name, f"More than {longest} characters.", "Shorten it."))
    if component is None or wrong:
        return None, wrong
    counted, books = values.get(COUNTED), values.get(BOOKS)
    serials = [part.strip() for part in PARTED.split(str(values.get(SERIALS) or "")) if part.strip()]
    made = CountRow(
        row=row.number,
        component=component,
        counted=counted if isinstance(counted, Decimal) else None,
        shelf=str(values.get(SHELF) or ""),
        batch=str(values.get(BATCH) or ""),
        serials=tuple(serials) or None,
        reason=str(values.get("reason") or ""),
        books=books if isinstance(books, Decimal) else None,
    )
    return made, [problem_at(row.number, *each) for each in _unfit(made)]


def _unfit(row: CountRow) -> Iterable[tuple[str, str, str]]:
    """What does not fit the component: column, problem, remedy."""
    name = row.component.name
    if row.counted is not None and row.component.unit == "piece" and row.counted % 1:
        yield COUNTED, f"{name} is counted in whole pieces.", "Write a whole number."
    if row.batch and not row.component.batched:
        yield BATCH, f"{name} is not kept by the batch.", "Empty it."
    if row.serials is None:
        return
    if not row.component.numbered:
        yield SERIALS, f"{name} is not kept by serial number.", "Empty it, or tick on its page that it needs one."
    upper = [serial.upper() for serial in row.serials]
    twice = next((serial for serial in row.serials if upper.count(serial.upper()) > 1), "")
    if twice:
        yield SERIALS, f"{twice} stands twice.", "Each unit has its own number."
    if any(len(serial) > LONGEST_SERIAL for serial in row.serials):
        yield SERIALS, f"A number has more than {LONGEST_SERIAL} characters.", "Put commas between numbers."
    if row.counted is None or len(row.serials) > row.counted:
        yield SERIALS, f"{len(row.serials)} numbers are more than were counted.", "Correct the count or the numbers."


def _two_places(rows: Iterable[CountRow]) -> Iterable[RowProblem]:
    """Batches of one component lie on one shelf: the component has one place."""
    first: dict[int, CountRow] = {}
    for row in rows:
        if row.shelf:
            other = first.setdefault(row.component.pk, row)
            if other.shelf != row.shelf:
                problem = f"Row {other.row} says {other.shelf}."
                yield problem_at(row.row, SHELF, problem, "A component has one place. Write the same in both rows.")
