"""Invoices: at hand-over what was agreed, as built, and the fee for a bike that is not fetched."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from quoting import QuoteRequest, to_json
from quoting.price import exempt_in_force, line_shares, negated, round_money, without_costs
from quoting.result import PriceSheet
from shop.models import Account, Build, BuildState, DocumentFacts, EntryKind, Job, LedgerEntry
from shop.selectors.document_facts import addressee_of, letterhead_of
from shop.selectors.invoices import InvoiceDraft, invoice_draft, paid_rows, storage_draft
from shop.selectors.ledger_sums import account_held
from shop.selectors.money_facts import InvoiceFacts, PaidRow
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.storage import storage_due
from shop.services.errors import Refused
from shop.services.events import build_event, event_write
from shop.services.ledger import Move, entry_post, made_with
from shop.services.line_lock import line_lock
from shop.services.stock import NONE
from shop.services.tax_ahead import NOTHING, invoiced_ahead, lowered_ahead


def invoice_make(*, build: Build, person: User, key: str, shown: Decimal | None = None) -> LedgerEntry:
    """Invoice a build that is ready: as agreed, taxed by today's rates, deposits taken off.

    `shown` is the price that was on the screen: refused when it is another by now. Safe to repeat with the same `key`.
    """
    with line_lock():
        made = made_with(key, kind=EntryKind.INVOICE, build_id=build.pk)
        if made is not None:
            return made
        row = _locked(build)
        draft = invoice_draft(row)
        if draft.barred:
            raise Refused(draft.barred)
        if shown is not None and shown != draft.sheet.due:
            raise Refused(f"It comes to {draft.sheet.due} by now, not {shown}. Look at it again.")
        invoice = _post(
            EntryKind.INVOICE,
            row,
            draft.request,
            draft.sheet,
            person,
            key,
            changes=_changes(draft),
            held=draft.deposits,
            taxed_with=tuple(row.receipt for row in draft.taxed),
        )
        build_event(
            build=row,
            person=person,
            verb="invoiced",
            after=f"{invoice.document}: {draft.sheet.due} {draft.sheet.currency}, {draft.balance} to pay",
        )
    return invoice


def storage_charge(*, build: Build, person: User, key: str, shown: Decimal | None = None) -> LedgerEntry:
    """Invoice the days a ready bike has stood beyond those that are free. Safe to repeat with the same `key`."""
    with line_lock():
        made = made_with(key, kind=EntryKind.STORAGE, build_id=build.pk)
        if made is not None:
            return made
        row = _locked(build)
        due = storage_due(row)
        if due is None or not due.days:
            raise Refused(f"{row} owes no storage. Days count from the day the customer was told that it is ready.")
        request, sheet = storage_draft(row, due.days, due.fee, day=shop_today())
        if sheet.tax_total is None:
            raise Refused(f"The tax on a fee is not known: {', '.join(sheet.missing)}. Enter it in the settings first.")
        if shown is not None and shown != sheet.due:
            raise Refused(f"It comes to {sheet.due} by now, not {shown}. Look at it again.")
        invoice = _post(EntryKind.STORAGE, row, request, sheet, person, key, stored_days=due.days)
        build_event(
            build=row,
            person=person,
            verb="invoiced",
            after=f"{invoice.document}: {sheet.due} {sheet.currency}, {due.days} days",
        )
    return invoice


def build_tell_ready(*, build: Build, told_on: date, person: User) -> Build:
    """Note the day the customer was told that the bike is ready: from then on storage counts. Safe to repeat."""
    with line_lock():
        row = _locked(build)
        if row.state != BuildState.READY:
            raise Refused(f"{row} is {row.get_state_display().lower()}. Tell the customer when it is ready.")
        if told_on > shop_today():
            raise Refused("The day lies ahead. Enter today or earlier.", "told_on")
        if row.told_ready_on == told_on:
            return row
        before, row.told_ready_on = row.told_ready_on, told_on
        row.save(update_fields=["told_ready_on"])
        event_write(
            person=person,
            verb="told it is ready",
            subject=row.number,
            build=row,
            before=str(before or ""),
            after=str(told_on),
        )
    return row


def _post(
    kind: EntryKind,
    build: Build,
    request: QuoteRequest,
    sheet: PriceSheet,
    person: User,
    key: str,
    *,
    held: Sequence[PaidRow] = (),
    changes: tuple[str, ...] = (),
    stored_days: int = 0,
    taxed_with: tuple[str, ...] = (),
) -> LedgerEntry:
    """The invoice, what is held applied to it, and what its document says."""
    day, before = shop_today(), round_money(account_held(build), sheet.currency)
    earned = Account.SALES if kind == EntryKind.INVOICE else Account.STORAGE
    ahead = invoiced_ahead(build) if kind == EntryKind.INVOICE else NOTHING
    invoice = entry_post(
        kind=kind,
        build=build,
        day=day,
        moves=[
            Move(debit=Account.RECEIVABLE, credit=earned, amount=sheet.net),
            Move(debit=Account.RECEIVABLE, credit=Account.TAX, amount=sheet.tax_total or NONE),
            Move(debit=Account.TRADE_IN, credit=Account.RECEIVABLE, amount=sheet.allowance),
        ],
        person=person,
        key=key,
        taxes=sheet.taxes,
        ahead=ahead,
    )
    applied = min(before, sheet.due)
    deposit_apply(invoice=invoice, build=build, amount=applied, day=day, person=person, key=f"{key}:applied")
    is_exempt = exempt_in_force(request.policies, request.tax_place)
    facts = InvoiceFacts(
        letterhead=letterhead_of(the_shop()),
        addressee=addressee_of(build.customer),
        build=build.number,
        title=build.title,
        quote=str(build.version),
        bike=str(build.donor or ""),
        vin=build.donor.vin if build.donor else "",
        day=day,
        sheet=without_costs(sheet),
        shares=line_shares(request, sheet),
        deposits=tuple(held) or paid_rows(build),
        applied=applied,
        balance=sheet.due - applied,
        left_over=before - applied,
        exempt_certificate=request.policies.exempt_certificate if is_exempt else "",
        exempt_kind=request.policies.exempt_kind if is_exempt else "",
        changes=changes,
        stored_days=stored_days,
        is_kit=build.job == Job.PARTS_KIT,
        tax_ahead=negated(ahead.shares),
        taxed_with=taxed_with if ahead.shares else (),
    )
    DocumentFacts.objects.create(entry=invoice, facts=to_json(facts))
    return invoice


def deposit_apply(
    *, invoice: LedgerEntry, build: Build, amount: Decimal, day: date, person: User, key: str
) -> LedgerEntry | None:
    """Take what is held for a build off one of its invoices. Call it under the line's lock. None for nothing.

    What was taxed of it towards the build goes with it: the invoice, one for storage, has charged its own tax.
    """
    if not amount:
        return None
    return entry_post(
        kind=EntryKind.APPLIED,
        build=build,
        day=day,
        moves=[Move(debit=Account.DEPOSITS, credit=Account.RECEIVABLE, amount=amount)],
        person=person,
        key=key,
        concerns=invoice,
        ahead=lowered_ahead(build, back=amount),
    )


def _changes(draft: InvoiceDraft) -> tuple[str, ...]:
    """Why the price is not the one agreed, as the invoice prints it."""
    if not draft.has_changed:
        return ()
    was, now, currency = draft.agreed.price, draft.sheet, draft.sheet.currency
    said = f"Agreed were {was.due} {currency}; it comes to {now.due}."
    if was.due == now.due:
        said = f"The price stays as agreed; the tax in it is {now.tax_total} {currency}, not {was.tax_total}."
    return (*draft.difference.notes, said)


def _locked(build: Build) -> Build:
    return Build.objects.select_related("version__quote", "customer", "donor__family").get(pk=build.pk)
