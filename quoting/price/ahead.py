"""Tax on money that comes before the invoice, where a place taxes at payment.

Council Directive 2006/112/EC, Article 65: on a payment on account the tax becomes chargeable when it is received, on
the amount received; Article 93: at the rate in force then. A payment is taken to hold the price's own mix of tax. The
invoice then charges the whole tax less what was charged before; where rates have changed in between, what was taxed
keeps its rates and only the rest of the price takes the new ones. Article 95 lets a country adjust that: the tax
authority's own word goes before anything worked out here. What is paid with the old engine is no amount received: its
part of the tax falls on the invoice.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from quoting.price.margins import without_costs
from quoting.price.money import round_money, split
from quoting.price.rates import Stack, stack_on
from quoting.request import TaxPlace
from quoting.result import PriceSheet, TaxShare

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class TaxAhead:
    """Tax charged before the invoice: `gross` the amount received that was taxed [currency], `shares` the tax in it."""

    gross: Decimal = NONE
    shares: tuple[TaxShare, ...] = ()

    @property
    def tax(self) -> Decimal:
        """The tax of all authorities [currency]."""
        return tax_of(self.shares)


def tax_of(shares: Sequence[TaxShare]) -> Decimal:
    """Sum of the authorities' tax [currency]."""
    return sum((share.amount for share in shares), NONE)


def taxed_at_payment(sheet: PriceSheet, before: Decimal, amount: Decimal) -> TaxAhead:
    """What a payment is taxed.

    Parameters: `sheet` the price as of the day it is received, its tax known; `before` what was taxed already of it;
    `amount` received [currency]. Returns: the part of it up to what is due, and each authority's tax as the share of
    the price taxed by then less the share taxed before, so that the parts of many payments add up to the share of their
    sum and, paid in full without an allowance, to the whole tax. With three authorities or more one may get a cent back
    of an earlier payment. Raises: ValueError when the sheet's tax is not known.
    """
    if sheet.tax_total is None:
        raise ValueError("the tax of this sheet is not known")
    gross = max(min(amount, sheet.due - before), NONE)
    if not gross or not sheet.tax_total:
        return TaxAhead()
    shares = minus(_inside(sheet, before + gross), _inside(sheet, before))
    return TaxAhead(gross=gross, shares=tuple(share for share in shares if share.amount or share.taxable))


def part_of(ahead: TaxAhead, gross: Decimal, currency: str) -> TaxAhead:
    """What is left of tax charged ahead when only `gross` of the amounts is left [currency]."""
    if gross <= 0 or ahead.gross <= 0:
        return TaxAhead()
    share = min(Fraction(gross) / Fraction(ahead.gross), Fraction(1))
    whole = round_money(Fraction(ahead.tax) * share, currency)
    amounts = split(whole, [max(each.amount, NONE) for each in ahead.shares], currency)
    shares = tuple(
        replace(each, taxable=round_money(Fraction(each.taxable) * share, currency), amount=amount)
        for each, amount in zip(ahead.shares, amounts, strict=True)
    )
    return TaxAhead(gross=min(gross, ahead.gross), shares=shares)


def keep_rates(sheet: PriceSheet, taxed: TaxAhead) -> PriceSheet:
    """A price of which a part was taxed by other rates.

    Parameters: `sheet` the whole price by the rates in force, its tax known; `taxed` what was taxed by earlier ones.
    Returns: the sheet, without costs, with the earlier tax on the part it was charged on and the rates in force on the
    rest, each as a share of its own. Where tax is included the total stays and the net follows, else the net stays and
    the total follows.
    Raises: ValueError when the sheet's tax is not known.
    """
    if sheet.tax_total is None:
        raise ValueError("the tax of this sheet is not known")
    included = sheet.tax_mode == "included"
    whole, used = (sheet.total, taxed.gross) if included else (sheet.net, taxed.gross - taxed.tax)
    if used > whole:
        most = Fraction(taxed.gross) * Fraction(whole) / Fraction(used)
        taxed = part_of(taxed, round_money(most, sheet.currency), sheet.currency)
        used = whole
    rest = 1 - Fraction(used) / Fraction(whole) if whole else Fraction(0)
    amounts = split(
        round_money(Fraction(sheet.tax_total) * rest, sheet.currency),
        [each.amount for each in sheet.taxes],
        sheet.currency,
    )
    rested = [
        replace(each, taxable=round_money(Fraction(each.taxable) * rest, sheet.currency), amount=amount)
        for each, amount in zip(sheet.taxes, amounts, strict=True)
    ]
    taxes = tuple(each for each in plus(taxed.shares, rested) if each.amount or each.taxable)
    tax = tax_of(taxes)
    net, total = (sheet.total - tax, sheet.total) if included else (sheet.net, sheet.net + tax)
    return replace(without_costs(sheet), taxes=taxes, tax_total=tax, net=net, total=total, due=total - sheet.allowance)


def rates_are_same(then: tuple[TaxPlace, date], now: tuple[TaxPlace, date], classes: Collection[str]) -> bool:
    """Whether a place taxed these classes on one day as on another; what no rate is known of counts as another."""
    return _facts(stack_on(then[0], classes, then[1])) == _facts(stack_on(now[0], classes, now[1]))


def plus(one: Sequence[TaxShare], other: Sequence[TaxShare]) -> tuple[TaxShare, ...]:
    """Shares of one authority at the same rates added up, the first ones' order first."""
    found: dict[tuple[object, ...], TaxShare] = {}
    for share in (*one, *other):
        key = (share.authority, share.level, share.rates)
        had = found.get(key)
        found[key] = (
            share
            if had is None
            else replace(had, taxable=had.taxable + share.taxable, amount=had.amount + share.amount)
        )
    return tuple(found.values())


def minus(one: Sequence[TaxShare], other: Sequence[TaxShare]) -> tuple[TaxShare, ...]:
    """Shares of one authority at the same rates, the others taken off."""
    return plus(one, negated(other))


def negated(shares: Sequence[TaxShare]) -> tuple[TaxShare, ...]:
    """The same below zero."""
    return tuple(replace(share, taxable=-share.taxable, amount=-share.amount) for share in shares)


def _inside(sheet: PriceSheet, gross: Decimal) -> tuple[TaxShare, ...]:
    """Each authority's tax in a part of a price, largest remainder on the part's rounded tax."""
    share = Fraction(gross) / Fraction(sheet.total)
    whole = round_money(Fraction(sheet.tax_total or NONE) * share, sheet.currency)
    amounts = split(whole, [each.amount for each in sheet.taxes], sheet.currency)
    return tuple(
        replace(each, taxable=round_money(Fraction(each.taxable) * share, sheet.currency), amount=amount)
        for each, amount in zip(sheet.taxes, amounts, strict=True)
    )


def _facts(stack: Stack) -> tuple[object, ...]:
    rates = [
        (name, [(each.rate, each.cap, each.threshold, each.whole, each.per_item) if each else None for each in row])
        for name, row in sorted(stack.rates.items())
    ]
    return [(each.name, each.level) for each in stack.authorities], rates, stack.missing
