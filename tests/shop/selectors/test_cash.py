from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from shop.models import Account, Build, LedgerEntry, Posting
from shop.selectors.build_money import account_sums, build_money
from shop.selectors.cash import account_balances, cash_rows, deposits_held, month_of
from shop.selectors.liability import liability
from shop.services.cash_reverse import entry_reverse
from tests.shop.made_builds import make_build
from tests.shop.made_offers import DAY, make_kit, make_part, take
from tests.shop.queries import queries_of

pytestmark = pytest.mark.django_db
NONE = Decimal(0)
FEBRUARY = (date(2026, 2, 1), date(2026, 2, 28))
MARCH = (date(2026, 3, 1), date(2026, 3, 31))


def deposit(build: Build, amount: str, day: date = DAY, method: str = "cash") -> LedgerEntry:
    """Straight into the tables."""
    number = LedgerEntry.objects.count() + 1
    entry = LedgerEntry.objects.create(
        number=number,
        kind="deposit",
        day=day,
        build=build,
        customer=build.customer,
        method=method,
        receipt=f"R-{number}",
        key=f"key {number}",
    )
    Posting.objects.create(entry=entry, debit=method, credit="deposits", amount=Decimal(amount))
    return entry


def undo(entry: LedgerEntry, day: date = DAY) -> LedgerEntry:
    number = LedgerEntry.objects.count() + 1
    made = LedgerEntry.objects.create(
        number=number, kind="reversal", day=day, build=entry.build, customer=entry.customer, reverses=entry,
        reason="bounced", key=f"key {number}",
    )  # fmt: skip
    posting = entry.postings.get()
    Posting.objects.create(entry=made, debit=posting.credit, credit=posting.debit, amount=posting.amount)
    return made


def held_by_build() -> dict[int, Decimal]:
    return {build: -sums.get(Account.DEPOSITS, NONE) for build, sums in account_sums().items()}


def test_a_period_with_what_each_account_held_before_and_after() -> None:
    one, two = make_build(1), make_build(2)
    old = deposit(one, "4000.10", date(2026, 2, 27))
    new = deposit(two, "5000", date(2026, 3, 1), "card")
    back = undo(old, date(2026, 3, 31))
    deposit(two, "1", date(2026, 4, 1))
    book = cash_rows(*MARCH)
    assert [(row.entry, row.to_account, row.from_account, row.amount) for row in book.rows] == [
        (back, "Deposits held", "Cash drawer", Decimal("4000.10")),
        (new, "Card terminal", "Deposits held", Decimal(5000)),
    ]
    assert [(each.label, each.before, each.up, each.down, each.after) for each in book.balances] == [
        ("Cash drawer", Decimal("4000.10"), NONE, Decimal("4000.10"), NONE),
        ("Card terminal", NONE, Decimal(5000), NONE, Decimal(5000)),
        ("Deposits held", Decimal("4000.10"), Decimal(5000), Decimal("4000.10"), Decimal(5000)),
    ]
    assert book.deposits_held == deposits_held(date(2026, 3, 31)) == 5000
    assert deposits_held(date(2026, 4, 1)) == 5001
    (row,) = cash_rows(*FEBRUARY).rows
    assert row.reversed_by == back


def test_nothing_booked_is_an_empty_book() -> None:
    book = cash_rows(*MARCH)
    assert (book.rows, book.balances, book.deposits_held) == ((), (), NONE)


def test_what_builds_have_paid_and_owe() -> None:
    one, two, gone = make_build(1, total=Decimal(15000)), make_build(2, total=Decimal(9000)), make_build(3)
    deposit(one, "4500")
    deposit(one, "0.01")
    undo(deposit(gone, "3000"))
    Build.objects.filter(pk=gone.pk).update(state="cancelled", place=None)
    gone.refresh_from_db()
    money = build_money([one, two, gone])
    assert (money[one.pk].paid, money[one.pk].owed) == (Decimal("4500.01"), Decimal("10499.99"))
    assert (money[two.pk].paid, money[two.pk].owed) == (NONE, Decimal(9000))
    assert (money[gone.pk].paid, money[gone.pk].owed) == (NONE, NONE)
    assert held_by_build() == {one.pk: Decimal("4500.01"), gone.pk: Decimal(0)}


def test_deposits_held_by_age() -> None:
    one, two, gone = make_build(1), make_build(2), make_build(3)
    deposit(one, "100", DAY)
    deposit(two, "200", DAY - timedelta(days=40))
    deposit(two, "50", DAY)
    undo(deposit(gone, "300"))
    assert [(row.build, row.held, row.since) for row in liability(DAY).rows] == [
        (two, Decimal(250), DAY - timedelta(days=40)),
        (one, Decimal(100), DAY),
    ]


@pytest.mark.parametrize(
    ("day", "first", "last"),
    [
        (date(2026, 2, 28), date(2026, 2, 1), date(2026, 2, 28)),
        (date(2028, 2, 1), date(2028, 2, 1), date(2028, 2, 29)),
        (date(2026, 12, 31), date(2026, 12, 1), date(2026, 12, 31)),
    ],
)
def test_a_month(day: date, first: date, last: date) -> None:
    assert month_of(day) == (first, last)


def test_queries_stay_flat() -> None:
    deposit(make_build(1), "100")
    one = (queries_of(lambda: cash_rows(*MARCH)), queries_of(lambda: liability(DAY)))
    for place in range(2, 51):
        entry = deposit(make_build(place), "100")
        if place % 2:
            undo(entry)
    assert (queries_of(lambda: cash_rows(*MARCH)), queries_of(lambda: liability(DAY))) == one


class AnyBook(TestCase):
    """Whatever is taken and undone, each account's total agrees with the sum over builds, to the cent."""

    @settings(max_examples=30)
    @given(
        st.lists(
            st.tuples(
                st.integers(1, 10**9),
                st.integers(0, 59),
                st.sampled_from(["cash", "card", "bank", "checks"]),
                st.booleans(),
            ),
            max_size=12,
        )
    )
    def test_the_totals_agree(self, taken: list[tuple[int, int, str, bool]]) -> None:
        builds = [make_build(place) for place in (1, 2, 3)]
        for index, (cents, days, method, undone) in enumerate(taken):
            entry = deposit(builds[index % 3], str(Decimal(cents) / 100), DAY - timedelta(days=days), method)
            if undone:
                undo(entry)
        day = DAY
        balances = {each.account: each.after for each in account_balances(day - timedelta(days=7), day)}
        held = balances.pop(Account.DEPOSITS, Decimal(0))
        kept = sum((Decimal(cents) / 100 for cents, _, _, undone in taken if not undone), Decimal(0))
        assert held == kept == deposits_held(day) == sum(held_by_build().values(), Decimal(0))
        assert sum(balances.values(), Decimal(0)) == held  # what was taken in is what is owed


@pytest.mark.usefixtures("shop", "morning")
def test_a_reversal_shows_on_both_entries(person) -> None:
    owner = person("owner")
    entry = take(make_kit("Q-1", {make_part("MOT-1"): 1}), owner).entry
    made = entry_reverse(entry=entry, reason="bounced", person=owner, key="undo")
    rows = {row.entry: row for row in cash_rows(*MARCH).rows}
    assert rows[entry].reversed_by == made
    assert rows[made].entry.reverses == entry
    assert cash_rows(*MARCH).deposits_held == 0
