"""Amounts of money: minor units, the one rounding function, and splitting an amount without losing a cent.

Everything is exact (Decimal, or Fraction inside a calculation) until one of these places, and nowhere else, rounds:

 1. a line's amount (quantity × unit price) and a line's cost            quoting.price.lines
 2. a unit price made from a cost by markup or margin                    quoting.price.pricing
 3. the contingency and the discount, each once for the quote            quoting.price.lines
    (and the allowance, should it be typed finer than the minor unit)    quoting.price.sheet
 4. tax, once per invoice, per rate or per line as the shop has set      quoting.price.tax
 5. what an authority's tax was taken on, as printed beside it           quoting.price.tax
 6. a line's amount without tax where prices include it, for the margin  quoting.price.margins
 7. the deposit                                                          quoting.price.deposit
 8. the tax in a part of a price, where it is taxed at payment           quoting.price.ahead

Hours are rounded to the shop's step in quoting.price.labour; they are not money. Splitting never rounds on its own: the
parts add up to the whole.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from quoting.errors import FieldProblem, RequestError

# ISO 4217:2015 list one as of 2026-01-01, read through the public-domain data of PyPI iso4217 1.16.20260101. Codes the
# standard gives no minor unit (metals, bond units, testing) are not money a shop can be paid in and are left out.
NO_DIGITS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
THREE_DIGITS = "BHD IQD JOD KWD LYD OMR TND"
FOUR_DIGITS = "CLF UYW"
TWO_DIGITS = """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW CNY COP COU
CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES
KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR
NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP
TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG YER ZAR ZMW ZWG
"""
MINOR_DIGITS: dict[str, int] = {
    **dict.fromkeys(NO_DIGITS.split(), 0),
    **dict.fromkeys(TWO_DIGITS.split(), 2),
    **dict.fromkeys(THREE_DIGITS.split(), 3),
    **dict.fromkeys(FOUR_DIGITS.split(), 4),
}


def minor_digits(currency: str) -> int:
    """Decimals of a currency's minor unit.

    Parameters: `currency` ISO 4217 code. Returns: digits [-]. Raises: RequestError for a code that is not on the list.
    """
    try:
        return MINOR_DIGITS[currency]
    except KeyError:
        remedy = "Use the three-letter code of ISO 4217 in capitals, such as USD."
        raise RequestError((FieldProblem("currency", f"'{currency}' is not a currency.", remedy),)) from None


def round_money(amount: Decimal | Fraction, currency: str) -> Decimal:
    """Round to the currency's minor unit, half away from zero (half up for every positive amount).

    Parameters: `amount` exact [currency]; `currency` ISO 4217 code. Returns: whole minor units [currency].
    Raises: RequestError for an unknown currency. Source: Streamlined Sales and Use Tax Agreement section 324 (up when
    the third decimal is greater than four).
    """
    digits = minor_digits(currency)
    exact = Fraction(amount) * 10**digits
    units = math.floor(abs(exact) + Fraction(1, 2))
    return Decimal(units if exact >= 0 else -units).scaleb(-digits)


def split(amount: Decimal, weights: Sequence[Decimal | Fraction], currency: str) -> tuple[Decimal, ...]:
    """Split a rounded amount in proportion to weights, in whole minor units that add up to it (largest remainder).

    Parameters: `amount` whole minor units [currency], of either sign; `weights` none negative [-]; `currency` ISO 4217
    code. Returns: one part per weight [currency]; equal remainders go to the earlier weight; a weight of zero gets
    zero. Raises: ValueError for an amount that is not whole minor units, a negative weight, or nothing to share over.
    """
    digits = minor_digits(currency)
    units = Fraction(amount) * 10**digits
    if units.denominator != 1:
        raise ValueError(f"{amount} is not whole minor units of {currency}")
    shares = [Fraction(weight) for weight in weights]
    if any(share < 0 for share in shares):
        raise ValueError("a weight is negative")
    whole = sum(shares, Fraction(0))
    if not whole:
        if units:
            raise ValueError(f"{amount} cannot be shared over weights that are all zero")
        return tuple(Decimal(0).scaleb(-digits) for _ in shares)
    quotas = [abs(units) * share / whole for share in shares]
    parts = [math.floor(quota) for quota in quotas]
    by_remainder = sorted(range(len(parts)), key=lambda index: (parts[index] - quotas[index], index))
    for index in by_remainder[: int(abs(units)) - sum(parts)]:
        parts[index] += 1
    sign = 1 if units >= 0 else -1
    return tuple(Decimal(sign * part).scaleb(-digits) for part in parts)
