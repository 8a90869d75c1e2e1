"""What it costs. All amounts are Decimal in the request's currency, rounded to its minor unit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class PriceLine:
    """One line. `group` is parts, hours, extras, contingency or discount. Cost and margin are staff's only; None: not
    known. `tax_class` empty: spread over the classes of the lines it stands for (contingency, discount).
    """

    group: str
    code: str
    label: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    amount: Decimal
    tax_class: str
    cost: Decimal | None = None
    margin: Decimal | None = None
    margin_rate: Decimal | None = None
    priced_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class TaxShare:
    """One authority's tax. `rates` the distinct rates used, as fractions; `taxable` what they were taken on."""

    authority: str
    level: str
    rates: tuple[Decimal, ...]
    taxable: Decimal
    amount: Decimal


@dataclass(frozen=True, kw_only=True)
class PriceSheet:
    """Lines, tax by authority, total, what is due. `total` = net + tax (added) or the gross itself (included).

    `parts` + `hours` + `extras` + `contingency` + `discount` is the sum of the lines: `discount` is zero or negative.
    `due` = total − allowance; negative when the shop owes the customer.
    `tax_total` None: no tax place, or one without a needed rate, so the price is not firm; `missing` then names what is
    needed, and net and total are the sum of the lines as they stand. `contingency_in_labor` what the lines of hours
    carry of a contingency that has no line of its own: staff's only.
    """

    currency: str
    lines: tuple[PriceLine, ...]
    parts: Decimal
    hours: Decimal
    extras: Decimal
    contingency: Decimal
    discount: Decimal
    net: Decimal
    tax_mode: str
    taxes: tuple[TaxShare, ...]
    tax_total: Decimal | None
    total: Decimal
    allowance: Decimal
    allowance_label: str
    due: Decimal
    deposit: Decimal
    priced_on: date
    valid_until: date
    tax_as_of: date
    tax_place: str = ""
    quoted_h: Decimal = Decimal(0)
    cost: Decimal | None = None
    margin: Decimal | None = None
    margin_rate: Decimal | None = None
    missing: tuple[str, ...] = ()
    contingency_in_labor: Decimal | None = None
