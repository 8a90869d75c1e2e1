"""The price sheet of one option."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

from quoting.errors import FieldProblem, RequestError
from quoting.price.checks import refuse_unpriceable
from quoting.price.deposit import deposit_on
from quoting.price.lines import (
    WHOLE,
    Base,
    Divisor,
    contingency_line,
    discount_line,
    tax_bases,
    total,
    within_labor,
    work_lines,
)
from quoting.price.margins import margins_of, nets_without_tax
from quoting.price.money import round_money
from quoting.price.rates import Stack, stack_on, untaxed
from quoting.price.tax import Tax, exempt_in_force, taxes_on
from quoting.request import Option, QuoteRequest
from quoting.result import PriceLine, PriceSheet


@dataclass(frozen=True)
class Footing:
    """How a quote is taxed: `mode` of the prices as printed, the rates (None: not known), and what is `missing`.

    `divisor` takes the tax out of the shop's prices where they include it and the customer is exempt.
    """

    mode: str
    stack: Stack | None
    missing: tuple[str, ...]
    divisor: Divisor


def price_sheet(request: QuoteRequest, option: Option) -> PriceSheet:
    """What an option costs.

    Parameters: `request` for day, currency, tax place and policies; `option` to price. Returns: the sheet; its lines
    add up to `net` where tax is added on top and to `total` where prices include it. An exempt customer of a place
    where prices include tax is shown prices without it, tax mode "added" and tax zero. Without a tax place, or with a
    needed rate missing, `tax_total` is None and `missing` says what is needed.
    Raises: RequestError naming every field that no price can be made from.
    """
    refuse_unpriceable(request, option)
    currency, policies = request.currency, request.policies
    draft = work_lines(option, policies, currency, as_it_is)
    footing = footing_of(request, [line.tax_class for line in draft if line.amount])
    lines = _all_lines(request, option, draft, footing.divisor)
    whole = total(line.amount for line in lines) + round_money(Decimal(0), currency)
    if whole < 0:
        problem = FieldProblem(
            f"options.{option.key}.discount.amount", "is more than the lines come to.", "Lower the discount."
        )
        raise RequestError((problem,))
    bases = tax_bases(lines, currency)
    tax = taxes_on(bases, footing.stack, footing.mode, policies.tax_rounding, currency) if footing.stack else None
    included = footing.mode == "included"
    net = whole - tax.total if included and tax else whole
    to_pay = whole + tax.total if tax and not included else whole
    hidden = total(line.amount for line in lines if line.group == "hours") - total(
        line.amount for line in draft if line.group == "hours"
    )
    margins = margins_of(lines, _nets(lines, bases, footing, tax, net, currency), currency)
    allowance = round_money(option.allowance.amount if option.allowance else Decimal(0), currency)
    due = to_pay - allowance
    sums = _group_sums(lines, currency)
    return PriceSheet(
        currency=currency,
        lines=margins.lines,
        parts=sums["parts"],
        hours=sums["hours"],
        extras=sums["extras"],
        contingency=sums["contingency"],
        contingency_in_labor=hidden if option.contingency_in_labor and footing.divisor is as_it_is else None,
        discount=sums["discount"],
        net=net,
        tax_mode=footing.mode,
        taxes=tax.shares if tax else (),
        tax_total=tax.total if tax else None,
        total=to_pay,
        allowance=allowance,
        allowance_label=option.allowance.label if option.allowance else "",
        due=due,
        deposit=deposit_on(due, policies, currency),
        priced_on=request.day,
        valid_until=request.day + timedelta(days=policies.valid_days),
        tax_as_of=request.day,
        tax_place=request.tax_place.name if request.tax_place else "",
        quoted_h=total(line.quantity for line in lines if line.group == "hours"),
        cost=margins.cost,
        margin=margins.margin,
        margin_rate=margins.rate,
        missing=footing.missing,
    )


def footing_of(request: QuoteRequest, classes: Sequence[str]) -> Footing:
    """How a quote with these tax classes is taxed on the request's day: mode, rates in force, customer's exemption."""
    place = request.tax_place
    if place is None:
        return Footing("added", None, ("tax place",), as_it_is)
    exempt = exempt_in_force(request.policies, place)
    if exempt and place.mode == "added":
        return Footing("added", untaxed(place), (), as_it_is)
    stack = stack_on(place, tuple(dict.fromkeys(classes)), request.day)
    if stack.missing:
        return Footing(place.mode, None, stack.missing, as_it_is)
    if exempt:
        return Footing("added", untaxed(place), (), lambda tax_class: 1 + stack.combined(tax_class))
    return Footing(place.mode, stack, (), as_it_is)


def as_it_is(tax_class: str) -> Fraction:
    """The divisor that leaves prices alone."""
    return WHOLE


def _all_lines(request: QuoteRequest, option: Option, draft: Sequence[PriceLine], divisor: Divisor) -> list[PriceLine]:
    """The draft, priced again where tax is taken out of it, with contingency and discount."""
    lines = list(draft)
    if divisor is not as_it_is:
        lines = work_lines(option, request.policies, request.currency, divisor)
    if spread := within_labor(option, lines, request.currency):
        lines = spread
    elif contingency := contingency_line(option, lines, request.currency):
        lines.append(contingency)
    if discount := discount_line(option, lines, request.currency):
        lines.append(discount)
    return lines


def _nets(
    lines: Sequence[PriceLine], bases: Sequence[Base], footing: Footing, tax: Tax | None, net: Decimal, currency: str
) -> Sequence[Decimal] | None:
    """Each line's amount without tax; None when prices include a tax that is not known."""
    if footing.mode != "included":
        return [line.amount for line in lines]
    if tax is None or footing.stack is None:
        return None
    stack = footing.stack
    return nets_without_tax(lines, bases, net, lambda tax_class: 1 + stack.combined(tax_class), currency)


def _group_sums(lines: Sequence[PriceLine], currency: str) -> dict[str, Decimal]:
    """Sum of each group's lines, as PriceSheet names them [currency]."""
    zero = round_money(Decimal(0), currency)
    names = ("parts", "hours", "extras", "contingency", "discount")
    return {name: zero + total(line.amount for line in lines if line.group == name) for name in names}
