"""Cost and margin, for staff only: per line and in total, None as soon as something needed is not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from quoting.price.lines import Base, Divisor, known_total
from quoting.price.money import round_money, split
from quoting.result import PriceLine, PriceSheet


@dataclass(frozen=True)
class Margins:
    """Lines with their margins, and the totals; None: not known."""

    lines: tuple[PriceLine, ...]
    cost: Decimal | None
    margin: Decimal | None
    rate: Decimal | None


def margins_of(lines: Sequence[PriceLine], nets: Sequence[Decimal] | None, currency: str) -> Margins:
    """Fill in margin = net − cost and margin rate = margin/net.

    Parameters: `lines` with costs where known; `nets` each line's amount without tax [currency], None when the tax in
    the prices is not known; `currency` ISO 4217 code. Returns: margins; the total is known only when every
    line's cost is.
    """
    zero = round_money(Decimal(0), currency)
    cost = known_total([zero, *(line.cost for line in lines)])
    if nets is None:
        return Margins(tuple(lines), cost, None, None)
    filled = []
    for line, net in zip(lines, nets, strict=True):
        margin = None if line.cost is None else net - line.cost
        filled.append(replace(line, margin=margin, margin_rate=_rate(margin, net)))
    net = sum(nets, zero)
    margin = None if cost is None else net - cost
    return Margins(tuple(filled), cost, margin, _rate(margin, net))


def nets_without_tax(
    lines: Sequence[PriceLine], bases: Sequence[Base], net: Decimal, divisor: Divisor, currency: str
) -> tuple[Decimal, ...]:
    """Each line's amount without the tax included in it, adding up to the sheet's net.

    Parameters: `lines` gross; `bases` what they leave to be taxed; `net` of the sheet [currency]; `divisor` 1 + rate of
    each tax class; `currency` ISO 4217 code. Returns: one net per line, the discount's negative [currency].
    """
    exact = [Fraction(0)] * len(lines)
    off = Fraction(0)
    for base in bases:
        exact[base.line] += Fraction(base.before) / divisor(base.tax_class)
        off += Fraction(base.off) / divisor(base.tax_class)
    taken = round_money(off, currency)
    shares = split(net + taken, exact, currency)
    return tuple(-taken if line.group == "discount" else share for line, share in zip(lines, shares, strict=True))


def without_costs(sheet: PriceSheet) -> PriceSheet:
    """The sheet as a customer may have it: no cost, margin or margin rate, on any line or in total; nothing of a
    contingency within labor.
    """
    lines = tuple(replace(line, cost=None, margin=None, margin_rate=None) for line in sheet.lines)
    return replace(sheet, lines=lines, cost=None, margin=None, margin_rate=None, contingency_in_labor=None)


def _rate(margin: Decimal | None, net: Decimal) -> Decimal | None:
    return margin / net if margin is not None and net > 0 else None
