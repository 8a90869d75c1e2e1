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
CODE, KIND, NAME = "code", "kind", "name"
NEW_NEEDS = (KIND, NAME)  # a component that is known brings them along
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


def read_wanted(table: Table, suppliers: Iterable[str], known_kinds: Mapping[str, str]) -> Reading:
    """Every row of a table. `suppliers` by code; `known_kinds` of the catalogue by component code."""
    problems = [*table.problems, *_unknown_columns(table)]
    if CODE not in table.columns:
        return Reading(wanted=(), problems=tuple(problems))
    reader = _Reader(frozenset(suppliers), known_kinds, table.comma_decimal)
    wanted: list[Wanted] = []
    first: dict[str, int] = {}
    for row in table.rows:
        made, wrong = reader.read(row)
        code = row.cells.get(CODE, "")
        if code and code.casefold() in first:
            twice = f"'{code}' stands in row {first[code.casefold()]} already."
            wrong.append(RowProblem(row=row.number, column=CODE, problem=twice, remedy="Keep one row per component."))
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
    if CODE not in table.columns:
        remedy = "Start from the template: its first row has every name."
        found.append(RowProblem(row=1, column=CODE, problem="The column is missing.", remedy=remedy))
    return found


@dataclass(frozen=True)
class _Reader:
    """What a row is read against."""

    suppliers: frozenset[str]
    known_kinds: Mapping[str, str]
    comma_decimal: bool

    def read(self, row: Row) -> tuple[Wanted, list[RowProblem]]:
        """What the row wants, and what is wrong with it."""
        wrong: list[RowProblem] = []

        def refuse(column: str, problem: str, remedy: str) -> None:
            wrong.append(RowProblem(row=row.number, column=column, problem=problem, remedy=remedy))

        code = row.cells.get(CODE, "")
        kind = row.cells.get(KIND, "").lower() or self.known_kinds.get(code, "")
        self._check_needed(row, code, refuse)
        if kind and kind not in KINDS:
            close = get_close_matches(kind, KINDS, n=1) or [f"one of {', '.join(KINDS)}"]
            refuse(KIND, f"'{kind}' is no kind.", f"Use {close[0]}.")
        own = _values(row, DESK, self.comma_decimal, refuse)
        offer = _values(row, OFFER, self.comma_decimal, refuse)
        supplier = str(offer.pop("supplier", None) or "")
        _check_words(own, supplier, offer, self.suppliers, refuse)
        spec = _spec(row, kind, self.comma_decimal, refuse) if kind in KINDS else {}
        made = Wanted(
            row=row.number,
            code=code,
            kind=kind,
            own={KEPT_AS.get(name, name): value for name, value in own.items() if name not in (CODE, KIND)},
            spec=spec,
            offer={KEPT_AS.get(name, name): value for name, value in offer.items()} if supplier else {},
            supplier=supplier,
        )
        return made, wrong

    def _check_needed(self, row: Row, code: str, refuse: Refuse) -> None:
        if not code:
            refuse(CODE, "It is empty.", "Fill it in, or remove the row.")
            return
        if code not in self.known_kinds:
            for name in NEW_NEEDS:
                if not row.cells.get(name):
                    refuse(name, f"{code} is new, and its {name} is not given.", f"Fill in the column {name}.")
        elif NAME in row.cells and not row.cells[NAME]:
            refuse(NAME, "It is empty.", "Fill it in, or leave the column out.")


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
            refuse(name, f"{KINDS[kind].label} has no such field.", f"Empty it; it belongs to {owners}.")
    return found


def _spec_value(spec: SpecField, text: str, comma_decimal: bool) -> object:
    """As the kind keeps it: numbers in the field's unit, lists as lists. None when empty."""
    if spec.category in ("number", "whole"):
        text = plain_number(text, comma_decimal)
    value = read_value(spec, text)
    return list(value) if isinstance(value, tuple) else value


SPEC_KINDS: Mapping[str, tuple[str, ...]] = {column.name: column.kinds for column in spec_columns()}
