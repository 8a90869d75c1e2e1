"""Tax on the lines of a quote: each authority's share, adding up exactly to the rounded tax.

Rates of all authorities are applied exactly and summed before anything is rounded; the rounded tax is then split over
the authorities by largest remainder. What is rounded at once is the shop's setting `tax_rounding`:

 invoice  the whole quote; where prices include tax, each combined rate (a value-added tax rounds per rate, never less)
 rate     each combined rate on the summed lines that carry it
 line     each line (a contingency over several combined rates counts as a line for each)

Added: tax = sum of taxable × rate. A threshold takes off what is taxable, or nothing once an all-or-nothing one is
passed; a cap limits what is left, per document and tax class, or per item. Included: tax = gross × r / (1 + R), R the
combined rate; the gross is the master and net is what remains.

Rates are the shop's responsibility and change; the tax authority's own word goes before anything worked out here. Some
places also reduce what is taxed by what the shop takes in (the old engine); here such an allowance settles the price
after tax, as most places treat it: local rules decide.

Sources: Streamlined Sales and Use Tax Agreement section 324 (aggregate rates, item or invoice, up when the third
decimal is greater than four); EN 16931 BR-CO-14 and BR-CO-17 (value-added tax per rate on the summed base).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from quoting.price.lines import Base, total
from quoting.price.money import round_money, split
from quoting.price.rates import Stack
from quoting.request import DatedRate, Policies, TaxPlace
from quoting.result import TaxShare

ROUNDINGS = ("invoice", "rate", "line")
Group = tuple[object, ...]


@dataclass(frozen=True)
class Tax:
    """Each authority's share and their sum [currency]."""

    shares: tuple[TaxShare, ...]
    total: Decimal


def exempt_in_force(policies: Policies, place: TaxPlace | None = None) -> bool:
    """Whether nobody may tax this customer: marked exempt, with a certificate number that holds on the day and, where
    it is one authority's, in a place which that authority taxes.
    """
    in_time = not policies.exempt_expired and not policies.exempt_not_yet
    held = policies.customer_tax_exempt and bool(policies.exempt_certificate.strip()) and in_time
    if not policies.exempt_with or place is None:
        return held
    return held and any(authority.name == policies.exempt_with for authority in place.authorities)


def taxes_on(bases: Sequence[Base], stack: Stack, mode: str, rounding: str, currency: str) -> Tax:
    """Work out the tax.

    Parameters: `bases` what the lines leave to be taxed; `stack` rates in force, none missing; `mode` added or
    included; `rounding` invoice, rate or line; `currency` ISO 4217 code. Returns: shares in the stack's order.
    """
    count = len(stack.authorities)
    taxable = [] if mode == "included" else _taxable_rows(bases, stack)
    exact = _exact_added(bases, stack, taxable) if mode != "included" else exact_taxes(bases, stack, mode)
    groups: dict[Group, Fraction] = {}
    for index, base in enumerate(bases):
        group = _group(base, stack, mode, rounding)
        groups[group] = groups.get(group, Fraction(0)) + sum((row[index] for row in exact), Fraction(0))
    rounded = {group: round_money(amount, currency) for group, amount in groups.items()}
    whole = total(rounded.values()) or round_money(Decimal(0), currency)
    amounts = split(whole, [sum(row, Fraction(0)) for row in exact], currency)
    if mode == "included":
        printed = [_net_taxed(bases, stack, column, rounded, rounding) for column in range(count)]
    else:
        printed = [sum(row, Fraction(0)) for row in taxable]
    shares = tuple(
        TaxShare(
            authority=authority.name,
            level=authority.level,
            rates=_rates_used(bases, stack, column),
            taxable=round_money(printed[column], currency),
            amount=amounts[column],
        )
        for column, authority in enumerate(stack.authorities)
    )
    return Tax(shares, whole)


def exact_taxes(bases: Sequence[Base], stack: Stack, mode: str) -> list[list[Fraction]]:
    """Tax before anything is rounded.

    Parameters: as `taxes_on`. Returns: per authority in the stack's order, per base [currency].
    """
    if mode == "included":
        return [[_extracted(base, stack, column) for base in bases] for column in range(len(stack.authorities))]
    return _exact_added(bases, stack, _taxable_rows(bases, stack))


def _exact_added(bases: Sequence[Base], stack: Stack, taxable: list[list[Fraction]]) -> list[list[Fraction]]:
    return [
        [amount * _fraction(stack, base, column) if amount else amount for base, amount in zip(bases, row, strict=True)]
        for column, row in enumerate(taxable)
    ]


def _taxable_rows(bases: Sequence[Base], stack: Stack) -> list[list[Fraction]]:
    """What each authority takes its rate on, per base, where tax is added."""
    columns = range(len(stack.authorities))
    amounts = [Fraction(base.amount) for base in bases]
    return [_taxable(bases, amounts, [_rate(stack, base, column) for base in bases]) for column in columns]


def _rate(stack: Stack, base: Base, column: int) -> DatedRate | None:
    """An authority's rate for what a base is; None where it does not tax it."""
    row = stack.rates.get(base.tax_class)
    return row[column] if row else None


def _fraction(stack: Stack, base: Base, column: int) -> Fraction:
    """The same as a number [0..1]."""
    rate = _rate(stack, base, column)
    return _as_fraction(rate.rate) if rate else Fraction(0)


@lru_cache(maxsize=1024)
def _as_fraction(rate: Decimal) -> Fraction:
    return Fraction(rate)


def _extracted(base: Base, stack: Stack, column: int) -> Fraction:
    """One authority's tax contained in a gross amount."""
    return Fraction(base.amount) * _fraction(stack, base, column) / (1 + stack.combined(base.tax_class))


def _taxable(bases: Sequence[Base], amounts: Sequence[Fraction], rates: Sequence[DatedRate | None]) -> list[Fraction]:
    """What one authority takes its rate on, per base, thresholds and caps applied."""
    whole: dict[str, Fraction] = {}
    if any(rate and (rate.cap is not None or rate.threshold) for rate in rates):
        for base, amount in zip(bases, amounts, strict=True):
            whole[base.tax_class] = whole.get(base.tax_class, Fraction(0)) + amount
    taxable = []
    for base, amount, rate in zip(bases, amounts, rates, strict=True):
        if rate is None:
            taxable.append(Fraction(0))
        elif rate.cap is None and not rate.threshold:
            taxable.append(amount)
        elif rate.per_item:
            taxable.append(base.items * _between(amount / base.items, rate))
        elif document := whole[base.tax_class]:
            taxable.append(amount * _between(document, rate) / document)
        else:
            taxable.append(Fraction(0))
    return taxable


def _between(amount: Fraction, rate: DatedRate) -> Fraction:
    """What of an amount lies above the threshold, or all of it where the threshold is all or nothing; up to the cap."""
    threshold = Fraction(rate.threshold or 0)
    above = amount if rate.whole and amount > threshold else max(amount - threshold, Fraction(0))
    return above if rate.cap is None else min(above, Fraction(rate.cap))


def _group(base: Base, stack: Stack, mode: str, rounding: str) -> Group:
    """What is rounded together: bases with the same group."""
    if rounding == "line":
        return (base.line, stack.key(base.tax_class))
    if rounding == "rate" or mode == "included":
        return (stack.key(base.tax_class),)
    return ()


def _net_taxed(
    bases: Sequence[Base], stack: Stack, column: int, rounded: dict[Group, Decimal], rounding: str
) -> Fraction:
    """What an authority's included tax was taken on: gross less all tax of the groups it taxes."""
    taxed = [base for base in bases if _rate(stack, base, column)]
    groups = {_group(base, stack, "included", rounding) for base in taxed}
    return Fraction(total(base.amount for base in taxed) - total(rounded[group] for group in groups))


def _rates_used(bases: Sequence[Base], stack: Stack, column: int) -> tuple[Decimal, ...]:
    """The distinct rates an authority applied, in the order of the lines."""
    rates = [_rate(stack, base, column) for base in bases if base.amount]
    return tuple(dict.fromkeys(rate.rate for rate in rates if rate))
