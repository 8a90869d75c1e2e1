"""What must hold of the cash book whatever was done, worked out here from the bare rows."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from quoting.price import tax_of
from shop.models import Build, Customer, DocumentFacts, EntryTax, LedgerEntry, Method, Posting
from shop.selectors import exports
from shop.selectors.build_money import build_money
from shop.selectors.cash import cash_rows
from shop.selectors.document_facts import receipt_facts
from shop.selectors.liability import liability
from shop.selectors.money_facts import CreditFacts, InvoiceFacts, RefundFacts, kept_facts
from shop.selectors.shop import shop_today
from shop.selectors.statements import build_statement, customer_statement

NONE = Decimal(0)
LEAST, MOST = Decimal("0.05"), Decimal("0.6")  # combined, of any place at any time in the random sequences
SLACK = Decimal("0.1")  # each payment's tax is rounded by itself when the rates change in between
Sums = dict[Any, Decimal]


def all_hold(drawer: Mapping[str, Decimal]) -> None:
    """After every step. `drawer` what was put into each account of money, less what was taken out."""
    entries = list(LedgerEntry.objects.order_by("number"))
    postings = list(Posting.objects.order_by("pk").values_list("entry_id", "debit", "credit", "amount"))
    assert {row[0] for row in postings} == {entry.pk for entry in entries}, "an entry moves something"
    assert all(amount > 0 and debit != credit for _, debit, credit, amount in postings), "each posting balances"
    numbers_have_no_gap(entries)
    accounts = accounts_of(postings)
    assert sum(accounts.values(), NONE) == 0
    money = {name: accounts[name] for name in Method.values if accounts[name]}
    assert money == drawer, "the drawer holds what was put in, less what was taken out"
    by_entry = {entry.pk: entry for entry in entries}
    held, owed = held_and_owed(postings, by_entry)
    assert all(amount >= 0 for amount in held.values()), "deposits held for a build never go below zero"
    assert all(amount >= 0 for amount in owed.values()), "no invoice is paid more than it asks"
    open_builds = {by_entry[invoice].build_id for invoice, amount in owed.items() if amount}
    assert not any(held[build] for build in open_builds), "nobody owes what is held for them"
    builds = list(Build.objects.all())
    shown = build_money(builds)
    for build in builds:
        assert shown[build.pk].held == held[build.pk]
        if shown[build.pk].invoiced:
            assert shown[build.pk].owed == sum((owed[e] for e in owed if by_entry[e].build_id == build.pk), NONE)
    places = sorted(build.place for build in builds if build.place is not None)
    assert places == list(range(1, len(places) + 1))


def end_holds() -> None:
    """At the end of a run: pages and papers say what the rows say."""
    today = shop_today()
    entries = {entry.pk: entry for entry in LedgerEntry.objects.select_related("concerns")}
    postings = list(Posting.objects.order_by("pk").values_list("entry_id", "debit", "credit", "amount"))
    accounts, (held, owed) = accounts_of(postings), held_and_owed(postings, entries)
    assert liability(today).total == -accounts["deposits"] == sum(held.values(), NONE)
    for balance in cash_rows(today.replace(month=1, day=1), today).balances:
        assert abs(balance.after) == abs(accounts[balance.account]), balance.account
    assert sum(EntryTax.objects.values_list("amount", flat=True), NONE) == -accounts["tax"]
    assert sum(EntryTax.objects.filter(ahead=True).values_list("amount", flat=True), NONE) == accounts["tax_ahead"]
    tax_ahead_fits_what_is_held(entries, postings, held)
    assert exports.tax(date.min, today).total == -accounts["tax"]
    assert sum((Decimal(str(row[-1])) for row in exports.deposits(today).rows()), NONE) == accounts["tax_ahead"]
    for customer in Customer.objects.all():
        statement = customer_statement(customer)
        mine = {entry.pk for entry in entries.values() if entry.customer_id == customer.pk}
        assert statement.owed == sum((amount for entry, amount in owed.items() if entry in mine), NONE)
        balances = [row.balance for row in statement.rows]
        assert (balances[-1] if balances else NONE) == statement.balance
        assert statement.charged - statement.paid == statement.balance
    for build in Build.objects.select_related("customer"):
        assert build_statement(build).held == held[build.pk]
    papers_say_what_the_book_says(entries, postings)


def tax_ahead_fits_what_is_held(
    entries: Mapping[int, LedgerEntry], postings: list[tuple[int, str, str, Decimal]], held: Sums
) -> None:
    """By build, what is charged ahead lies between the lowest and the highest rates there were, on no more than is
    held; by authority it is never below zero.
    """
    tax: Sums = defaultdict(Decimal)
    gross: Sums = defaultdict(Decimal)
    by_authority: Sums = defaultdict(Decimal)
    for pk, debit, credit, amount in postings:
        tax[entries[pk].build_id] += amount * ((debit == "tax_ahead") - (credit == "tax_ahead"))
    for entry in entries.values():
        gross[entry.build_id] += entry.taxed_ahead
    for row in EntryTax.objects.filter(ahead=True):
        by_authority[entries[row.entry_id].build_id, row.authority] += row.amount
    assert all(amount >= 0 for amount in by_authority.values())
    for build, amount in gross.items():
        assert 0 <= amount <= held[build]
        assert amount * LEAST / (1 + LEAST) - SLACK <= tax[build] <= amount * MOST / (1 + MOST) + SLACK


def papers_say_what_the_book_says(
    entries: Mapping[int, LedgerEntry], postings: list[tuple[int, str, str, Decimal]]
) -> None:
    with_facts = set(DocumentFacts.objects.filter(entry__isnull=False).values_list("entry_id", flat=True))
    for pk, entry in entries.items():
        mine = [row for row in postings if row[0] == pk]
        assert (pk in with_facts) == bool(entry.receipt or entry.document), entry
        if entry.kind in ("invoice", "storage"):
            facts = kept_facts(entry, InvoiceFacts)
            assert facts.sheet.due == moved(mine, "receivable")
            assert facts.sheet.total == facts.sheet.net + (facts.sheet.tax_total or NONE)
            assert sum((share.total for share in facts.shares), NONE) == facts.sheet.total
            assert facts.tax_now == -moved(mine, "tax")
            assert tax_of(facts.tax_ahead) == -moved(mine, "tax_ahead")
            assert all(each.net >= 0 and min(each.taxes, default=NONE) >= 0 for each in facts.shares)
        elif entry.kind in ("deposit", "payment"):
            taxed = receipt_facts(entry).taxed
            assert (taxed.ahead.gross if taxed else NONE) == entry.taxed_ahead
            assert (taxed.ahead.tax if taxed else NONE) == moved(mine, "tax_ahead") == -moved(mine, "tax")
        elif entry.kind == "credit_note":
            note = kept_facts(entry, CreditFacts)
            assert note.net + note.tax == moved(mine, "sales") + moved(mine, "storage") + moved(mine, "tax")
            assert note.allowance == -moved(mine, "trade_in")
            assert note.to_customer == -moved(mine, "deposits")
        elif entry.kind in ("refund", "kept"):
            back = kept_facts(entry, RefundFacts)
            assert back.refunded + back.kept == moved(mine, "deposits")
            assert back.kept - tax_of(back.taxes_kept) == -moved(mine, "kept")
            assert tax_of(back.taxes) == moved(mine, "tax")


def numbers_have_no_gap(entries: list[LedgerEntry]) -> None:
    """Entries, receipts, invoices and credit notes count from 1 without a gap, in the order of the book."""
    assert [entry.number for entry in entries] == list(range(1, len(entries) + 1))
    found = defaultdict(list)
    for entry in entries:
        for number in filter(None, (entry.receipt, entry.document)):
            prefix, _, count = number.partition("-")
            found[prefix].append(int(count))
    for prefix, counts in found.items():
        assert counts == list(range(1, len(counts) + 1)), prefix


def accounts_of(postings: list[tuple[int, str, str, Decimal]]) -> Sums:
    """Debits less credits."""
    sums: Sums = defaultdict(Decimal)
    for _, debit, credit, amount in postings:
        sums[debit] += amount
        sums[credit] -= amount
    return sums


def held_and_owed(
    postings: list[tuple[int, str, str, Decimal]], entries: Mapping[int, LedgerEntry]
) -> tuple[Sums, Sums]:
    """Deposits by build, receivables by invoice."""
    held: Sums = defaultdict(Decimal)
    owed: Sums = defaultdict(Decimal)
    for pk, debit, credit, amount in postings:
        entry = entries[pk]
        for account, sign in ((debit, 1), (credit, -1)):
            if account == "deposits":
                held[entry.build_id] -= sign * amount
            elif account == "receivable":
                own = entry.kind in ("invoice", "storage")
                owed[pk if own else entry.concerns_id] += sign * amount
    return held, owed


def moved(postings: list[tuple[int, str, str, Decimal]], account: str) -> Decimal:
    """What an account got less what it gave."""
    return sum((row[3] * ((row[1] == account) - (row[2] == account)) for row in postings), NONE)
