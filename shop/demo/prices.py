"""Suppliers' newer prices, read in as a file of prices only, as an owner would."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import Any

from django.contrib.auth.models import User
from tablib import Dataset

from shop.demo.clock import Act, Clock
from shop.demo.files import toml
from shop.models import Offer
from shop.services.catalogue import component_import

ASKS = 3
COLUMNS = ("code", "supplier", "unit_cost", "priced_on")
CENT = Decimal("0.01")


def price_acts(clock: Clock, owner: User) -> list[Act]:
    """One import for each day on which prices were asked for."""
    found = toml("prices.toml")
    last = max(entry["day"] for entry in found["lists"])

    def ask(entry: dict[str, Any]) -> None:
        left_out = found["forgotten"] if entry["day"] == last else []
        content = _table(entry.get("raised", {}), left_out, clock.workday(entry["day"]).isoformat())
        component_import(content=content, filename="prices.csv", person=owner)

    return [Act(entry["day"], ASKS, partial(ask, entry)) for entry in found["lists"]]


def _table(raised: dict[str, str], left_out: list[str], day: str) -> bytes:
    sheet = Dataset(headers=list(COLUMNS))
    for offer in Offer.objects.select_related("component", "supplier").order_by("pk"):
        row = offer.component
        if row.code not in left_out:
            factor = Decimal(raised.get(offer.supplier.code, "1"))
            cost = max((offer.unit_cost * factor).quantize(CENT), offer.unit_cost)
            sheet.append([row.code, offer.supplier.code, str(cost), day])
    text: str = sheet.export("csv")
    return text.encode()
