"""Money in after the deposit: a deposit for parts, a part of the balance, what an invoice asks."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.price import round_money
from shop.models import Account, Build, EntryKind, LedgerEntry
from shop.selectors.agreement import agreed_of
from shop.selectors.build_money import build_money
from shop.selectors.invoices import invoice_owed
from shop.selectors.shop import shop_today, the_shop
from shop.services.builds import open_build
from shop.services.cash import DepositTaken, amount_guard, deposit_post
from shop.services.documents import receipt_facts_keep
from shop.services.errors import Refused
from shop.services.events import build_event
from shop.services.ledger import Move, entry_post, made_with, received_guard, used_already
from shop.services.line_lock import line_lock
from shop.services.settling import held_applied
from shop.services.stock import NONE
from shop.services.tax_ahead import NOTHING, AheadMove, payment_ahead


def deposit_add(
    *,
    build: Build,
    amount: Decimal,
    method: str,
    person: User,
    key: str,
    reference: str = "",
    received_on: date | None = None,
    allow_more: bool = False,
) -> DepositTaken:
    """Take more money towards an open build. Held as a deposit until it is invoiced.

    At most what it still owes, unless `allow_more` says that more came in: what is over may be given back. Place, parts
    and promise stay as they are. Safe to repeat with the same `key`.
    """
    with line_lock():
        taken = made_with(key, kind=EntryKind.DEPOSIT, build_id=build.pk, method=method)
        if taken is not None:
            return DepositTaken(_same_amount(taken, amount), build, created=False)
        row = open_build(build)
        money = build_money([row])[row.pk]
        if money.invoiced:
            raise Refused(f"{row} is invoiced. Take the payment on its invoice.")
        currency = agreed_of(row).price.currency
        owed = round_money(money.owed, currency)
        if owed <= 0 and not allow_more:
            raise Refused(f"{row} is paid in full.")
        _more_guard(amount, owed, currency, str(row), person, allow_more=allow_more)
        entry = deposit_post(
            build=row,
            amount=amount,
            method=method,
            reference=reference,
            received_on=received_on or shop_today(),
            person=person,
            key=key,
        )
        held_applied(build=row, person=person, key=key)
        build_event(
            build=row, person=person, verb="payment taken", after=f"{amount} {currency}, {owed - amount} left to pay"
        )
    return DepositTaken(entry, row, created=True)


def invoice_pay(
    *,
    invoice: LedgerEntry,
    amount: Decimal,
    method: str,
    person: User,
    key: str,
    reference: str = "",
    received_on: date | None = None,
    allow_more: bool = False,
) -> LedgerEntry:
    """Take a payment on an invoice. What is over, where that is allowed, is held for the customer as a deposit.

    Safe to repeat with the same `key`.
    """
    with line_lock():
        taken = made_with(key, kind=EntryKind.PAYMENT, concerns_id=invoice.pk, method=method)
        if taken is not None:
            return _same_amount(taken, amount)
        row = LedgerEntry.objects.select_related("build__customer", "build__version__quote", "customer").get(
            pk=invoice.pk, kind__in=[EntryKind.INVOICE, EntryKind.STORAGE]
        )
        currency = the_shop().currency
        owed = round_money(invoice_owed(row), currency)
        if owed <= 0:
            raise Refused(f"{row.document} is paid.")
        _more_guard(amount, owed, currency, str(row.document), person, allow_more=allow_more)
        received_on = received_on or shop_today()
        received_guard(method, received_on)
        build = row.build
        assert build is not None  # noqa: S101 - an invoice has one; for the type checker
        ahead = _over_ahead(build, amount - owed, received_on)
        entry = entry_post(
            kind=EntryKind.PAYMENT,
            build=build,
            day=received_on,
            moves=[
                Move(debit=method, credit=Account.RECEIVABLE, amount=min(amount, owed)),
                Move(debit=method, credit=Account.DEPOSITS, amount=max(amount - owed, NONE)),
            ],
            person=person,
            key=key,
            method=method,
            reference=reference,
            concerns=row,
            ahead=ahead,
        )
        receipt_facts_keep(entry=entry, taxed=ahead.taxed)
        held_applied(build=build, person=person, key=key)
        build_event(
            build=build,
            person=person,
            verb="payment taken",
            after=f"{amount} {currency} on {row.document}, {max(owed - amount, NONE)} left to pay",
        )
    return entry


def _more_guard(amount: Decimal, owed: Decimal, currency: str, what: str, person: User, *, allow_more: bool) -> None:
    """Refuse what is no amount; and what is over, unless that is meant."""
    if amount.is_finite() and amount > owed and not allow_more:
        raise Refused(f"{amount} is more than the {owed} that {what} still asks. Say so if more came in.", "amount")
    most = max(owed, amount) if amount.is_finite() else owed
    amount_guard(amount, currency=currency, due=most, asked=NONE, person=person, allow_less=False)


def _over_ahead(build: Build, over: Decimal, day: date) -> AheadMove:
    """Beyond an invoice for storage it goes towards the build, as a deposit does."""
    if over <= 0 or not build.is_open or build_money([build])[build.pk].invoiced:
        return NOTHING
    return payment_ahead(build, over, day)


def _same_amount(entry: LedgerEntry, amount: Decimal) -> LedgerEntry:
    if entry.moved != amount:
        raise used_already(entry)
    return entry
