"""Tax authorities with dated rates, and the places they stack up to."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from shop.demo.clock import Clock
from shop.demo.files import toml
from shop.models import Shop, TaxAuthority, TaxPlace, TaxPlaceAuthority, TaxRate

RATES_FROM = date(2020, 1, 1)
NOT_TAXED = "none"


def load_taxes(clock: Clock) -> None:
    """Every authority and place; one of the places is the shop's own."""
    found = toml("tax.toml")
    for entry in found["authorities"]:
        authority = TaxAuthority.objects.create(name=entry["name"], level=entry["level"], code=entry["code"])
        for tax_class, rate in entry["rates"].items():
            _rate(authority, tax_class, rate)
        for change in entry.get("changes", []):
            _rate(authority, change["tax_class"], change["rate"], **_span(change, clock))
    for entry in found["places"]:
        place = TaxPlace.objects.create(code=entry["code"], name=entry["name"])
        for position, name in enumerate(entry["authorities"], start=1):
            TaxPlaceAuthority.objects.create(
                place=place, authority=TaxAuthority.objects.get(name=name), position=position
            )
        if entry.get("home"):
            Shop.objects.filter(pk=1).update(home_tax_place=place)


def _span(change: dict[str, Any], clock: Clock) -> dict[str, date]:
    return {name: clock.day(change[name]) for name in ("begin", "end") if name in change}


def _rate(
    authority: TaxAuthority, tax_class: str, rate: str, *, begin: date = RATES_FROM, end: date | None = None
) -> None:
    taxed = rate != NOT_TAXED
    row = TaxRate(
        authority=authority,
        tax_class=tax_class,
        taxed=taxed,
        rate=Decimal(rate) if taxed else Decimal(0),
        begin=begin,
        end=end,
    )
    row.full_clean(exclude=["authority"])
    row.save()
