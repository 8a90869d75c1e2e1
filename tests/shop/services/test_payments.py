from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Build, Event, LedgerEntry, Shop
from shop.selectors.build_money import build_money
from shop.selectors.builds import build_page
from shop.selectors.cash import deposits_held
from shop.services.cash_reverse import deposit_correct, entry_reverse
from shop.services.errors import Refused
from shop.services.payments import deposit_add
from tests.shop.made_offers import DAY, make_kit, make_part, price_of, take


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def build(shop: Shop, morning: datetime, till: User) -> Build:
    """A kit of one motor: 1450.00 and 7 % tax, 1551.50; the deposit of 30 % is 465.45, so 1086.05 is owed."""
    return take(make_kit("Q-1", {make_part("MOT-1"): 1}), till).build


def paid(build: Build) -> tuple[Decimal, Decimal]:
    money = build_money([build])[build.pk]
    return money.paid, money.owed


def test_the_balance_is_paid_in_parts(build: Build, till: User) -> None:
    assert paid(build) == (Decimal("465.45"), Decimal("1086.05"))
    first = deposit_add(build=build, amount=Decimal(1000), method="bank", reference="wire 4", person=till, key="a")
    assert (first.entry.kind, first.entry.receipt, first.entry.reference) == ("deposit", "R-2", "wire 4")
    assert (first.entry.postings.get().debit, first.entry.postings.get().credit) == ("bank", "deposits")
    deposit_add(build=build, amount=Decimal("86.05"), method="cash", person=till, key="b")
    assert paid(build) == (Decimal("1551.50"), Decimal(0))
    assert deposits_held(DAY) == Decimal("1551.50")
    events = Event.objects.filter(verb="payment taken").order_by("pk")
    assert [each.after for each in events] == ["1000 USD, 86.05 left to pay", "86.05 USD, 0.00 left to pay"]
    with pytest.raises(Refused, match="B-1 is paid in full"):
        deposit_add(build=build, amount=Decimal(1), method="cash", person=till, key="c")
    build.refresh_from_db()
    assert (build.place, build.state) == (1, "in_line")


@pytest.mark.parametrize("amount", ["1086.06", "0", "-5", "1.005"])
def test_what_is_no_payment(build: Build, till: User, amount: str) -> None:
    with pytest.raises(Refused) as caught:
        deposit_add(build=build, amount=Decimal(amount), method="cash", person=till, key="a")
    assert caught.value.field == "amount"
    assert LedgerEntry.objects.count() == 1


def test_the_same_press_again_takes_nothing(build: Build, till: User) -> None:
    first = deposit_add(build=build, amount=Decimal(10), method="cash", person=till, key="a")
    again = deposit_add(build=build, amount=Decimal(10), method="cash", person=till, key="a")
    assert (again.entry, again.created) == (first.entry, False)
    with pytest.raises(Refused, match="used already for entry 2"):
        deposit_add(build=build, amount=Decimal(11), method="cash", person=till, key="a")
    assert LedgerEntry.objects.count() == 2


def test_a_later_payment_is_undone_by_itself_and_before_the_first(build: Build, till: User) -> None:
    first = LedgerEntry.objects.get()
    later = deposit_add(build=build, amount=Decimal(10), method="cash", person=till, key="a").entry
    with pytest.raises(Refused, match="B-1 holds a later payment, receipt R-2"):
        entry_reverse(entry=first, reason="bounced", person=till, key="undo")
    entry_reverse(entry=later, reason="bounced", person=till, key="undo later")
    build.refresh_from_db()
    assert (build.place, build.state, paid(build)[0]) == (1, "in_line", Decimal("465.45"))
    entry_reverse(entry=first, reason="bounced", person=till, key="undo")
    build.refresh_from_db()
    assert (build.place, build.state) == (None, "cancelled")


def test_a_later_payment_may_be_corrected_to_any_amount_owed(build: Build, till: User) -> None:
    later = deposit_add(build=build, amount=Decimal(1000), method="cash", person=till, key="a").entry
    with pytest.raises(Refused) as caught:
        deposit_correct(entry=later, amount=Decimal("1086.06"), method="cash", reason="typo", person=till, key="fix")
    assert caught.value.field == "amount"
    deposit_correct(entry=later, amount=Decimal(100), method="cash", reason="typo", person=till, key="fix")
    assert paid(build) == (Decimal("565.45"), Decimal("986.05"))


def test_a_closed_build_takes_no_money(build: Build, till: User) -> None:
    Build.objects.update(state="cancelled", place=None)
    with pytest.raises(Refused, match="B-1 is cancelled"):
        deposit_add(build=build, amount=Decimal(10), method="cash", person=till, key="a")


def test_builders_do_not_see_it_in_the_log(build: Build, till: User) -> None:
    deposit_add(build=build, amount=Decimal(10), method="cash", person=till, key="a")
    assert [event.verb for event in build_page(build.public_id, with_money=False).events] == []
    assert price_of(build.version).due == Decimal("1551.50")
