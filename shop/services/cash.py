"""Money in. A deposit accepts the version, makes the build, reserves stock and gives the place, all or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting.codec import from_json
from quoting.price import round_money
from quoting.request import Option, QuoteRequest
from quoting.result import PriceSheet, QuoteResult
from shop.models import Account, Build, EntryKind, LedgerEntry, Quote, QuoteVersion, VersionState
from shop.permissions import OWNER, roles_of
from shop.selectors.deposits import promise_now
from shop.selectors.odds import simulated
from shop.selectors.shop import shop_now, shop_today
from shop.services.builds_make import build_make, promise_write
from shop.services.documents import receipt_facts_keep
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.ledger import Move, entry_post, received_guard, used_already
from shop.services.line_lock import line_lock
from shop.services.stock import stock_allot
from shop.services.tax_ahead import payment_ahead


@dataclass(frozen=True)
class DepositTaken:
    """What came of it; `created` False when the same press had already been taken."""

    entry: LedgerEntry
    build: Build
    created: bool


def deposit_take(
    *,
    version: QuoteVersion,
    option_key: str,
    amount: Decimal,
    method: str,
    person: User,
    key: str,
    reference: str = "",
    received_on: date | None = None,
    allow_less: bool = False,
) -> DepositTaken:
    """Take a deposit for an offered version.

    The form's own `key` makes a repeat harmless: the same press again returns the first result. `allow_less` lets an
    owner, nobody else, take less than the policy asks. The promise is worked out afresh: others may have joined the
    line since the offer. Raises Refused with the remedy when the version is not open to accept, the amount does not
    fit, or there is no date to promise; ValidationError by field for what can't be stored.
    """
    with line_lock() as lock:
        taken = _taken_before(key, version, option_key, amount, method)
        if taken is not None:
            return taken
        Quote.objects.select_for_update().get(pk=version.quote_id)  # as an offer does: a newer one may be on its way
        version = QuoteVersion.objects.select_for_update().get(pk=version.pk)
        _guard_open(version)
        request = from_json(QuoteRequest, version.request)
        option, price = _chosen(version, request, option_key)
        amount_guard(
            amount, currency=price.currency, due=price.due, asked=price.deposit, person=person, allow_less=allow_less
        )
        now = shop_now()
        promise = promise_now(request, option, now, simulated(), lock.revision - 1)
        build = build_make(version=version, request=request, option=option, price=price, lock=lock, now=now)
        promise_write(build=build, promise=promise, person=person, lock=lock)
        version.state, version.accepted_option = VersionState.ACCEPTED, option_key
        version.save(update_fields=["state", "accepted_option"])
        entry = deposit_post(
            build=build,
            amount=amount,
            method=method,
            reference=reference,
            received_on=received_on or shop_today(),
            person=person,
            key=key,
        )
        stock_allot(person=person)
        event_write(
            person=person,
            verb="deposit taken",
            subject=build.number,
            quote=version.quote,
            build=build,
            after=f"{amount} {price.currency}, place {build.place}, {build.promised_from} to {build.promised_to}",
        )
    return DepositTaken(entry, build, created=True)


def _taken_before(
    key: str, version: QuoteVersion, option_key: str, amount: Decimal, method: str
) -> DepositTaken | None:
    """What an earlier press with the same key took. Refused when that was something else."""
    entry = LedgerEntry.objects.filter(key=key).select_related("build").first()
    if entry is None:
        return None
    build = entry.build
    if build is not None and entry.kind == EntryKind.DEPOSIT:
        asked = (version.pk, option_key, method, amount)
        if (build.version_id, build.option_key, entry.method, entry.moved) == asked:
            return DepositTaken(entry, build, created=False)
    raise used_already(entry)


def _guard_open(version: QuoteVersion) -> None:
    if version.state == VersionState.ACCEPTED:
        raise Refused(f"{version} was accepted already: build {version.build.number}. Its deposit is in the cash book.")
    if version.state == VersionState.OFFERED and hasattr(version, "change"):
        raise Refused(f"{version} is change order {version.change}. Accept it at its own page.")
    if version.state != VersionState.OFFERED:
        raise Refused(f"{version} is {version.get_state_display().lower()}. Offer a version first.")
    if version.valid_until is not None and version.valid_until < shop_today():
        raise Refused(f"{version} was valid until {version.valid_until}. Revise it, so that prices are fresh.")


def _chosen(version: QuoteVersion, request: QuoteRequest, option_key: str) -> tuple[Option, PriceSheet]:
    result = from_json(QuoteResult, version.result)
    for option, worked in zip(request.options, result.options, strict=True):
        if option.key == option_key:
            return option, worked.price
    keys = ", ".join(option.key for option in request.options)
    raise Refused(f"There is no option {option_key}. Choose one of {keys}.", "option_key")


def amount_guard(
    amount: Decimal, *, currency: str, due: Decimal, asked: Decimal, person: User, allow_less: bool
) -> None:
    """Refuse what can't be taken as a deposit towards `due` when the policy asks for `asked`."""
    if not amount.is_finite() or amount != round_money(amount, currency):
        raise Refused(f"{amount} has more decimals than {currency} has.", "amount")
    if amount <= 0:
        raise Refused("The amount must be more than zero.", "amount")
    if amount > due:
        raise Refused(f"{amount} is more than the whole price of {due}. Take at most that.", "amount")
    if amount < asked and not (allow_less and OWNER in roles_of(person)):
        raise Refused(f"The shop asks {asked} to give a place. The owner may take less.", "amount")


def deposit_post(
    *, build: Build, amount: Decimal, method: str, reference: str, received_on: date, person: User, key: str
) -> LedgerEntry:
    """Write a deposit with its receipt number into the cash book, taxed where the place taxes at payment. Call it under
    the line's lock.
    """
    received_guard(method, received_on)
    ahead = payment_ahead(build, amount, received_on)
    entry = entry_post(
        kind=EntryKind.DEPOSIT,
        build=build,
        day=received_on,
        moves=[Move(debit=method, credit=Account.DEPOSITS, amount=amount)],
        person=person,
        key=key,
        method=method,
        reference=reference,
        ahead=ahead,
    )
    receipt_facts_keep(entry=entry, taxed=ahead.taxed)
    return entry
