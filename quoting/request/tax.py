"""A tax place: a stack of authorities, each with dated rates per tax class."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

TAX_CLASSES = ("parts", "fabrication_labor", "repair_labor", "vehicle", "freight", "fee")


@dataclass(frozen=True, kw_only=True)
class DatedRate:
    """One authority's rate for a tax class from `begin` to `end`, both included; `end` None is open.

    `rate` as a fraction: 0.0725 is 7.25 %. `taxed` False states "not taxed". `cap` is the greatest taxable amount per
    document, `threshold` the amount above which the tax applies (to what exceeds it; with `whole` to all of it, which
    is also how a tax holiday for goods up to a price is entered), both in the currency, None for none; with `per_item`
    both hold for each item of a line instead of the document. Only where tax is added on top.
    """

    tax_class: str
    rate: Decimal
    begin: date
    end: date | None = None
    taxed: bool = True
    cap: Decimal | None = None
    threshold: Decimal | None = None
    per_item: bool = False
    whole: bool = False


@dataclass(frozen=True, kw_only=True)
class Authority:
    """A state, county, city or district that taxes here."""

    name: str
    level: str
    rates: tuple[DatedRate, ...] = ()


@dataclass(frozen=True, kw_only=True)
class TaxPlace:
    """Where the sale is sourced to. `mode` added (sales tax) or included (VAT, GST)."""

    code: str
    name: str
    mode: str = "added"
    authorities: tuple[Authority, ...] = ()
