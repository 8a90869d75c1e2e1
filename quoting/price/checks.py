"""Refuses what no price can be made from, naming every field and its remedy at once."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quoting.errors import FieldProblem, RequestError
from quoting.price.money import minor_digits
from quoting.price.tax import ROUNDINGS
from quoting.request import TAX_CLASSES, Option, Policies, QuoteRequest

# Far above any workshop's figures and low enough that products keep every digit of Decimal's 28.
GREATEST = Decimal("1e9")


def refuse_unpriceable(request: QuoteRequest, option: Option) -> None:
    """Raises: RequestError with every problem of the option's lines and of the policies that price it."""
    minor_digits(request.currency)
    where = f"options.{option.key}"
    problems = [
        *_lines(option, where),
        *_takes(option, where),
        *_policies(request.policies),
    ]
    if problems:
        raise RequestError(tuple(problems))


def _lines(option: Option, where: str) -> Iterator[FieldProblem]:
    for number, part in enumerate(option.parts, start=1):
        field = f"{where}.parts.{number} ({part.code})"
        yield from _amount(f"{field}.quantity", part.quantity)
        yield from _amount(f"{field}.unit_price", part.unit_price)
        yield from _amount(f"{field}.unit_cost", part.unit_cost)
        yield from _tax_class(field, part.tax_class)
    for number, step in enumerate(option.steps, start=1):
        field = f"{where}.steps.{number} ({step.code})"
        points = {"low_h": step.low_h, "likely_h": step.likely_h, "high_h": step.high_h}
        bad = [p for name, hours in points.items() for p in _amount(f"{field}.{name}", hours)]
        yield from bad
        if not bad and (step.low_h or step.high_h) and not step.low_h <= step.likely_h <= step.high_h:
            remedy = "Enter low, likely and high hours in rising order."
            yield FieldProblem(f"{field}.likely_h", "is not between the low and the high hours.", remedy)
        yield from _amount(f"{field}.hours", step.hours)
        yield from _amount(f"{field}.rate", step.rate)
        yield from _amount(f"{field}.cost_rate", step.cost_rate)
        yield from _tax_class(field, step.tax_class)
    for number, extra in enumerate(option.extras, start=1):
        field = f"{where}.extras.{number} ({extra.label})"
        yield from _amount(f"{field}.amount", extra.amount, "Enter zero or more; take off with a discount.")
        yield from _amount(f"{field}.cost", extra.cost)
        yield from _tax_class(field, extra.tax_class)


def _takes(option: Option, where: str) -> Iterator[FieldProblem]:
    yield from _share(f"{where}.contingency_rate", option.contingency_rate)
    if option.allowance:
        yield from _amount(f"{where}.allowance.amount", option.allowance.amount)
    if option.discount:
        yield from _share(f"{where}.discount.rate", option.discount.rate)
        yield from _amount(f"{where}.discount.amount", option.discount.amount)
        if option.discount.rate and option.discount.amount:
            yield FieldProblem(f"{where}.discount", "has a share and a fixed amount.", "Enter one of them.")


def _policies(policies: Policies) -> Iterator[FieldProblem]:
    if policies.tax_rounding not in ROUNDINGS:
        text = f"'{policies.tax_rounding}' is unknown."
        yield FieldProblem("policies.tax_rounding", text, f"Use one of {', '.join(ROUNDINGS)}.")
    if not 1 <= policies.hours_percentile <= 99:
        yield FieldProblem("policies.hours_percentile", "is out of range.", "Enter a percentile from 1 to 99.")
    if not (policies.hours_step.is_finite() and 0 < policies.hours_step <= 8):
        yield FieldProblem("policies.hours_step", "is out of range.", "Enter hours such as 0.1, 0.25 or 0.5.")
    yield from _share("policies.deposit_rate", policies.deposit_rate)
    yield from _amount("policies.deposit_minimum", policies.deposit_minimum)
    yield from _amount("policies.deposit_fixed", policies.deposit_fixed)
    if not 0 <= policies.valid_days <= 3650:
        yield FieldProblem("policies.valid_days", "is out of range.", "Enter days from 0 to 3650.")


def _amount(
    field: str, value: Decimal | None, remedy: str = "Enter a number from zero to less than a billion."
) -> Iterator[FieldProblem]:
    if value is not None and not (value.is_finite() and 0 <= value < GREATEST):
        yield FieldProblem(field, f"is {value}.", remedy)


def _share(field: str, value: Decimal) -> Iterator[FieldProblem]:
    if not (value.is_finite() and 0 <= value <= 1):
        yield FieldProblem(field, "is not between 0 and 100 %.", "Enter 5 % as 0.05.")


def _tax_class(field: str, tax_class: str) -> Iterator[FieldProblem]:
    if tax_class not in TAX_CLASSES:
        yield FieldProblem(f"{field}.tax_class", f"'{tax_class}' is unknown.", f"Use one of {', '.join(TAX_CLASSES)}.")
