"""The columns of the components table: what the desk keeps, what the supplier asks, and each kind's spec fields."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quoting.parts import KINDS, SpecField, spec_fields
from shop.models import TaxClass

AMOUNT, SHARE, COUNT, DAYS, DAY, YES_NO, FIGURE, TEXT = (
    "amount", "share", "count", "days", "day", "yes_no", "figure", "text",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column. `sort` says how its cells are read; `kinds` is empty for columns every component has."""

    name: str
    label: str
    sort: str
    help: str
    unit: str = ""
    kinds: tuple[str, ...] = ()


def column(name: str, label: str, sort: str, help: str, unit: str = "") -> Column:
    """A column every row may have."""
    return Column(name=name, label=label, sort=sort, help=help, unit=unit)


DESK = (
    column("code", "Code", TEXT, "The component's own code. A row with a code that is known changes that component."),
    column("kind", "Kind", TEXT, f"One of {', '.join(KINDS)}."),
    column("name", "Name", TEXT, "As it stands on quotes."),
    column("list_price", "List price", AMOUNT, "In the shop's currency. Empty: landed cost and markup."),
    column("markup_percent", "Markup", SHARE, "On landed cost, when there is no list price. Empty: 35.", "%"),
    column("tax_class", "Tax class", TEXT, f"One of {', '.join(TaxClass.values)}. Empty: parts."),
    column("shelf", "Shelf", TEXT, "Where it lies in the stores."),
    column("keep_on_shelf", "Keep on the shelf", COUNT, "Order again when free stock falls below this."),
    column("x_m", "Place behind the front axle", FIGURE, "Where it usually sits, for the axle loads.", "m"),
    column("needs_serial", "Needs a serial number", YES_NO, "yes or no. Empty: as is usual for its kind."),
    column("discontinued", "Discontinued", YES_NO, "yes when it is no longer made. Empty: no."),
    column("notes", "Notes", TEXT, "For the shop only."),
)
OFFER = (
    column("supplier", "Supplier", TEXT, "The supplier's code. Empty: the row says nothing about a supplier."),
    column("preferred", "Preferred supplier", YES_NO, "yes: this supplier's cost and lead time count from now on."),
    column("supplier_code", "Supplier's code", TEXT, "What the supplier calls it."),
    column("unit_cost", "Unit cost", AMOUNT, "In the supplier's currency."),
    column("freight_share", "Freight share", AMOUNT, "Per unit, in the shop's currency."),
    column("duty_percent", "Duty", SHARE, "On the unit cost.", "%"),
    column("priced_on", "Priced on", DAY, "The day of the price, as 2026-03-31. Empty: today, when the cost changes."),
    column("lead_low_days", "Lead time, low", DAYS, "Calendar days from order to door at best.", "days"),
    column("lead_days", "Lead time, likely", DAYS, "Calendar days from order to door.", "days"),
    column("lead_high_days", "Lead time, high", DAYS, "Calendar days from order to door at worst.", "days"),
    column("least_quantity", "Least quantity", COUNT, "The fewest the supplier sells. Empty: 1."),
    column("pack_quantity", "Pack quantity", COUNT, "Sold in multiples of this. Empty: 1."),
)
SORT_OF_SPEC = {"number": FIGURE, "whole": FIGURE, "yes_no": YES_NO}
DESK_NAMES = frozenset(column.name for column in DESK)
OFFER_NAMES = frozenset(column.name for column in OFFER)


def spec_columns(kinds: Iterable[str] = KINDS) -> tuple[Column, ...]:
    """The spec columns of some kinds, in the kinds' order; one column for fields that several share."""
    fields: dict[str, SpecField] = {}
    having: dict[str, list[str]] = {}
    for kind in kinds:
        for field in spec_fields(KINDS[kind].part_type):
            fields.setdefault(field.name, field)
            having.setdefault(field.name, []).append(kind)
    return tuple(
        Column(
            name=name,
            label=field.label,
            sort=SORT_OF_SPEC.get(field.category, TEXT),
            help=spec_help(field),
            unit=field.unit,
            kinds=tuple(having[name]),
        )
        for name, field in fields.items()
    )


def spec_help(field: SpecField) -> str:
    """What may stand in a spec field: its own help, its words, its limits."""
    words = [field.help] if field.help else []
    if field.category == "yes_no":
        words.append("yes or no.")
    if field.choices:
        several = ", several with a comma between" if field.category == "list" else ""
        words.append(f"One of {', '.join(field.choices)}{several}.")
    if field.low is not None and field.high is not None:
        words.append(f"{field.low:g} to {field.high:g}{f' {field.unit}' if field.unit else ''}.")
    return " ".join(words)


def all_columns(kinds: Iterable[str] = KINDS) -> tuple[Column, ...]:
    """Every column a table of these kinds may have, in the order it is written."""
    return (*DESK, *OFFER, *spec_columns(kinds))
