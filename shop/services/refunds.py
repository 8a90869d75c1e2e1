"""Money back: a build that is cancelled, and what was paid too much."""

from __future__ import annotations

from decimal import Decimal

from django.contrib.auth.models import User

from quoting import to_json
from quoting.price import minus, negated, round_money
from shop.models import Account, Build, DocumentFacts, EntryKind, LedgerEntry, StepState
from shop.permissions import OWNER, roles_of
from shop.selectors.build_money import build_money
from shop.selectors.document_facts import addressee_of, letterhead_of
from shop.selectors.ledger_sums import account_held, uncleared
from shop.selectors.money_facts import RefundFacts
from shop.selectors.settlement import settlement_of
from shop.selectors.shop import shop_today, the_shop
from shop.services.builds import build_leave, open_build
from shop.services.cash_reverse import acceptance_undone
from shop.services.errors import Refused
from shop.services.events import build_event
from shop.services.ledger import Move, entry_post, made_with, received_guard
from shop.services.line_lock import line_lock
from shop.services.stock import NONE, reason_guard
from shop.services.tax_ahead import lowered_ahead


def build_cancel(
    *,
    build: Build,
    reason: str,
    method: str,
    person: User,
    key: str,
    shown: Decimal | None = None,
    reference: str = "",
    kept: Decimal | None = None,
) -> LedgerEntry | None:
    """Cancel an open build: the terms say what is kept, the rest goes back, its parts and place go to those behind.

    `shown` is the refund that was on the screen: refused when it is another by now. An owner may keep another sum than
    the terms say with `kept`. Returns the entry that settles it; None when nothing was held. Safe to repeat.
    """
    with line_lock():
        made = made_with(key, build_id=build.pk)
        if made is not None:
            return made
        row = open_build(build)
        reason = reason_guard(reason, "Say why: the customer and the log are told.")
        _cancel_guard(row)
        settled = settlement_of(row)
        keeps = _kept_guard(kept, settled.kept, settled.held, settled.currency, person)
        back = settled.held - keeps
        if shown is not None and kept is None and shown != settled.refunded:
            raise Refused(f"The refund is {settled.refunded} by now, not {shown}. Look at it again.")
        _cleared_guard(back, settled.held - settled.uncleared, person)
        entry = None
        if settled.held:
            why = settled.why if kept is None else ("Set by the owner.",)
            entry = _post(row, back, keeps, method, reference, reason, person, key, why=why, cancelled=True)
        build_leave(row, person=person, reason=reason)
        acceptance_undone(row)
        after = f"{back} {settled.currency} given back, {keeps} kept"
        build_event(build=row, person=person, verb="deposit settled", after=after, reason=reason)
    return entry


def refund_make(
    *, build: Build, amount: Decimal, method: str, reason: str, person: User, key: str, reference: str = ""
) -> LedgerEntry:
    """Give back what was paid too much, or a part of it. Safe to repeat with the same `key`."""
    with line_lock():
        made = made_with(key, kind=EntryKind.REFUND, build_id=build.pk)
        if made is not None:
            return made
        row = Build.objects.select_related("version__quote", "customer").get(pk=build.pk)
        reason = reason_guard(reason, "Say why: the customer reads it on the receipt.")
        currency = the_shop().currency
        most = round_money(build_money([row])[row.pk].overpaid, currency)
        if not amount.is_finite() or amount != round_money(amount, currency) or amount <= 0:
            raise Refused(f"Enter an amount above zero, in {currency}.", "amount")
        if amount > most:
            raise Refused(f"{most} was paid more than is asked. Give back at most that.", "amount")
        _cleared_guard(amount, round_money(account_held(row) - uncleared(row), currency), person)
        entry = _post(row, amount, NONE, method, reference, reason, person, key, why=(), cancelled=False)
        build_event(
            build=row,
            person=person,
            verb="refunded",
            after=f"{amount} {currency}, receipt {entry.receipt}",
            reason=reason,
        )
    return entry


def _cancel_guard(build: Build) -> None:
    if build_money([build])[build.pk].invoiced:
        raise Refused(f"{build} is invoiced. Credit the invoice first.")
    under_way = build.steps.filter(state=StepState.DOING).first()
    if under_way is not None:
        raise Refused(f"{under_way.label} is under way. Finish or pause it first, so that its hours count.")


def _kept_guard(kept: Decimal | None, terms: Decimal, held: Decimal, currency: str, person: User) -> Decimal:
    if kept is None or kept == terms:
        return terms
    if OWNER not in roles_of(person):
        raise Refused(f"The terms keep {terms}. The owner may settle for another sum.", "kept")
    if not kept.is_finite() or kept != round_money(kept, currency) or not 0 <= kept <= held:
        raise Refused(f"Keep between nothing and the {held} that is held.", "kept")
    return kept


def _cleared_guard(amount: Decimal, cleared: Decimal, person: User) -> None:
    """Money that a check has not brought yet is not given back, unless the owner does it."""
    if amount > max(cleared, NONE) and OWNER not in roles_of(person):
        raise Refused(
            f"Only {max(cleared, NONE)} has cleared. Enter that the check has cleared first, or ask the owner."
        )


def _post(
    build: Build,
    back: Decimal,
    kept: Decimal,
    method: str,
    reference: str,
    reason: str,
    person: User,
    key: str,
    *,
    why: tuple[str, ...],
    cancelled: bool,
) -> LedgerEntry:
    shop = the_shop()
    day, held = shop_today(shop), round_money(account_held(build), shop.currency)
    if back:
        received_guard(method, day)
    ahead = lowered_ahead(build, back=back, kept=kept)
    entry = entry_post(
        kind=EntryKind.REFUND if back else EntryKind.KEPT,
        build=build,
        day=day,
        moves=[
            Move(debit=Account.DEPOSITS, credit=method, amount=back),
            Move(debit=Account.DEPOSITS, credit=Account.KEPT, amount=kept),
        ],
        person=person,
        key=key,
        method=method if back else "",
        reference=reference,
        reason=reason,
        ahead=ahead,
    )
    facts = RefundFacts(
        letterhead=letterhead_of(shop),
        addressee=addressee_of(build.customer),
        currency=shop.currency,
        build=build.number,
        title=build.title,
        quote=str(build.version),
        day=day,
        paid=held,
        kept=kept,
        refunded=back,
        left=held - back - kept,
        why=why,
        reason=reason,
        cancelled=cancelled,
        taxes=minus(negated(ahead.shares), ahead.kept),
        taxes_kept=ahead.kept,
    )
    DocumentFacts.objects.create(entry=entry, facts=to_json(facts))
    return entry
