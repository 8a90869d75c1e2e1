"""The catalogue, through the same import a shop's own file goes through, and what is counted on the shelf."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.demo.files import FOLDER, rows
from shop.models import Component, MoveKind, StockUnit
from shop.services.catalogue import component_import
from shop.services.line_lock import line_lock
from shop.services.stock import move_write
from shop.services.units import units_come

FIRST_SERIAL = 1001
FILES = ("drive", "storage", "path", "chassis")


def load_catalogue(person: User) -> None:
    """Components and their suppliers' offers."""
    for name in FILES:
        file = FOLDER / "components" / f"{name}.csv"
        component_import(content=file.read_bytes(), filename=file.name, person=person)


def load_stock(person: User) -> None:
    """The opening count of the shelves."""
    components = {component.code: component for component in Component.objects.all()}
    with line_lock():
        for row in rows("stock.csv"):
            component, quantity = components[row["code"]], Decimal(row["quantity"])
            move = move_write(
                component=component,
                kind=MoveKind.COUNTED,
                on_hand=quantity,
                reason="Opening count",
                person=person,
            )
            units_come(component=component, serials=new_serials(component, quantity), move=move)


def new_serials(component: Component, quantity: Decimal) -> tuple[str, ...]:
    """Invented numbers for units that carry one."""
    if not component.numbered:
        return ()
    first = StockUnit.objects.filter(component=component).count() + FIRST_SERIAL
    return tuple(f"{component.code}-{first + number}" for number in range(int(quantity)))
