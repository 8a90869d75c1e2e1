"""The books as tables: their totals are the ledger's, to the cent."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.db.models import Q, Sum
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from quoting.result import TaxShare
from shop.models import Account, Build, EntryKind, Posting
from shop.selectors.exports import Cell, Export, deposits, exports, ledger, margins, tax
from shop.services.ledger import Move, entry_post
from shop.services.line_lock import line_lock
from tests.shop.made_builds import make_build
from tests.shop.made_changes import make_running
from tests.shop.made_money import make_invoiced_kit, make_kit_build
from tests.shop.queries import queries_of

D = Decimal
START = date(2026, 1, 1)
CENTS = st.integers(1, 10**7).map(lambda cents: D(cents).scaleb(-2))
DAYS = st.integers(0, 120).map(lambda days: START + timedelta(days=days))
DEPOSIT = st.tuples(st.just("deposit"), DAYS, CENTS, st.just(()))
INVOICE = st.tuples(st.just("invoice"), DAYS, CENTS, st.lists(CENTS, min_size=1, max_size=3).map(tuple))


def rows_of(export: Export) -> list[dict[str, Cell]]:
    return [dict(zip(export.headings, row, strict=True)) for row in export.rows()]


def account_moved(account: str, first: date, last: date) -> Decimal:
    """Credits less debits of an account, straight from the postings."""
    rows = Posting.objects.filter(entry__day__gte=first, entry__day__lte=last)
    credit = rows.filter(credit=account).aggregate(s=Sum("amount"))["s"] or D(0)
    debit = rows.filter(debit=account).aggregate(s=Sum("amount"))["s"] or D(0)
    return credit - debit


def post(
    build: Build, person: User, number: int, kind: str, day: date, net: Decimal, taxes: tuple[Decimal, ...]
) -> None:
    common: dict[str, Any] = {"build": build, "day": day, "person": person, "key": f"k-{number}"}
    if kind == "deposit":
        moves = [Move(debit=Account.CASH, credit=Account.DEPOSITS, amount=net)]
        entry_post(kind=EntryKind.DEPOSIT, moves=moves, method="cash", **common)
        return
    shares = [
        TaxShare(authority=f"Authority {n}", level="state", rates=(D("0.05"),), taxable=net, amount=amount)
        for n, amount in enumerate(taxes)
    ]
    moves = [
        Move(debit=Account.RECEIVABLE, credit=Account.SALES, amount=net),
        Move(debit=Account.RECEIVABLE, credit=Account.TAX, amount=sum(taxes, D(0))),
    ]
    entry_post(kind=EntryKind.INVOICE, moves=moves, taxes=shares, **common)


class Reconciled(TestCase):
    """Whatever was entered, the tables add up to what the accounts say."""

    @settings(max_examples=25, deadline=None)
    @given(st.lists(st.one_of(DEPOSIT, INVOICE), max_size=8), DAYS, DAYS)
    def test_totals_are_those_of_the_accounts(self, entries: list[Any], one: date, other: date) -> None:
        first, last = min(one, other), max(one, other)
        person, builds = User.objects.create_user("owner"), [make_build(1), make_build(2)]
        with line_lock():
            for number, (kind, day, net, taxes) in enumerate(entries):
                post(builds[number % 2], person, number, kind, day, net, taxes)
        book, taxed, held = ledger(first, last), tax(first, last), deposits(last)
        in_book, in_tax, in_held = rows_of(book), rows_of(taxed), rows_of(held)
        assert len(in_book) == book.count
        assert len(in_tax) == taxed.count
        assert len(in_held) == held.count
        assert sum(row["amount"] for row in in_book) == book.total  # type: ignore[misc]
        assert sum(row["tax"] for row in in_tax) == taxed.total == account_moved(Account.TAX, first, last)  # type: ignore[misc]
        assert sum(row["held"] for row in in_held) == held.total == account_moved(Account.DEPOSITS, START, last)  # type: ignore[misc]
        for account in Account:
            up = sum(row["amount"] for row in in_book if row["credit"] == account.label)  # type: ignore[misc]
            down = sum(row["amount"] for row in in_book if row["debit"] == account.label)  # type: ignore[misc]
            assert up - down == account_moved(account, first, last)


def test_an_invoice_and_its_tax(shop, morning, person) -> None:
    """1450.00 with 6 + 1 % on parts: 87.00 to the state, 14.50 to the county; the deposit is applied, none is held."""
    owner = person("owner")
    invoice = make_invoiced_kit(owner)
    day = invoice.day
    rows = rows_of(tax(day, day))
    assert {(row["level"], row["taxable"], row["tax"]) for row in rows} == {
        ("state", D(1450), D("87.00")),
        ("county", D(1450), D("14.50")),
    }
    assert {row["month"] for row in rows} == {"2026-03"}
    assert deposits(day).total == 0
    assert invoice.document in {row["document"] for row in rows_of(ledger(day, day))}
    assert tax(day + timedelta(days=1), day + timedelta(days=9)).count == 0


def test_deposits_are_those_of_the_day(shop, morning, person) -> None:
    build = make_kit_build(person("owner"))
    day = date(2026, 3, 2)
    (row,) = rows_of(deposits(day + timedelta(days=10)))
    assert (row["build"], row["held"], row["first received"], row["days held"]) == (build.number, D("465.45"), day, 10)
    assert deposits(day - timedelta(days=1)).count == 0


def test_the_margin_follows_the_hours_worked(shop, morning, person) -> None:
    build = make_running(shop, person("owner"))
    step = build.steps.get(code="teardown")
    assert step.skill is not None
    rows = rows_of(margins(date(2026, 3, 1), date(2026, 3, 31)))
    assert [row["build"] for row in rows] == [build.number]
    assert rows[0]["hours worked"] == 0
    step.state, step.started_at, step.finished_at = "done", morning, morning + timedelta(hours=9)
    step.actual_h = step.quoted_h + 2
    step.save()
    (row,) = rows_of(margins(date(2026, 3, 1), date(2026, 3, 31)))
    assert row["hours worked"] == step.quoted_h + 2
    assert isinstance(row["cost agreed"], Decimal)
    assert row["cost with hours worked"] == row["cost agreed"] + 2 * step.skill.cost_rate
    assert margins(date(2026, 4, 1), date(2026, 4, 30)).count == 0


def test_queries_do_not_grow_with_the_rows(shop, morning, person) -> None:
    owner = person("owner")
    make_kit_build(owner)
    day = date(2026, 3, 2)

    def read() -> None:
        for each in exports(day, day):
            list(each.rows())

    few = queries_of(read)
    for number in range(2, 5):
        make_kit_build(owner, f"Q-{number}")
    assert queries_of(read) == few
    assert Posting.objects.filter(Q(credit=Account.DEPOSITS)).count() == 4
