"""What an import would do, worked out against the tables and written nowhere."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import models

from quoting.parts import KINDS
from shop.importing.columns import all_columns
from shop.importing.files import read_table
from shop.importing.problems import RowProblem
from shop.importing.sheets import fingerprint_of
from shop.importing.wanted import KEPT_AS, Wanted, read_wanted
from shop.models import Component, Offer, Supplier

ADDED, CHANGED, UNCHANGED = "added", "changed", "unchanged"
LABELS = {KEPT_AS.get(column.name, column.name): (column.label, column.unit) for column in all_columns()}
COLUMN_OF = {kept: name for name, kept in KEPT_AS.items()}
EMPTY = "empty"


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One value that changes, both ends as text."""

    column: str
    label: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.label}: {self.before} to {self.after}"


@dataclass(frozen=True, kw_only=True)
class RowPlan:
    """What becomes of one row. `component` and `offer` are filled in and not saved; `offer` None: nothing said of one.

    `takes_preference`: another offer was preferred until now.
    """

    row: int
    state: str
    component: Component
    offer: Offer | None = None
    takes_preference: bool = False
    differences: tuple[Difference, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ImportPlan:
    """A file looked over. `fingerprint` changes when the file or what it would do does."""

    filename: str
    rows: tuple[RowPlan, ...]
    problems: tuple[RowProblem, ...]
    fingerprint: str

    def count(self, state: str) -> int:
        return sum(row.state == state for row in self.rows)

    @property
    def added(self) -> int:
        return self.count(ADDED)

    @property
    def changed(self) -> int:
        return self.count(CHANGED)

    @property
    def unchanged(self) -> int:
        return self.count(UNCHANGED)

    @property
    def added_rows(self) -> tuple[RowPlan, ...]:
        return tuple(row for row in self.rows if row.state == ADDED)

    @property
    def changed_rows(self) -> tuple[RowPlan, ...]:
        return tuple(row for row in self.rows if row.state == CHANGED)

    @property
    def rows_wrong(self) -> int:
        return len({problem.row for problem in self.problems if problem.row > 1})

    @property
    def may_apply(self) -> bool:
        return not self.problems and bool(self.added or self.changed)


def plan_import(content: bytes, filename: str, day: date) -> ImportPlan:
    """Look a file over. `day` stands for an empty price date. Raises FileError for a file that can't be read."""
    suppliers = {supplier.code: supplier for supplier in Supplier.objects.all()}
    table = read_table(content, filename)
    codes = [row.cells.get("code", "") for row in table.rows]
    known = {row.code: row for row in Component.objects.filter(code__in=codes).prefetch_related("offers__supplier")}
    reading = read_wanted(table, suppliers, {code: row.kind for code, row in known.items()})
    problems = list(reading.problems)
    rows = []
    for wanted in reading.wanted:
        planned, wrong = _plan_row(wanted, known.get(wanted.code), suppliers, day)
        problems.extend(wrong)
        rows.append(planned)
    problems.sort(key=lambda problem: problem.row)
    said = [f"{row.row} {row.state} {'; '.join(map(str, row.differences))}" for row in rows]
    seal = fingerprint_of(content, *said, *problems)
    return ImportPlan(filename=filename, rows=tuple(rows), problems=tuple(problems), fingerprint=seal)


def _plan_row(
    wanted: Wanted, known: Component | None, suppliers: Mapping[str, Supplier], day: date
) -> tuple[RowPlan, list[RowProblem]]:
    component = known or Component(code=wanted.code, kind=wanted.kind)
    if component.kind != wanted.kind:
        is_now = KINDS[component.kind].label.lower()
        problem = RowProblem(
            row=wanted.row,
            column="kind",
            problem=f"{wanted.code} is in the catalogue as {is_now}, and a component stays what it is.",
            remedy="Use another code.",
        )
        return RowPlan(row=wanted.row, state=UNCHANGED, component=component), [problem]
    differences = _changed(component, wanted.own) + _spec_changed(component, wanted.spec)
    offer, takes, offer_differences = _plan_offer(component, wanted, suppliers, day)
    differs = CHANGED if differences or offer_differences else UNCHANGED
    row = RowPlan(
        row=wanted.row,
        state=ADDED if known is None else differs,
        component=component,
        offer=offer,
        takes_preference=takes,
        differences=(*differences, *offer_differences) if known else (),
    )
    wrong = _wrong(component, wanted.row, ("offer",), {each.column for each in differences})
    return row, wrong + (_wrong(offer, wanted.row, ("component",)) if offer else [])


def _plan_offer(
    component: Component, wanted: Wanted, suppliers: Mapping[str, Supplier], day: date
) -> tuple[Offer | None, bool, list[Difference]]:
    """The offer as it will stand, whether another one loses its preference, and what differs."""
    if not wanted.supplier:
        return None, False, []
    others = list(component.offers.all()) if component.pk else []
    old = next((offer for offer in others if offer.supplier.code == wanted.supplier), None)
    offer = old or Offer(supplier=suppliers[wanted.supplier], priced_on=day, preferred=False)
    rival = next((other for other in others if other.preferred and other is not offer), None)
    values = dict(wanted.offer)
    if values.get("priced_on") is None:
        moved = old is not None and values.get("unit_cost") not in (None, old.unit_cost)
        values["priced_on"] = day if moved else offer.priced_on
    preferred = values.pop("preferred", None)
    values["preferred"] = offer.preferred or rival is None if preferred is None else preferred
    differences = _changed(offer, values)
    if old is None and component.pk:
        differences.insert(0, Difference(column="supplier", label="Supplier", before="none", after=wanted.supplier))
    return offer, bool(rival and offer.preferred), differences


def _changed(row: models.Model, values: Mapping[str, object]) -> list[Difference]:
    """Set the values on an unsaved row; what was different. Empty cells take the column's default."""
    found = []
    for name, value in values.items():
        column = row._meta.get_field(name)
        if value is None and isinstance(column, models.Field) and not column.null:
            value = column.get_default()
        before = getattr(row, name)
        setattr(row, name, value)
        if row.pk and before != value:
            found.append(_difference(name, before, value))
    return found


def _spec_changed(component: Component, values: Mapping[str, object]) -> list[Difference]:
    before = dict(component.spec)
    component.spec = {name: value for name, value in {**before, **values}.items() if value is not None and value != []}
    return [
        _difference(name, before.get(name), component.spec.get(name))
        for name in values
        if component.pk and before.get(name) != component.spec.get(name)
    ]


def _difference(name: str, before: object, after: object) -> Difference:
    label, unit = LABELS[name]
    column = COLUMN_OF.get(name, name)
    per_cent = name in COLUMN_OF
    return Difference(
        column=column, label=label, before=_text(before, unit, per_cent), after=_text(after, unit, per_cent)
    )


def _text(value: object, unit: str, per_cent: bool) -> str:
    if value is None or value in ("", []):
        return EMPTY
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        written = f"{(value * 100 if per_cent else value).normalize():f}"
    elif isinstance(value, float):
        written = f"{value:g}"
    else:
        written = ", ".join(value) if isinstance(value, list) else str(value)
    return f"{written} {unit}".strip()


def _wrong(
    row: models.Model, number: int, left_out: tuple[str, ...], differs: Collection[str] = ()
) -> list[RowProblem]:
    """What the row's own checks say, without asking the tables again."""
    try:
        row.full_clean(exclude=[*left_out, "supplier"], validate_unique=False, validate_constraints=False)
        if isinstance(row, Component) and "needs_serial" in differs:
            row.clean_numbers()
    except ValidationError as error:
        return [
            RowProblem(
                row=number,
                column=COLUMN_OF.get(name, name),
                problem=" ".join(texts),
                remedy=REMEDIES.get(name, "Correct it."),
            )
            for name, texts in error.message_dict.items()
        ]
    return []


REMEDIES = {
    "code": "Write at most 40 characters.",
    "name": "Write at most 160 characters.",
    "unit_cost": "Write what the supplier asks per unit.",
    "lead_days": "Write them in order, or leave some empty.",
}
