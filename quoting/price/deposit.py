"""The deposit a quote asks for.

A deposit is a liability, not a sale: what it asks does not depend on when tax is due. Tax falls on the final invoice,
or, in a place that taxes at payment, on what was received: see `quoting.price.ahead`.
"""

from __future__ import annotations

from decimal import Decimal

from quoting.price.money import round_money
from quoting.request import Policies


def deposit_on(due: Decimal, policies: Policies, currency: str) -> Decimal:
    """The deposit.

    Parameters: `due` total less allowance [currency]; `policies` with `deposit_fixed`, or `deposit_rate` [0..1] and
    `deposit_minimum` [currency]; `currency` ISO 4217 code. Returns: the fixed amount, or else the share of what is due
    but no less than the minimum; in either case no more than is due, and zero when nothing is due [currency].
    """
    if policies.deposit_fixed is not None:
        wanted = policies.deposit_fixed
    else:
        wanted = max(due * policies.deposit_rate, policies.deposit_minimum)
    return max(min(round_money(wanted, currency), due), round_money(Decimal(0), currency))
