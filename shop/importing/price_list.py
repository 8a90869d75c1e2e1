"""A supplier's price list: which of its columns are ours, and what it would change of the supplier's offers.

Rows are matched by the supplier's own part number, else by our code. Parts the shop does not buy there are counted and
passed over: a price list holds more than a shop needs.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from shop.importing.cells import cell_value
from shop.importing.columns import OFFER, TEXT, Column
from shop.importing.files import Row, Table, read_table
from shop.importing.problems import CellError, RowProblem
from shop.models import Offer, Supplier

PART = Column(name="part", label="Part number", sort=TEXT, help="The supplier's own number, or our code.")
FIGURES = ("unit_cost", "lead_low_days", "lead_days", "lead_high_days", "least_quantity", "pack_quantity")
FIELDS: Mapping[str, Column] = {"part": PART, **{row.name: row for row in OFFER if row.name in FIGURES}}
NEEDED = ("part", "unit_cost")
# What suppliers often head these columns with, to begin from; a person sees and changes it.
USUAL: Mapping[str, tuple[str, ...]] = {
    "part": ("part", "part_number", "part_no", "item", "sku", "article", "supplier_code", "code", "number"),
    "unit_cost": ("unit_cost", "price", "unit_price", "net_price", "net", "cost", "each"),
    "lead_days": ("lead_days", "lead_time", "lead", "days", "delivery_days"),
    "least_quantity": ("least_quantity", "minimum", "min_qty", "moq", "minimum_order"),
    "pack_quantity": ("pack_quantity", "pack", "pack_size", "per_pack"),
}


@dataclass(frozen=True, kw_only=True)
class PriceChange:
    """One offer that changes: what was and what will be, by our field names, only what differs."""

    row: int
    offer: Offer
    before: Mapping[str, object]
    after: Mapping[str, object]


@dataclass(frozen=True, kw_only=True)
class PricePlan:
    """What a price list would do. `unknown` rows of parts the shop does not buy there."""

    columns: tuple[str, ...]
    headings: Mapping[str, str]
    changes: tuple[PriceChange, ...] = ()
    unchanged: int = 0
    unknown: int = 0
    problems: tuple[RowProblem, ...] = ()
    fingerprint: str = field(default="")

    @property
    def mapped(self) -> bool:
        return all(self.headings.get(name) for name in NEEDED)

    @property
    def may_apply(self) -> bool:
        return self.mapped and not self.problems and bool(self.changes)


def headings_for(columns: tuple[str, ...], remembered: Mapping[str, str]) -> dict[str, str]:
    """Our names to the file's headings: as remembered where it has them, else as they are usually called."""
    found: dict[str, str] = {}
    for name in FIELDS:
        old = remembered.get(name, "")
        usual = next((each for each in USUAL.get(name, ()) if each in columns), "")
        found[name] = old if old in columns else ("" if remembered else usual)
    return found


def plan_price_list(
    content: bytes, filename: str, supplier: Supplier, headings: Mapping[str, str], today: date
) -> PricePlan:
    """Look a price list over. Raises FileError for a file that can't be read at all. Three queries."""
    table = read_table(content, filename)
    chosen = {name: heading for name, heading in headings.items() if heading in table.columns and name in FIELDS}
    problems = list(table.problems)
    if any(not chosen.get(name) for name in NEEDED):
        return PricePlan(columns=table.columns, headings=chosen, problems=tuple(problems))
    offers = _offers(supplier)
    seen: dict[str, int] = {}
    changes: list[PriceChange] = []
    unchanged = unknown = 0
    for row in table.rows:
        values, wrong = _values(row, chosen, table)
        problems.extend(wrong)
        part = str(values.get("part") or "").strip()
        offer = offers.get(part.upper())
        if wrong:
            continue
        if offer is None:
            unknown += 1
            continue
        problems.extend(_twice(row, part, chosen, seen))
        new = {name: value for name, value in values.items() if name != "part" and value is not None}
        problems.extend(_order(row, offer, new, chosen))
        before = {name: getattr(offer, name) for name, value in new.items() if getattr(offer, name) != value}
        if not before:
            unchanged += 1
            continue
        after = {name: new[name] for name in before}
        changes.append(PriceChange(row=row.number, offer=offer, before=before, after=after))
    return PricePlan(
        columns=table.columns,
        headings=chosen,
        changes=tuple(changes),
        unchanged=unchanged,
        unknown=unknown,
        problems=tuple(problems),
        fingerprint=_fingerprint(changes, today),
    )


def _offers(supplier: Supplier) -> Mapping[str, Offer]:
    """By our code, and by the supplier's own number where it is entered: that one counts first."""
    rows = list(supplier.offers.select_related("component"))
    by_code = {offer.component.code.upper(): offer for offer in rows}
    return {**by_code, **{offer.supplier_code.upper(): offer for offer in rows if offer.supplier_code}}


def _values(row: Row, chosen: Mapping[str, str], table: Table) -> tuple[dict[str, object], list[RowProblem]]:
    found: dict[str, object] = {}
    problems = []
    for name, heading in chosen.items():
        try:
            found[name] = cell_value(FIELDS[name], row.cells.get(heading, ""), table.comma_decimal)
        except CellError as error:
            problems.append(_problem(row, heading, error.problem, error.remedy))
    empty = [name for name in NEEDED if name in found and found[name] is None]
    nothing = [name for name in ("least_quantity", "pack_quantity") if found.get(name) == Decimal(0)]
    problems += [_problem(row, chosen[name], "It is empty.", "Fill it in, or take the row out.") for name in empty]
    problems += [
        _problem(row, chosen[name], "0 can't be sold.", "Write more than zero, or empty it.") for name in nothing
    ]
    return found, problems


def _twice(row: Row, part: str, chosen: Mapping[str, str], seen: dict[str, int]) -> list[RowProblem]:
    first = seen.setdefault(part.upper(), row.number)
    if first == row.number:
        return []
    return [_problem(row, chosen["part"], f"{part} stands in row {first} already.", "Keep one of them.")]


def _order(row: Row, offer: Offer, new: Mapping[str, object], chosen: Mapping[str, str]) -> list[RowProblem]:
    names = ("lead_low_days", "lead_days", "lead_high_days")
    days = [new.get(name, getattr(offer, name)) for name in names]
    known = [each for each in days if isinstance(each, int)]
    if known == sorted(known):
        return []
    heading = next((chosen[name] for name in names if name in chosen), "")
    remedy = "Lead times rise from low to likely to high; name all three columns, or correct the offer."
    return [_problem(row, heading, f"{known} days do not rise.", remedy)]


def _problem(row: Row, column: str, problem: str, remedy: str) -> RowProblem:
    return RowProblem(row=row.number, column=column, problem=problem, remedy=remedy)


def _fingerprint(changes: list[PriceChange], today: date) -> str:
    """The same as long as the list would do the same."""
    said = [f"{each.offer.pk}:{sorted(each.before.items())}:{sorted(each.after.items())}" for each in changes]
    return hashlib.sha256("\n".join([today.isoformat(), *said]).encode()).hexdigest()
