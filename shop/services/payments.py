"""Money in after the deposit: a deposit for parts, a part of the balance, the balance."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.price import round_money
from shop.models import Build, EntryKind, LedgerEntry
from shop.selectors.cash import agreed_price, build_money
from shop.selectors.shop import shop_today
from shop.services.builds import open_build
from shop.services.cash import DepositTaken, amount_guard, deposit_post
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import NONE


def deposit_add(
    *,
    build: Build,
    amount: Decimal,
    method: str,
    person: User,
    key: str,
    reference: str = "",
    received_on: date | None = None,
) -> DepositTaken:
    """Take more money towards an open build, at most what it still owes. Held as a deposit until it is invoiced.

    Place, parts and promise stay as they are. Safe to repeat with the same `key`.
    """
    with line_lock():
        taken = _taken_before(key, build, amount, method)
        if taken is not None:
            return taken
        row = open_build(build)
        currency = agreed_price(row).currency
        owed = round_money(build_money([row])[row.pk].owed, currency)
        if owed <= 0:
            raise Refused(f"{row} is paid in full.")
        if amount > owed:
            raise Refused(f"{amount} is more than the {owed} that {row} still owes. Take at most that.", "amount")
        amount_guard(amount, currency=currency, due=owed, asked=NONE, person=person, allow_less=False)
        entry = deposit_post(
            build=row,
            amount=amount,
            method=method,
            reference=reference,
            received_on=received_on or shop_today(),
            person=person,
            key=key,
        )
        event_write(
            person=person,
            verb="payment taken",
            subject=row.number,
            quote=row.version.quote,
            build=row,
            after=f"{amount} {currency}, {owed - amount} left to pay",
        )
    return DepositTaken(entry, row, created=True)


def _taken_before(key: str, build: Build, amount: Decimal, method: str) -> DepositTaken | None:
    entry = LedgerEntry.objects.filter(key=key).first()
    if entry is None:
        return None
    same = (entry.kind, entry.build_id, entry.method) == (EntryKind.DEPOSIT, build.pk, method)
    if same and entry.postings.get().amount == amount:
        return DepositTaken(entry, build, created=False)
    raise Refused(
        f"This form was used already for entry {entry.number} of the cash book. Look there before taking it again."
    )
