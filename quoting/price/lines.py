"""Lines of a quote: components, hours, extras, contingency, discount; and what each leaves to be taxed.

Every line's amount is rounded to the minor unit by itself, so that the sheet adds up as printed. The contingency is a
share of parts and hours, a line of its own, taxed pro rata to the classes of those lines: it stands for more of the
same. The discount is a share of all lines above it, or a fixed amount; it lowers what is taxed of every line pro rata.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from quoting.price.labour import quoted_h
from quoting.price.money import round_money, split
from quoting.request import Option, Policies
from quoting.result import PriceLine

WHOLE = Fraction(1)
# By how much a price of a tax class is divided: 1, or 1 + rate to take the tax out of a price that includes it.
Divisor = Callable[[str], Fraction]


@dataclass(frozen=True)
class Base:
    """What one line leaves to be taxed in one class.

    `line` its index on the sheet; `before` its amount [currency]; `off` its share of the discount [currency]; `items`
    how many single items it is, for caps per item [-].
    """

    line: int
    tax_class: str
    before: Decimal
    off: Decimal
    items: int = 1

    @property
    def amount(self) -> Decimal:
        """What is taxed, discount taken off [currency]."""
        return self.before - self.off


def work_lines(option: Option, policies: Policies, currency: str, divisor: Divisor) -> list[PriceLine]:
    """Lines for components, hours and extras, in that order. A step without hours (outside work) gives none.

    Parameters: `option`; `policies` for the hours; `currency` ISO 4217 code; `divisor` of each tax class.
    Returns: lines, cost None where it is not known. Costs are what the shop bears, without tax it gets back.
    """
    lines = []
    for part in option.parts:
        cost = None if part.unit_cost is None else round_money(part.quantity * part.unit_cost, currency)
        line = PriceLine(
            group="parts",
            code=part.code,
            label=part.name,
            quantity=part.quantity,
            unit=part.unit,
            unit_price=part.unit_price,
            amount=Decimal(0),
            tax_class=part.tax_class,
            cost=cost,
            priced_on=part.priced_on,
        )
        lines.append(_priced(line, currency, divisor))
    for step in option.steps:
        hours = quoted_h(step, policies)
        if not hours:
            continue
        line = PriceLine(
            group="hours",
            code=step.code,
            label=step.label,
            quantity=hours,
            unit="h",
            unit_price=step.rate,
            amount=Decimal(0),
            tax_class=step.tax_class,
            cost=None if step.cost_rate is None else round_money(hours * step.cost_rate, currency),
        )
        lines.append(_priced(line, currency, divisor))
    for extra in option.extras:
        line = PriceLine(
            group="extras",
            code=extra.kind,
            label=extra.label,
            quantity=Decimal(1),
            unit="",
            unit_price=extra.amount,
            amount=Decimal(0),
            tax_class=extra.tax_class,
            cost=None if extra.cost is None else round_money(extra.cost, currency),
        )
        lines.append(_priced(line, currency, divisor))
    return lines


def contingency_line(option: Option, lines: Sequence[PriceLine], currency: str) -> PriceLine | None:
    """The contingency, or None when its rate is zero.

    Its cost is the same share of the cost of parts and hours: should it be used up, it buys more of the same.
    """
    if not option.contingency_rate:
        return None
    covered = [line for line in lines if line.group in ("parts", "hours")]
    amount = round_money(option.contingency_rate * total(line.amount for line in covered), currency)
    costs = known_total(line.cost for line in covered)
    return PriceLine(
        group="contingency",
        code="contingency",
        label=f"Contingency {percent(option.contingency_rate)}",
        quantity=Decimal(1),
        unit="",
        unit_price=amount,
        amount=amount,
        tax_class="",
        cost=None if costs is None else round_money(option.contingency_rate * costs, currency),
    )


def within_labor(option: Option, lines: Sequence[PriceLine], currency: str) -> list[PriceLine] | None:
    """The lines with the contingency spread over those for hours; None when there is none to spread or no such line.

    Each rate per hour rises by the same share and is rounded to the minor unit, so that hours times rate is the amount
    that is printed: what is put on may differ from the contingency by half a minor unit an hour. Taxed as labor.
    """
    extra = contingency_line(option, lines, currency) if option.contingency_in_labor else None
    labor = total(line.amount for line in lines if line.group == "hours")
    if extra is None or not labor:
        return None
    raised = 1 + Fraction(extra.amount) / Fraction(labor)
    at = [index for index, line in enumerate(lines) if line.group == "hours"]
    costs = None if extra.cost is None else split(extra.cost, [lines[index].amount for index in at], currency)
    spread = list(lines)
    for place, index in enumerate(at):
        line = lines[index]
        rate = round_money(Fraction(line.unit_price) * raised, currency)
        cost = None if line.cost is None or costs is None else line.cost + costs[place]
        amount = round_money(line.quantity * rate, currency)
        spread[index] = replace(line, unit_price=rate, amount=amount, cost=cost)
    return spread


def discount_line(option: Option, lines: Sequence[PriceLine], currency: str) -> PriceLine | None:
    """The discount as a negative line, or None when there is none."""
    if option.discount is None:
        return None
    off = option.discount.amount or option.discount.rate * total(line.amount for line in lines)
    amount = -round_money(off, currency)
    if not amount:
        return None
    return PriceLine(
        group="discount",
        code="discount",
        label=option.discount.reason or "Discount",
        quantity=Decimal(1),
        unit="",
        unit_price=amount,
        amount=amount,
        tax_class="",
        cost=round_money(Decimal(0), currency),
    )


def tax_bases(lines: Sequence[PriceLine], currency: str) -> tuple[Base, ...]:
    """What the lines of a sheet leave to be taxed, contingency and discount spread over the classes.

    Parameters: `lines` as printed, a discount among them negative and no larger than the rest; `currency` ISO 4217
    code. Returns: bases in minor units whose amounts add up to the lines' amounts.
    """
    pieces: list[tuple[int, str, Decimal, int]] = []
    off = Decimal(0)
    for index, line in enumerate(lines):
        if line.group == "discount":
            off -= line.amount
        elif line.group == "contingency":
            weights: dict[str, Decimal] = {}
            for other in lines:
                if other.group in ("parts", "hours"):
                    weights[other.tax_class] = weights.get(other.tax_class, Decimal(0)) + other.amount
            shares = split(line.amount, list(weights.values()), currency)
            pieces.extend((index, name, share, 1) for name, share in zip(weights, shares, strict=True))
        else:
            pieces.append((index, line.tax_class, line.amount, _items(line)))
    offs = split(off, [amount for _, _, amount, _ in pieces], currency)
    return tuple(
        Base(index, tax_class, amount, taken, items)
        for (index, tax_class, amount, items), taken in zip(pieces, offs, strict=True)
    )


def percent(rate: Decimal) -> str:
    """A fraction as people write it: 0.0725 is 7.25%."""
    text = f"{rate * 100:f}"
    return (text.rstrip("0").rstrip(".") if "." in text else text) + "%"


def total(amounts: Iterable[Decimal]) -> Decimal:
    """Sum of amounts; zero for none [currency]."""
    return sum(amounts, Decimal(0))


def known_total(amounts: Iterable[Decimal | None]) -> Decimal | None:
    """Sum of amounts, or None as soon as one of them is not known [currency]."""
    summed = Decimal(0)
    for amount in amounts:
        if amount is None:
            return None
        summed += amount
    return summed


def _priced(line: PriceLine, currency: str, divisor: Divisor) -> PriceLine:
    """The line with its amount. Where tax is taken out of the price, the unit price shown is rounded, too."""
    by = divisor(line.tax_class)
    amount = round_money(Fraction(line.quantity) * Fraction(line.unit_price) / by, currency)
    shown = line.unit_price if by == WHOLE else round_money(Fraction(line.unit_price) / by, currency)
    return replace(line, unit_price=shown, amount=amount)


def _items(line: PriceLine) -> int:
    """How many single items a line is: pieces are counted, a length or hours are one."""
    whole = line.unit == "piece" and line.quantity == line.quantity.to_integral_value() and line.quantity > 0
    return int(line.quantity) if whole else 1
