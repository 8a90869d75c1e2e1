"""What builds come to, have paid and owe, as sums of the cash book."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from shop.models import CLOSED_STATES, Account, Build, Posting

NONE = Decimal(0)
MONEY = (Account.CASH, Account.CARD, Account.BANK, Account.CHECKS)
CHARGED = (Account.SALES, Account.TAX, Account.TAX_AHEAD, Account.STORAGE)  # less what waits for its invoice
Sums = Mapping[str, Decimal]  # account: debits less credits


@dataclass(frozen=True, kw_only=True)
class BuildMoney:
    """A build's money.

    `total` what it comes to: as agreed, or as invoiced less credit notes. `paid` what came in less what went back.
    `held` of it still as a deposit. `owed` is below zero when more was paid than agreed, zero once it is cancelled;
    once `invoiced` it is what its invoices still ask.
    """

    total: Decimal
    paid: Decimal
    owed: Decimal
    held: Decimal = NONE
    invoiced: bool = False

    @property
    def overpaid(self) -> Decimal:
        """What is held and nothing asks for: it may be given back."""
        return self.held if self.invoiced else max(-self.owed, NONE)


def build_money(builds: Collection[Build]) -> Mapping[int, BuildMoney]:
    """Each build's money, by build id. One query, whatever their number."""
    sums = account_sums([build.pk for build in builds])
    return {build.pk: money_of(build, sums.get(build.pk, {})) for build in builds}


def money_of(build: Build, sums: Sums) -> BuildMoney:
    """One build's money from what its accounts hold."""
    paid = sum((sums.get(account, NONE) for account in MONEY), NONE)
    held = -sums.get(Account.DEPOSITS, NONE)
    charged = -sum((sums.get(account, NONE) for account in CHARGED), NONE)
    owed, taken_in = sums.get(Account.RECEIVABLE, NONE), sums.get(Account.TRADE_IN, NONE)
    if sums.get(Account.SALES) or taken_in:
        return BuildMoney(total=charged - taken_in, paid=paid, owed=owed, held=held, invoiced=True)
    # Only storage may have been charged. What is closed without an invoice, or wholly credited, asks nothing more.
    if build.state in CLOSED_STATES:
        return BuildMoney(total=build.total, paid=paid, owed=owed - held, held=held)
    return BuildMoney(total=build.total + charged, paid=paid, owed=build.total + owed - held, held=held)


def account_sums(build_ids: Collection[int] | None = None) -> Mapping[int, Sums]:
    """Debits less credits of every account, by build id."""
    rows = Posting.objects.filter(entry__build__isnull=False).order_by()
    if build_ids is not None:
        rows = rows.filter(entry__build__in=build_ids)
    found: dict[int, dict[str, Decimal]] = {}
    for row in rows.values("entry__build_id", "debit", "credit").annotate(moved=Sum("amount")):
        sums = found.setdefault(row["entry__build_id"], {})
        for account, moved in ((row["debit"], row["moved"]), (row["credit"], -row["moved"])):
            sums[account] = sums.get(account, NONE) + moved
    return found
