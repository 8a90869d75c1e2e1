"""The catalogue, through the same import a shop's own file goes through, and what is counted on the shelf."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from shop.demo.files import FOLDER, rows
from shop.models import Component, MoveKind
from shop.services.catalogue import component_import
from shop.services.line_lock import line_lock
from shop.services.stock import move_write

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
            move_write(
                component=components[row["code"]],
                kind=MoveKind.COUNTED,
                on_hand=Decimal(row["quantity"]),
                reason="Opening count",
                person=person,
            )
