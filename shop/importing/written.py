"""The catalogue as a table, and empty tables to fill in. Text that a spreadsheet would compute is kept from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from tablib import Databook, Dataset

from quoting.parts import KINDS
from shop.importing.columns import AMOUNT, COUNT, DAYS, DESK_NAMES, FIGURE, OFFER_NAMES, SHARE, Column, all_columns
from shop.importing.wanted import KEPT_AS
from shop.models import Component, Offer

CSV, XLSX = "csv", "xlsx"
FORMATS = (CSV, XLSX)
RISKY = ("=", "+", "-", "@", "\t", "\r")  # OWASP, "CSV Injection": what a spreadsheet may take for a formula
TYPES = {
    CSV: "text/csv; charset=utf-8",
    XLSX: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}
NUMBERS = frozenset({AMOUNT, SHARE, COUNT, DAYS, FIGURE})
NEEDED = {"code": "needed", "kind": "needed", "name": "needed"}


def template_file(kinds: Sequence[str], form: str) -> bytes:
    """An empty table of some kinds: the heading, and in XLSX a second sheet that explains every column.

    A CSV has no second sheet, so its help is the table `explained_file` gives.
    """
    columns = all_columns(kinds)
    sheet = Dataset(headers=[column.name for column in columns], title="components")
    return _csv(sheet) if form == CSV else _xlsx(sheet, _explained(columns))


def explained_file(kinds: Sequence[str]) -> bytes:
    """What every column of some kinds means, as CSV."""
    return _csv(_explained(all_columns(kinds)))


def components_file(components: Iterable[Component], form: str) -> bytes:
    """Components with their preferred offers, as a table that can be changed and read back.

    Give them with `offers__supplier` prefetched.
    """
    rows = list(components)
    kinds = [kind for kind in KINDS if any(row.kind == kind for row in rows)]
    columns = all_columns(kinds or KINDS)
    sheet = Dataset(headers=[column.name for column in columns], title="components")
    for row in rows:
        cells = [(_cell(row, column), column) for column in columns]
        sheet.append([_figure(text, column) if form == XLSX else text for text, column in cells])
    return _csv(sheet) if form == CSV else _xlsx(sheet, _explained(columns))


def guarded(text: str) -> str:
    """Text with a leading apostrophe where a spreadsheet would compute it; read back, the apostrophe goes."""
    return f"'{text}" if text.startswith(RISKY) else text


def _explained(columns: Iterable[Column]) -> Dataset:
    sheet = Dataset(headers=["column", "label", "unit", "for", "what to write"], title="help")
    for column in columns:
        whose = ", ".join(column.kinds) if column.kinds else NEEDED.get(column.name, "all kinds")
        sheet.append([column.name, column.label, column.unit, whose, column.help])
    return sheet


def _csv(sheet: Dataset) -> bytes:
    """With a byte-order mark, so that spreadsheets read it as UTF-8."""
    text: str = sheet.export(CSV)
    return text.encode("utf-8-sig")


def _xlsx(*sheets: Dataset) -> bytes:
    content: bytes = Databook(sheets).export(XLSX, escape=True, column_width=22)
    return content


def _cell(component: Component, column: Column) -> str:
    if column.name in DESK_NAMES:
        return _text(getattr(component, KEPT_AS.get(column.name, column.name)), column)
    if column.name in OFFER_NAMES:
        offer = next((offer for offer in component.offers.all() if offer.preferred), None)
        return "" if offer is None else _offer_cell(offer, column)
    return _text(component.spec.get(column.name), column) if component.kind in column.kinds else ""


def _offer_cell(offer: Offer, column: Column) -> str:
    if column.name == "supplier":
        return guarded(offer.supplier.code)
    return _text(getattr(offer, KEPT_AS.get(column.name, column.name)), column)


def _figure(text: str, column: Column) -> str | Decimal:
    """A number as a number, so that a spreadsheet can reckon with it."""
    return Decimal(text) if text and column.sort in NUMBERS else text


def _text(value: object, column: Column) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{(value * 100 if column.name in KEPT_AS else value).normalize():f}"
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, date):
        return value.isoformat()
    return guarded(", ".join(value) if isinstance(value, list) else str(value))
