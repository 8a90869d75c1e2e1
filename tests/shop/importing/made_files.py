"""Small tables of components as bytes, for tests of the import."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from openpyxl import Workbook

from shop.models import Component, Offer, Supplier

HEADING = "code,kind,name,list_price,supplier,unit_cost,priced_on,lead_days,rating_a,dc_v"
ROW = "FUS-9,fuse,Main fuse 225 A,28.50,north-yard,14.20,2026-02-01,12,225,125 V"
DAY = date(2026, 3, 2)


def csv_file(*lines: str) -> bytes:
    return "\n".join(lines).encode()


def xlsx_file(rows: Sequence[Sequence[Any]], formats: dict[str, str] | None = None) -> bytes:
    """A workbook with one sheet; `formats` number formats by cell, such as {"B2": "0%"}."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(list(row))
    for cell, number_format in (formats or {}).items():
        sheet[cell].number_format = number_format
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def make_fuse(supplier: Supplier, **changed: Any) -> Component:
    """The fuse of ROW as it stands in the catalogue already, with its offer."""
    values: dict[str, Any] = {
        "name": "Main fuse 225 A",
        "list_price": Decimal("28.50"),
        "spec": {"rating_a": 225.0, "dc_v": 125.0},
        **changed,
    }
    component = Component.objects.create(code="FUS-9", kind="fuse", **values)
    Offer.objects.create(
        component=component,
        supplier=supplier,
        unit_cost=Decimal("14.20"),
        priced_on=date(2026, 2, 1),
        lead_days=12,
    )
    return component
