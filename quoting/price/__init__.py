"""What an option costs: lines, labor, tax, deposit; and how prices come about."""

from __future__ import annotations

from quoting.price.ahead import (
    TaxAhead,
    keep_rates,
    minus,
    negated,
    part_of,
    plus,
    rates_are_same,
    tax_of,
    taxed_at_payment,
)
from quoting.price.by_line import LineShare, line_shares
from quoting.price.deposit import deposit_on
from quoting.price.difference import (
    LineChange,
    PriceDifference,
    ResultDifference,
    TotalChange,
    price_difference,
    result_difference,
)
from quoting.price.labour import pert_deviation_h, pert_mean_h, quantile_h, quoted_h
from quoting.price.learning import LearnedHours, learned_hours
from quoting.price.lines import percent
from quoting.price.margins import without_costs
from quoting.price.money import MINOR_DIGITS, minor_digits, round_money, split
from quoting.price.pricing import (
    landed_cost,
    margin_of_markup,
    markup_of_margin,
    price_from_margin,
    price_from_markup,
)
from quoting.price.rates import MODES, in_force, place_problems, rate_problems
from quoting.price.sheet import price_sheet
from quoting.price.tax import ROUNDINGS, exempt_in_force

__all__ = [
    "MINOR_DIGITS",
    "MODES",
    "ROUNDINGS",
    "LearnedHours",
    "LineChange",
    "LineShare",
    "PriceDifference",
    "ResultDifference",
    "TaxAhead",
    "TotalChange",
    "deposit_on",
    "exempt_in_force",
    "in_force",
    "keep_rates",
    "landed_cost",
    "learned_hours",
    "line_shares",
    "margin_of_markup",
    "markup_of_margin",
    "minor_digits",
    "minus",
    "negated",
    "part_of",
    "percent",
    "pert_deviation_h",
    "pert_mean_h",
    "place_problems",
    "plus",
    "price_difference",
    "price_from_margin",
    "price_from_markup",
    "price_sheet",
    "quantile_h",
    "quoted_h",
    "rate_problems",
    "rates_are_same",
    "result_difference",
    "round_money",
    "split",
    "tax_of",
    "taxed_at_payment",
    "without_costs",
]
