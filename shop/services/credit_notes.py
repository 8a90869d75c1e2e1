"""Credit notes and write-offs: what an invoice asks less, and what is given up of it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from django.contrib.auth.models import User

from quoting import to_json
from quoting.price import LineShare, round_money, split
from quoting.result import PriceSheet, TaxShare
from shop.models import Account, Build, DocumentFacts, EntryKind, LedgerEntry
from shop.selectors.document_facts import addressee_of, letterhead_of
from shop.selectors.invoices import INVOICES, CreditableLine, creditable_lines, invoice_owed
from shop.selectors.ledger_sums import written_off
from shop.selectors.money_facts import CreditFacts, CreditLine, InvoiceFacts, kept_facts
from shop.selectors.shop import shop_today, the_shop
from shop.services.errors import Refused
from shop.services.events import build_event
from shop.services.ledger import Move, entry_post, made_with
from shop.services.line_lock import line_lock
from shop.services.settling import held_applied
from shop.services.stock import NONE, reason_guard


def credit_note_make(
    *, invoice: LedgerEntry, lines: Collection[int] | None, reason: str, person: User, key: str
) -> LedgerEntry:
    """Credit lines of an invoice by their indexes; None credits all that is left of it.

    What the customer has paid already of it is held for them and may be given back. With the last line the allowance
    for the old engine is taken back too. Safe to repeat with the same `key`.
    """
    with line_lock():
        made = made_with(key, kind=EntryKind.CREDIT_NOTE, concerns_id=invoice.pk)
        if made is not None:
            return made
        row, build = _invoice(invoice)
        reason = reason_guard(reason, "Say why: the customer reads it on the credit note.")
        rows = creditable_lines(row)
        chosen = _chosen(row, rows, lines)
        facts = kept_facts(row, InvoiceFacts)
        note = _post(row, build, facts, rows, chosen, reason, person, key)
        held_applied(build=build, person=person, key=key)
        build_event(
            build=build, person=person, verb="credited", after=f"{note.document} on {row.document}", reason=reason
        )
    return note


def write_off(*, invoice: LedgerEntry, reason: str, person: User, key: str) -> LedgerEntry:
    """Give up what an invoice still asks. Safe to repeat with the same `key`."""
    with line_lock():
        made = made_with(key, kind=EntryKind.WRITE_OFF, concerns_id=invoice.pk)
        if made is not None:
            return made
        row, build = _invoice(invoice)
        reason = reason_guard(reason, "Say why it is given up.")
        owed = round_money(invoice_owed(row), the_shop().currency)
        if not owed:
            raise Refused(f"{row.document} asks nothing any more.")
        entry = entry_post(
            kind=EntryKind.WRITE_OFF,
            build=build,
            day=shop_today(),
            moves=[Move(debit=Account.WRITE_OFF, credit=Account.RECEIVABLE, amount=owed)],
            person=person,
            key=key,
            reason=reason,
            concerns=row,
        )
        build_event(build=build, person=person, verb="written off", after=f"{owed} of {row.document}", reason=reason)
    return entry


def _invoice(invoice: LedgerEntry) -> tuple[LedgerEntry, Build]:
    row = LedgerEntry.objects.select_related("build__version__quote", "build__customer").get(pk=invoice.pk)
    if row.kind not in INVOICES or row.build is None:
        raise Refused(f"Entry {row.number} is no invoice.")
    return row, row.build


def _chosen(
    invoice: LedgerEntry, rows: Sequence[CreditableLine], lines: Collection[int] | None
) -> list[CreditableLine]:
    left = [row for row in rows if not row.credited]
    if not left:
        raise Refused(f"{invoice.document} was credited whole already.")
    chosen = left if lines is None else [row for row in left if row.line in lines]
    if lines is not None and len(chosen) != len(set(lines)):
        raise Refused("One of these lines was credited already. Look at the invoice again.", "lines")
    if not chosen or sum(row.total for row in chosen) <= 0 or min(row.net for row in chosen) < 0:
        raise Refused("Choose at least one line that comes to something.", "lines")
    return chosen


def _post(
    invoice: LedgerEntry,
    build: Build,
    facts: InvoiceFacts,
    rows: Sequence[CreditableLine],
    chosen: Sequence[CreditableLine],
    reason: str,
    person: User,
    key: str,
) -> LedgerEntry:
    gone = {row.line for row in chosen}
    is_last = all(row.credited or row.line in gone for row in rows)
    net, tax = sum((row.net for row in chosen), NONE), sum((row.tax for row in chosen), NONE)
    allowance = facts.sheet.allowance if is_last else NONE
    owed = round_money(invoice_owed(invoice), facts.sheet.currency) + allowance - net - tax
    over = max(-owed, NONE)
    given_up = min(over, round_money(written_off(invoice), facts.sheet.currency))  # what was written off was never paid
    taxes = credited_taxes(facts.sheet, facts.shares, gone)
    earned = Account.SALES if invoice.kind == EntryKind.INVOICE else Account.STORAGE
    note = entry_post(
        kind=EntryKind.CREDIT_NOTE,
        build=build,
        day=shop_today(),
        moves=[
            Move(debit=Account.RECEIVABLE, credit=Account.TRADE_IN, amount=allowance),
            Move(debit=Account.RECEIVABLE, credit=Account.WRITE_OFF, amount=given_up),
            Move(debit=Account.RECEIVABLE, credit=Account.DEPOSITS, amount=over - given_up),
            Move(debit=earned, credit=Account.RECEIVABLE, amount=net),
            Move(debit=Account.TAX, credit=Account.RECEIVABLE, amount=tax),
        ],
        person=person,
        key=key,
        reason=reason,
        concerns=invoice,
        taxes=[replace(share, taxable=-share.taxable, amount=-share.amount) for share in taxes],
    )
    kept = CreditFacts(
        letterhead=letterhead_of(the_shop()),
        addressee=addressee_of(build.customer),
        currency=facts.sheet.currency,
        build=build.number,
        title=build.title,
        invoice=invoice.document or "",
        invoice_day=invoice.day,
        day=note.day,
        lines=tuple(CreditLine(line=row.line, label=row.label, net=row.net, tax=row.tax) for row in chosen),
        taxes=taxes,
        net=net,
        tax=tax,
        allowance=allowance,
        total=net + tax - allowance,
        owed=max(owed, NONE),
        to_customer=over - given_up,
        reason=reason,
    )
    DocumentFacts.objects.create(entry=note, facts=to_json(kept))
    return note


def credited_taxes(sheet: PriceSheet, shares: Sequence[LineShare], lines: Collection[int]) -> tuple[TaxShare, ...]:
    """Each authority's tax on some lines of an invoice, and what it was taken on; over all lines, the invoice's own."""
    found = []
    for column, share in enumerate(sheet.taxes):
        weights = [each.taxes[column] for each in shares]
        taxable = split(
            share.taxable, weights if any(weights) else [max(each.net, NONE) for each in shares], sheet.currency
        )
        mine = [at for at, each in enumerate(shares) if each.line in lines]
        amount = sum((shares[at].taxes[column] for at in mine), NONE)
        found.append(replace(share, taxable=sum((taxable[at] for at in mine), NONE), amount=amount))
    return tuple(found)
