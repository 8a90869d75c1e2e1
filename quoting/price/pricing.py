"""How a unit price comes about: landed cost, markup and margin."""

from __future__ import annotations

from decimal import Decimal

from quoting.errors import FieldProblem, RequestError
from quoting.price.money import round_money


def landed_cost(
    unit_cost: Decimal,
    exchange_rate: Decimal,
    *,
    freight: Decimal = Decimal(0),
    duty_rate: Decimal = Decimal(0),
    duty_on_freight: bool = False,
) -> Decimal:
    """What one unit costs on the shop's shelf. Not rounded: a line rounds its cost once.

    Parameters: `unit_cost` in the supplier's currency; `exchange_rate` shop's currency per unit of it on the day of the
    price; `freight` the unit's share of the freight [currency]; `duty_rate` fraction [0..]; `duty_on_freight` whether
    customs value includes freight (as in the European Union; not in the United States). Returns: cost [currency].
    Raises: RequestError for a negative input or an exchange rate of zero.
    """
    named = {"unit_cost": unit_cost, "freight": freight, "duty_rate": duty_rate}
    problems = [FieldProblem(name, "is negative.", "Enter zero or more.") for name, value in named.items() if value < 0]
    if exchange_rate <= 0:
        problems.append(FieldProblem("exchange_rate", "must be more than zero.", "Enter the rate of the day."))
    if problems:
        raise RequestError(tuple(problems))
    goods = unit_cost * exchange_rate
    return goods + freight + duty_rate * (goods + freight if duty_on_freight else goods)


def price_from_markup(cost: Decimal, markup: Decimal, currency: str) -> Decimal:
    """Unit price = cost × (1 + markup), rounded to the minor unit.

    Parameters: `cost` [currency]; `markup` share of the cost [0..]; `currency` ISO 4217 code. Returns: [currency].
    Raises: RequestError for a markup below zero (sell at a loss with a discount and its reason instead).
    """
    if markup < 0:
        raise RequestError((FieldProblem("markup", "is negative.", "Enter zero or more; take off with a discount."),))
    return round_money(cost * (1 + markup), currency)


def price_from_margin(cost: Decimal, margin_rate: Decimal, currency: str) -> Decimal:
    """Unit price = cost / (1 − margin), rounded to the minor unit.

    Parameters: `cost` [currency]; `margin_rate` share of the price [0..1); `currency` ISO 4217 code.
    Returns: [currency]. Raises: RequestError for a margin out of range.
    """
    return price_from_markup(cost, markup_of_margin(margin_rate), currency)


def markup_of_margin(margin_rate: Decimal) -> Decimal:
    """Markup k = m/(1 − m). Raises: RequestError for a margin below 0 or from 100 % on, which no price can give."""
    if not 0 <= margin_rate < 1:
        remedy = "Enter a share of the price from 0 to less than 100 %."
        raise RequestError((FieldProblem("margin_rate", "is out of range.", remedy),))
    return margin_rate / (1 - margin_rate)


def margin_of_markup(markup: Decimal) -> Decimal:
    """Margin m = k/(1 + k). Raises: RequestError for a markup below zero."""
    if markup < 0:
        raise RequestError((FieldProblem("markup", "is negative.", "Enter zero or more."),))
    return markup / (1 + markup)
