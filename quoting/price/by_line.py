"""A price sheet taken apart: what each line comes to once the discount and the tax are spread over the lines.

For crediting single lines of an invoice: whichever are credited, and in whatever order, all of them add up to the
invoice and to each authority's tax.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from quoting.price.lines import tax_bases
from quoting.price.money import round_money, split
from quoting.price.sheet import footing_of
from quoting.price.tax import exact_taxes
from quoting.request import QuoteRequest
from quoting.result import PriceSheet


@dataclass(frozen=True, kw_only=True)
class LineShare:
    """One line of a sheet, by its index: `net` and `tax` by authority in the sheet's order [currency].

    `net` is without tax and after the line's share of the discount; a discount has no share of its own.
    """

    line: int
    net: Decimal
    taxes: tuple[Decimal, ...]

    @property
    def total(self) -> Decimal:
        """What the customer pays for it [currency]."""
        return self.net + sum(self.taxes, Decimal(0))


def line_shares(request: QuoteRequest, sheet: PriceSheet) -> tuple[LineShare, ...]:
    """Take a sheet apart by lines.

    Parameters: `request` the sheet was made from; `sheet` with its tax known. Returns: a share for each line but the
    discount, in the order of the lines; nets add up to `sheet.net`, taxes to each of `sheet.taxes` (largest remainder;
    tax of an authority that takes nothing on the lines by the rates in force goes over their amounts).
    Raises: ValueError when the sheet's tax is not known.
    """
    if sheet.tax_total is None:
        raise ValueError("the tax of this sheet is not known")
    currency = sheet.currency
    footing = footing_of(request, [line.tax_class for line in sheet.lines if line.amount and line.tax_class])
    bases = tax_bases(sheet.lines, currency)
    indexes = [index for index, line in enumerate(sheet.lines) if line.group != "discount"]
    exact = exact_taxes(bases, footing.stack, footing.mode) if footing.stack else []
    amounts = {index: sum((base.amount for base in bases if base.line == index), Decimal(0)) for index in indexes}
    by_line = [
        [sum((row[at] for at, base in enumerate(bases) if base.line == index), Fraction(0)) for index in indexes]
        for row in exact
    ]
    weights = {
        (authority.name, authority.level): row
        for authority, row in zip(footing.stack.authorities if footing.stack else (), by_line, strict=True)
    }
    evenly = [Fraction(max(amounts[index], Decimal(0))) for index in indexes]
    taxes = []
    for share in sheet.taxes:
        own = weights.get((share.authority, share.level), evenly)
        taxes.append(split(share.amount, own if any(own) or not share.amount else evenly, currency))
    shares = []
    for at, index in enumerate(indexes):
        mine = tuple(row[at] for row in taxes)
        inside = sum(mine, Decimal(0)) if footing.mode == "included" else Decimal(0)
        shares.append(LineShare(line=index, net=round_money(amounts[index] - inside, currency), taxes=mine))
    return tuple(shares)
