from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum

from shop.models import Build, BuildState, Component, Event, LedgerEntry, Posting, QuoteVersion
from shop.selectors.balances import Balance, stock_balances
from shop.selectors.build_money import build_money
from shop.selectors.cash import cash_rows
from shop.services.cash_reverse import deposit_correct, entry_reverse
from shop.services.errors import Refused
from shop.services.payments import deposit_add
from shop.services.quotes import version_offer, version_revise
from shop.services.refunds import refund_make
from shop.services.stock_issue import stock_issue
from tests.shop import made_shop
from tests.shop.made_offers import DAY, make_kit, make_part, price_of, take
from tests.shop.made_parts import receive

ALL_TIME = (date(2026, 1, 1), date(2026, 12, 31))


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def motor(db: None, morning: datetime) -> Component:
    made_shop.make_whole_shop()
    return make_part("MOT-1")


@pytest.fixture
def line(motor: Component, till: User) -> list[LedgerEntry]:
    """Three kits in line, one motor on the shelf, kept for the first."""
    receive(motor, 1)
    versions = [make_kit(f"Q-{number}", {motor: 1}) for number in (1, 2, 3)]
    return [take(version, till, f"till-{version.pk}").entry for version in versions]


def places() -> dict[str, int | None]:
    return dict(Build.objects.values_list("number", "place"))


def test_a_reversed_deposit_takes_the_build_out_and_those_behind_close_up(
    line: list[LedgerEntry], motor: Component, till: User
) -> None:
    reversal = entry_reverse(entry=line[0], reason=" the check bounced ", person=till, key="undo")
    paid = line[0].postings.get().amount
    posting = reversal.postings.get()
    assert (posting.debit, posting.credit, posting.amount) == ("deposits", "cash", paid)
    assert (reversal.kind, reversal.number, reversal.reverses, reversal.receipt) == ("reversal", 4, line[0], None)
    assert (reversal.reason, reversal.day, reversal.build) == ("the check bounced", DAY, line[0].build)
    assert places() == {"B-1": None, "B-2": 1, "B-3": 2}
    build = Build.objects.get(number="B-1")
    assert build.state == BuildState.CANCELLED
    # The motor that was kept for it is kept for the next one now.
    assert stock_balances()[motor.pk] == Balance(Decimal(1), Decimal(1))
    kept = Build.objects.get(number="B-2").needs.get().moves.aggregate(kept=Sum("reserved"))["kept"]
    assert kept == 1
    assert cash_rows(*ALL_TIME).deposits_held == sum(entry.postings.get().amount for entry in line[1:])
    assert build_money([build])[build.pk].paid == 0
    moved = Event.objects.filter(verb="moved in line").order_by("subject").values_list("subject", "before", "after")
    assert list(moved) == [("B-2", "place 2", "place 1"), ("B-3", "place 3", "place 2")]


def test_a_reversed_quote_can_be_revised_and_taken_again(line: list[LedgerEntry], till: User) -> None:
    entry_reverse(entry=line[0], reason="wrong customer", person=till, key="undo")
    version = QuoteVersion.objects.get(quote__number="Q-1")
    assert (version.state, version.accepted_option) == ("declined", "")
    again = version_offer(version=version_revise(version=version, person=till), person=till)
    taken = take(again, till, "till-again")
    assert (taken.entry.receipt, taken.build.number, taken.build.place) == ("R-4", "B-4", 3)


def test_the_same_press_again_reverses_nothing_more(line: list[LedgerEntry], till: User) -> None:
    first = entry_reverse(entry=line[0], reason="bounced", person=till, key="undo")
    assert entry_reverse(entry=line[0], reason="bounced", person=till, key="undo") == first
    assert LedgerEntry.objects.count() == 4
    with pytest.raises(Refused, match="used already for entry 4"):
        entry_reverse(entry=line[1], reason="bounced", person=till, key="undo")


def test_what_cannot_be_reversed(line: list[LedgerEntry], till: User) -> None:
    with pytest.raises(Refused) as caught:
        entry_reverse(entry=line[0], reason="  ", person=till, key="undo")
    assert caught.value.field == "reason"
    reversal = entry_reverse(entry=line[0], reason="bounced", person=till, key="undo")
    with pytest.raises(Refused, match="Entry 1 was reversed already, by entry 4"):
        entry_reverse(entry=line[0], reason="bounced", person=till, key="again")
    with pytest.raises(Refused, match="Entry 4 is not undone here"):
        entry_reverse(entry=reversal, reason="bounced", person=till, key="again")
    assert LedgerEntry.objects.count() == 4


def test_once_a_part_was_issued_the_deposit_stands(line: list[LedgerEntry], till: User) -> None:
    stock_issue(need=line[0].build.needs.get(), person=till)  # type: ignore[union-attr]
    with pytest.raises(Refused, match="Parts were issued to B-1"):
        entry_reverse(entry=line[0], reason="bounced", person=till, key="undo")
    assert places() == {"B-1": 1, "B-2": 2, "B-3": 3}
    assert LedgerEntry.objects.count() == 3


def test_once_work_has_begun_the_deposit_stands(line: list[LedgerEntry], till: User) -> None:
    Build.objects.filter(number="B-1").update(state="on_bench")
    with pytest.raises(Refused, match="Work on B-1 has begun"):
        entry_reverse(entry=line[0], reason="bounced", person=till, key="undo")


def test_a_slip_of_the_keyboard_is_put_right_and_the_place_is_kept(line: list[LedgerEntry], till: User) -> None:
    asked = line[0].postings.get().amount
    made = deposit_correct(
        entry=line[0],
        amount=asked + 1,
        method="card",
        reference="slip 77",
        reason="typo",
        person=till,
        key="fix",
    )
    assert (made.kind, made.number, made.receipt, made.reference, made.day) == ("deposit", 5, "R-4", "slip 77", DAY)
    assert made.postings.get().debit == "card"
    assert LedgerEntry.objects.get(number=4).reverses == line[0]
    assert places() == {"B-1": 1, "B-2": 2, "B-3": 3}
    assert build_money([made.build])[made.build_id].paid == asked + 1  # type: ignore[list-item, index]
    again = deposit_correct(entry=line[0], amount=asked + 1, method="card", reason="typo", person=till, key="fix")
    assert again == made
    assert LedgerEntry.objects.count() == 5


def test_a_correction_asks_what_a_deposit_asks(line: list[LedgerEntry], till: User) -> None:
    version = QuoteVersion.objects.get(quote__number="Q-1")
    asked, due = price_of(version).deposit, price_of(version).due
    for amount in (asked - Decimal("0.01"), due + Decimal("0.01"), Decimal(0)):
        with pytest.raises(Refused) as caught:
            deposit_correct(entry=line[0], amount=amount, method="cash", reason="typo", person=till, key="fix")
        assert caught.value.field == "amount"
    with pytest.raises(Refused) as caught:
        deposit_correct(entry=line[0], amount=asked, method="cash", reason="", person=till, key="fix")
    assert caught.value.field == "reason"
    assert LedgerEntry.objects.count() == Posting.objects.count() == 3


def test_a_deposit_of_which_some_went_back_is_corrected_once_that_is_undone(
    line: list[LedgerEntry], person: Callable[[str], User]
) -> None:
    boss, build = person("owner"), line[0].build
    assert build is not None
    owed = build_money([build])[build.pk].owed
    over = line[0].postings.get().amount + 100  # so much back, and the first deposit alone cannot carry it
    taken = deposit_add(build=build, amount=owed + over, method="card", person=boss, key="much", allow_more=True).entry
    back = refund_make(build=build, amount=over, method="bank", reason="over", person=boss, key="back")
    with pytest.raises(Refused, match=r"100\.00 of R-4 went back or was kept\. Undo that entry first"):
        deposit_correct(entry=taken, amount=owed, method="card", reason="typo", person=boss, key="fix")
    entry_reverse(entry=back, reason="it came back", person=boss, key="undo")
    deposit_correct(entry=taken, amount=owed, method="card", reason="typo", person=boss, key="fix")
    assert build_money([build])[build.pk].owed == 0
