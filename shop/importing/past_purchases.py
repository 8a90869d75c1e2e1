"""Purchases from before the shop kept its orders here: read, and what a file of them would do.

A row is one delivery. It is the same delivery again when supplier, component, both days and the reference are.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from quoting.errors import RequestError
from quoting.price import minor_digits
from shop.importing.columns import AMOUNT, COUNT, DAY, TEXT, column
from shop.importing.count_rows import component_of
from shop.importing.files import Row, read_table
from shop.importing.problems import RowProblem
from shop.importing.sheets import Change, Values, fingerprint_of, heading_problems, problem_at, row_values, said
from shop.models import Component, MoveKind, Offer, PastPurchase, StockMove, Supplier
from shop.selectors.shop import the_shop

NEEDED = ("supplier", "ordered_on", "received_on", "quantity")
KEPT = ("quantity", "unit_cost", "currency")
EARLIEST = date(1990, 1, 1)  # a day before it is a slip of the pen (our own choice)
LONGEST = 60  # PastPurchase.reference
Key = tuple[int, int, date, date, str]


COLUMNS = (
    column("supplier", "Supplier", TEXT, "The supplier's code."),
    column("code", "Code", TEXT, "The component's own code."),
    column("supplier_code", "Supplier's code", TEXT, "The maker's or supplier's, read where the code is empty."),
    column("part", "Part", TEXT, "Its name, for the eye. Not read."),
    column("ordered_on", "Ordered on", DAY, "As 2026-03-31."),
    column("received_on", "Received on", DAY, "As 2026-03-31. An order that came in parts: one row a delivery."),
    column("reference", "Reference", TEXT, "Such as the old order's number. Tells two orders of one day apart."),
    column("quantity", "Quantity", COUNT, "What came with this delivery."),
    column("unit_cost", "Unit cost", AMOUNT, "Empty: not known."),
    column("currency", "Currency", TEXT, "Three letters. Empty: the supplier's."),
)


@dataclass(frozen=True, kw_only=True)
class PurchasePlan:
    """A file of past purchases looked over. `rows` filled in and not saved, those that are new or change.

    `known` deliveries of orders that are kept here: they count already.
    """

    rows: tuple[PastPurchase, ...]
    changes: tuple[Change, ...]
    unchanged: int
    known: int
    problems: tuple[RowProblem, ...]
    fingerprint: str
    refused: str = ""

    @property
    def added(self) -> int:
        return sum(row.pk is None for row in self.rows)

    @property
    def summary(self) -> tuple[tuple[str, int], ...]:
        return (
            ("Added", self.added),
            ("Changed", len(self.rows) - self.added),
            ("Unchanged", self.unchanged),
            ("In Orders already", self.known),
        )

    @property
    def act(self) -> str:
        return f"Apply: add {self.added}, change {len(self.rows) - self.added}"

    @property
    def may_apply(self) -> bool:
        return bool(self.rows) and not self.problems


def plan_purchases(content: bytes, filename: str, today: date) -> PurchasePlan:
    """Look a file over. Raises FileError for a file that can't be read. A fixed number of queries."""
    table = read_table(content, filename)
    problems = [*table.problems, *heading_problems(table, COLUMNS, NEEDED)]
    reader = _Reader(table.rows, today, table.comma_decimal)
    rows: list[PastPurchase] = []
    changes: list[Change] = []
    first: dict[Key, int] = {}
    unchanged = known = 0
    for row in () if any(each.row == 1 for each in problems) else table.rows:
        values, key, wrong = reader.read(row, first)
        problems += wrong
        if key is None or wrong:
            continue
        if key[:4] in reader.ours:
            known += 1
            continue
        made, differs = reader.made(row.number, key, values)
        if differs:
            rows.append(made)
            changes += differs
        else:
            unchanged += 1
    problems.sort(key=lambda problem: problem.row)
    return PurchasePlan(
        rows=tuple(rows), changes=tuple(changes), unchanged=unchanged, known=known, problems=tuple(problems),
        fingerprint=fingerprint_of(content, *changes, *problems),
    )  # fmt: skip


class _Reader:
    """What rows are read against. Six queries."""

    def __init__(self, rows: Iterable[Row], today: date, comma_decimal: bool) -> None:
        self.today, self.comma_decimal = today, comma_decimal
        codes = {row.cells.get("code", "") for row in rows}
        self.components = {row.code: row for row in Component.objects.filter(code__in=codes).order_by()}
        self.suppliers = {row.code: row for row in Supplier.objects.order_by()}
        self.offers: dict[int, dict[str, list[Component]]] = {}
        for offer in Offer.objects.exclude(supplier_code="").select_related("component").order_by("pk"):
            by_code = self.offers.setdefault(offer.supplier_id, {})
            by_code.setdefault(offer.supplier_code.upper(), []).append(offer.component)
        self.past: Mapping[Key, PastPurchase] = {purchase_key(row): row for row in PastPurchase.objects.order_by()}
        self.ours = _own_deliveries()

    def read(self, row: Row, first: dict[Key, int]) -> tuple[Values, Key | None, list[RowProblem]]:
        values, wrong = row_values(row, COLUMNS, self.comma_decimal)
        seen = {problem.column for problem in wrong}
        wrong += [
            problem_at(row.number, name, "It is empty.", "Fill it in, or remove the row.")
            for name in NEEDED
            if values.get(name) is None and name not in seen
        ]
        supplier = self.suppliers.get(str(values.get("supplier") or ""))
        if values.get("supplier") and supplier is None:
            remedy = f"Use one of {', '.join(sorted(self.suppliers)) or 'none yet'}, or add the supplier first."
            wrong.append(problem_at(row.number, "supplier", f"No supplier is called {values['supplier']}.", remedy))
        by_offer = self.offers.get(supplier.pk, {}) if supplier else {}
        component, more = component_of(row, self.components, by_offer)
        wrong += [*more, *(problem_at(row.number, *each) for each in self._unfit(values))]
        if wrong or supplier is None or component is None:
            return values, None, wrong
        ordered, received = values["ordered_on"], values["received_on"]
        assert isinstance(ordered, date) and isinstance(received, date)  # noqa: S101, PT018 - for the type checker
        key = (supplier.pk, component.pk, ordered, received, str(values.get("reference") or ""))
        if key in first:
            problem = f"This delivery stands in row {first[key]} already."
            wrong.append(
                problem_at(row.number, "reference", problem, "Tell them apart by a reference, or add them up.")
            )
        first.setdefault(key, row.number)
        if values.pop("currency", None) or key not in self.past:
            values["currency"] = str(row.cells.get("currency") or supplier.currency).upper()
        values["component"] = component
        return values, key, wrong

    def _unfit(self, values: Values) -> Iterable[tuple[str, str, str]]:
        ordered, received = values.get("ordered_on"), values.get("received_on")
        for name, day in (("ordered_on", ordered), ("received_on", received)):
            if isinstance(day, date) and not EARLIEST <= day <= self.today:
                yield name, f"{day} is no day of the past.", f"Write a day from {EARLIEST} to today."
        if isinstance(ordered, date) and isinstance(received, date) and received < ordered:
            yield "received_on", f"It came on {received}, before it was ordered.", "Correct one of the two days."
        if values.get("quantity") == Decimal(0):
            yield "quantity", "0 is no delivery.", "Write what came, or remove the row."
        if len(str(values.get("reference") or "")) > LONGEST:
            yield "reference", f"More than {LONGEST} characters.", "Shorten it."
        if values.get("currency"):
            try:
                minor_digits(str(values["currency"]).upper())
            except RequestError as error:
                yield "currency", f"'{values['currency']}' is no currency.", error.problems[0].remedy

    def made(self, number: int, key: Key, values: Values) -> tuple[PastPurchase, list[Change]]:
        """The row as it will stand, and what differs. A column the file has not stays as it is."""
        old, component = self.past.get(key), values["component"]
        assert isinstance(component, Component)  # noqa: S101 - for the type checker
        supplier_id, component_id, ordered, received, reference = key
        row = old or PastPurchase(
            supplier_id=supplier_id, component_id=component_id, ordered_on=ordered, received_on=received,
            reference=reference,
        )  # fmt: skip
        found = []
        for name in KEPT:
            if name in values and (old is None or getattr(row, name) != values[name]):
                before = getattr(row, name) if old else None
                setattr(row, name, values[name])
                if old is not None:
                    label = {"quantity": "Quantity", "unit_cost": "Unit cost", "currency": "Currency"}[name]
                    found.append(_change(number, component, label, _shown(before), _shown(values[name])))
        if old is None:
            days = f"{said(row.quantity)}, ordered {ordered}, came {received}: {(received - ordered).days} days"
            found.append(_change(number, component, "New", "not kept", days))
        return row, found


def purchase_key(row: PastPurchase) -> Key:
    return row.supplier_id, row.component_id, row.ordered_on, row.received_on, row.reference


def _own_deliveries() -> frozenset[tuple[int, int, date, date]]:
    """Deliveries of orders kept here: supplier, component, both days."""
    zone = ZoneInfo(the_shop().zone)
    moves = StockMove.objects.order_by().filter(kind=MoveKind.RECEIVED, order_line__order__ordered_on__isnull=False)
    names = ("order_line__order__supplier_id", "component_id", "order_line__order__ordered_on", "at")
    return frozenset(
        (supplier, component, ordered, at.astimezone(zone).date())
        for supplier, component, ordered, at in moves.values_list(*names)
    )


def _change(row: int, component: Component, label: str, before: str, after: str) -> Change:
    return Change(row=row, name=component.name, code=component.code, label=label, before=before, after=after)


def _shown(value: object) -> str:
    if value is None:
        return "not known"
    return said(value) if isinstance(value, Decimal) else str(value)
