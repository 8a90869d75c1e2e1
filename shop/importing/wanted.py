"""Rows of text to what is wanted of each component: its own values, its spec, its supplier's offer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from quoting.errors import SpecError
from quoting.parts import KINDS, SpecField, read_value, spec_fields
from shop.importing.cells import cell_value, plain_number
from shop.importing.columns import DESK, DESK_NAMES, OFFER, OFFER_NAMES, Column, all_columns, spec_columns
from shop.importing.files import Row, Table
from shop.importing.problems import CellError, RowProblem
from shop.models import TaxClass

# Columns that are written in per cent and kept as a fraction.
KEPT_AS = {"markup_percent": "markup_rate", "duty_percent": "duty_rate"}
NEEDED = ("code", "kind", "name")
Values = dict[str, object]
Refuse = Callable[[str, str, str], None]


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One row, read. Only columns the file has are in it; None empties the value. `supplier` "" for no offer."""

    row: int
    code: str
    kind: str
    own: Values = field(default_factory=dict)
    spec: Values = field(default_factory=dict)
    offer: Values = field(default_factory=dict)
    supplier: str = ""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """All rows that could be read, and what is wrong with the others."""

    wanted: tuple[Wanted, ...]
    problems: tuple[RowProblem, ...]


def read_wanted(table: Table, suppliers: Iterable[str]) -> Reading:
    """Every row of a table. `suppliers` are the codes that are known."""
    problems = [*table.problems, *_unknown_columns(table)]
    known = frozenset(suppliers)
    wanted: list[Wanted] = []
    first: dict[str, int] = {}
    for row in table.rows:
        made, wrong = _read_row(row, table.comma_decimal, known)
        code = row.cells.get("code", "")
        if code and code.casefold() in first:
            wrong.append(
                RowProblem(
                    row=row.number,
                    column="code",
                    problem=f"'{code}' stands in row {first[code.casefold()]} already.",
                    remedy="Keep one row per component.",
                )
            )
        first.setdefault(code.casefold(), row.number)
        problems.extend(wrong)
        if not wrong:
            wanted.append(made)
    return Reading(wanted=tuple(wanted), problems=tuple(sorted(problems, key=lambda problem: problem.row)))


def _unknown_columns(table: Table) -> list[RowProblem]:
    known = {column.name for column in all_columns()}
    found = []
    for name in table.columns:
        if name not in known:
            close = get_close_matches(name, known, n=1)
            remedy = f"Did you mean {close[0]}? Else remove it." if close else "Remove it; the template has every name."
            found.append(RowProblem(row=1, column=name, problem="No column is called so.", remedy=remedy))
    if absent := [name for name in NEEDED if name not in table.columns]:
        remedy = "Start from the template: its first row has every name."
        found.append(RowProblem(row=1, column=", ".join(absent), problem="The column is missing.", remedy=remedy))
    return found


def _read_row(row: Row, comma_decimal: bool, suppliers: frozenset[str]) -> tuple[Wanted, list[RowProblem]]:
    wrong: list[RowProblem] = []

    def refuse(column: str, problem: str, remedy: str) -> None:
        wrong.append(RowProblem(row=row.number, column=column, problem=problem, remedy=remedy))

    for name in NEEDED:
        if name in row.cells and not row.cells[name]:
            refuse(name, "It is empty.", "Fill it in, or remove the row.")
    kind = row.cells.get("kind", "").lower()
    if kind and kind not in KINDS:
        close = get_close_matches(kind, KINDS, n=1) or [f"one of {', '.join(KINDS)}"]
        refuse("kind", f"'{kind}' is no kind.", f"Use {close[0]}.")
    own = _values(row, DESK, comma_decimal, refuse)
    offer = _values(row, OFFER, comma_decimal, refuse)
    supplier = str(offer.pop("supplier", None) or "")
    _check_words(own, supplier, offer, suppliers, refuse)
    spec = _spec(row, kind, comma_decimal, refuse) if kind in KINDS else {}
    return (
        Wanted(
            row=row.number,
            code=row.cells.get("code", ""),
            kind=kind,
            own={KEPT_AS.get(name, name): value for name, value in own.items() if name not in ("code", "kind")},
            spec=spec,
            offer={KEPT_AS.get(name, name): value for name, value in offer.items()} if supplier else {},
            supplier=supplier,
        ),
        wrong,
    )


def _values(row: Row, columns: Iterable[Column], comma_decimal: bool, refuse: Refuse) -> Values:
    found: Values = {}
    for column in columns:
        if column.name in row.cells:
            try:
                found[column.name] = cell_value(column, row.cells[column.name], comma_decimal)
            except CellError as error:
                refuse(column.name, error.problem, error.remedy)
    return found


def _check_words(own: Values, supplier: str, offer: Values, suppliers: frozenset[str], refuse: Refuse) -> None:
    tax_class = own.get("tax_class")
    if tax_class is not None and tax_class not in TaxClass.values:
        refuse("tax_class", f"'{tax_class}' is no tax class.", f"Use one of {', '.join(TaxClass.values)}.")
    if supplier and supplier not in suppliers:
        known = f"Use one of {', '.join(sorted(suppliers))}, or add" if suppliers else "Add"
        refuse("supplier", f"No supplier has the code '{supplier}'.", f"{known} the supplier first.")
    filled = [name for name, value in offer.items() if value is not None]
    if filled and not supplier:
        refuse(filled[0], "It is given without a supplier.", "Name the supplier's code in the column supplier.")


def _spec(row: Row, kind: str, comma_decimal: bool, refuse: Refuse) -> Values:
    fields = {each.name: each for each in spec_fields(KINDS[kind].part_type)}
    found: Values = {}
    for name, text in row.cells.items():
        if name in fields:
            try:
                found[name] = _spec_value(fields[name], text, comma_decimal)
            except CellError as error:
                refuse(name, error.problem, error.remedy)
            except SpecError as error:
                for problem in error.problems:
                    refuse(name, problem.problem, problem.remedy)
        elif text and name not in DESK_NAMES | OFFER_NAMES and name in SPEC_KINDS:
            owners = ", ".join(SPEC_KINDS[name])
            refuse(name, f"A {KINDS[kind].label.lower()} has no such field.", f"Empty it; it belongs to {owners}.")
    return found


def _spec_value(spec: SpecField, text: str, comma_decimal: bool) -> object:
    """As the kind keeps it: numbers in the field's unit, lists as lists. None when empty."""
    if spec.category in ("number", "whole"):
        text = plain_number(text, comma_decimal)
    value = read_value(spec, text)
    return list(value) if isinstance(value, tuple) else value


SPEC_KINDS: Mapping[str, tuple[str, ...]] = {column.name: column.kinds for column in spec_columns()}
