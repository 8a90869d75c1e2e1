"""A change order accepted: what is agreed, the steps, the parts and the promise of a running build, all or nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User
from django.utils import timezone

from quoting import QuoteRequest, QuoteResult, from_json
from quoting.price import round_money
from quoting.result import PriceSheet, Promise
from shop.models import AgreedHow, Build, ChangeOrder, LedgerEntry, PromiseEntry, Quote, VersionState
from shop.permissions import OWNER, roles_of
from shop.selectors.odds import simulated
from shop.selectors.running import refusals_of
from shop.selectors.shop import shop_today
from shop.selectors.standing import new_window, standing_promise
from shop.services.builds import build_promise_change
from shop.services.cash import amount_guard, deposit_post
from shop.services.change_apply import needs_follow, steps_follow
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.stock import stock_allot

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Agreement:
    """Who agreed to a change: the customer by name, how and when; somebody else who pays, if anybody."""

    by: str
    how: str
    on: date
    other_payer: str = ""


@dataclass(frozen=True, kw_only=True)
class FurtherDeposit:
    """Money taken with the agreement; `key` makes a repeated press harmless."""

    amount: Decimal
    method: str
    key: str
    reference: str = ""


@dataclass(frozen=True, kw_only=True)
class ChangeAccepted:
    """What came of it. `promise` None when the window stays; `entry` None when no deposit was taken."""

    change: ChangeOrder
    build: Build
    promise: PromiseEntry | None = None
    entry: LedgerEntry | None = None


def change_accept(
    *,
    change: ChangeOrder,
    agreement: Agreement,
    person: User,
    deposit: FurtherDeposit | None = None,
    allow_less: bool = False,
) -> ChangeAccepted:
    """The customer agrees and so does the shop, by `person`: the build follows the new version.

    Steps that have begun and parts at the bench stay; parts that are off free what was kept for them, new ones are kept
    or to order. Safe to repeat: once accepted it stays so. `allow_less` lets an owner take less than the deposit asked.
    Raises Refused with the remedy when it is not open to accept or the build cannot be changed so.
    """
    with line_lock():
        Quote.objects.select_for_update().get(pk=change.version.quote_id)
        row = ChangeOrder.objects.select_related(
            "build__customer", "build__version__quote", "base", "version__quote"
        ).get(pk=change.pk)
        if row.accepted_at is not None:
            return ChangeAccepted(change=row, build=row.build)
        _guard_open(row, agreement)
        request = from_json(QuoteRequest, row.version.request)
        result = from_json(QuoteResult, row.version.result).options[0]
        found = refusals_of(row, request.options[0])
        if found:
            raise Refused(" ".join(found))
        build = _agreed_anew(row, result.price, request.options[0].key)
        _keep_agreement(row, agreement, person)
        steps_follow(build=build, steps=request.options[0].steps, policies=request.policies)
        needs_follow(build=build, option=request.options[0])
        stock_allot(person=person, reason=f"Change order {row}")
        promise = _promise(row, result.promise, person)
        entry = _deposit(row, result.price, deposit, person, allow_less=allow_less)
        event_write(
            person=person,
            verb="change order accepted",
            subject=build.number,
            quote=row.version.quote,
            build=build,
            before=str(row.base),
            after=f"{row}, {row.version}",  # without its price: builders read the log
            reason=row.reason,
        )
    return ChangeAccepted(change=row, build=Build.objects.get(pk=build.pk), promise=promise, entry=entry)


def _guard_open(change: ChangeOrder, agreement: Agreement) -> None:
    version = change.version
    if version.state != VersionState.OFFERED:
        raise Refused(f"{change} is {version.get_state_display().lower()}. Offer it at the Counter first.")
    if version.valid_until is not None and version.valid_until < shop_today():
        raise Refused(f"{change} was valid until {version.valid_until}. Begin a new one, so that prices are fresh.")
    if not agreement.by.strip():
        raise Refused("Enter who agreed for the customer.", "agreed_by")
    if agreement.how not in AgreedHow.values:
        raise Refused(f"Choose how it was agreed: {', '.join(AgreedHow.labels)}.", "agreed_how")
    if agreement.on > shop_today():
        raise Refused("The day it was agreed lies ahead. Enter today or earlier.", "agreed_on")


def _agreed_anew(change: ChangeOrder, price: PriceSheet, key: str) -> Build:
    """The version that counts. The one before is replaced first: it names its option only while it counts."""
    base, version, build = change.base, change.version, change.build
    base.state, base.accepted_option = VersionState.REPLACED, ""
    base.save(update_fields=["state", "accepted_option"])
    version.state, version.accepted_option = VersionState.ACCEPTED, key
    version.save(update_fields=["state", "accepted_option"])
    build.version, build.option_key, build.total = version, key, price.due
    build.full_clean(exclude=["version", "customer", "donor"], validate_unique=False)
    build.save(update_fields=["version", "option_key", "total"])
    return build


def _keep_agreement(change: ChangeOrder, agreement: Agreement, person: User) -> None:
    change.agreed_by, change.agreed_how, change.agreed_on = agreement.by.strip(), agreement.how, agreement.on
    change.other_payer = agreement.other_payer.strip()
    change.accepted_at, change.accepted_by = timezone.now(), person
    change.full_clean(exclude=["build", "base", "version", "started_by", "accepted_by"], validate_unique=False)
    change.save()


def _promise(change: ChangeOrder, offered: Promise | None, person: User) -> PromiseEntry | None:
    """The window that was printed, or a later one where the shop has moved on since. None when it stays."""
    build = Build.objects.get(pk=change.build_id)
    own = standing_promise(build.number, simulated())
    if own is None or own.finish_from is None or own.finish_to is None:
        blocked = own.blocked if own else ""
        raise Refused(f"There is no finish date with this change. {blocked or 'Release the build first.'}".strip())
    promised, without = (change.promised_from, change.promised_to), (change.without_from, change.without_to)
    first, last = new_window(promised, without, (offered.finish_from, offered.finish_to) if offered else (None, None))
    first = max(first or own.finish_from, own.finish_from)
    last = max(last or own.finish_to, own.finish_to, first)
    if (first, last) == (build.promised_from, build.promised_to):
        return None
    reason = f"Change order {change}: {change.reason}"[:300]
    return build_promise_change(
        build=build, finish_from=first, finish_to=last, reason=reason, person=person, agreed=own
    )


def _deposit(
    change: ChangeOrder, price: PriceSheet, deposit: FurtherDeposit | None, person: User, *, allow_less: bool
) -> LedgerEntry | None:
    """Take the further deposit. Refused when less is given than was asked, unless the owner says so."""
    asked = round_money(change.deposit or NONE, price.currency)
    if deposit is None or not deposit.amount:
        if asked and not (allow_less and OWNER in roles_of(person)):
            raise Refused(f"A further deposit of {asked} is asked. The owner may go without.", "amount")
        return None
    amount_guard(
        deposit.amount, currency=price.currency, due=price.due, asked=asked, person=person, allow_less=allow_less
    )
    return deposit_post(
        build=Build.objects.select_related("customer", "version__quote").get(pk=change.build_id),
        amount=deposit.amount,
        method=deposit.method,
        reference=deposit.reference,
        received_on=shop_today(),
        person=person,
        key=deposit.key,
    )
