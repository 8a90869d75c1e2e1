from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Build, Component, Event, Shop, StockUnit
from shop.selectors.customer_page import customer_page
from shop.selectors.invoices import invoice_owed
from shop.services.errors import Refused
from shop.services.hand_over import build_hand_over
from shop.services.invoices import build_tell_ready, invoice_make, storage_charge
from shop.services.payments import invoice_pay
from tests.shop.made_money import make_invoiced_kit, make_kit_build, make_ready_kit
from tests.shop.made_offers import DAY

D = Decimal


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture(autouse=True)
def open_shop(shop: Shop, morning: datetime) -> Shop:
    return shop


def test_invoiced_and_paid_it_goes_and_those_behind_move_up(till: User) -> None:
    invoice = make_invoiced_kit(till)
    behind = make_kit_build(till, "Q-2")
    invoice_pay(invoice=invoice, amount=D("1086.05"), method="card", person=till, key="p")
    build = invoice.build
    assert build is not None
    gone = build_hand_over(build=build, person=till)
    behind.refresh_from_db()
    assert (gone.state, gone.place, behind.place) == ("handed_over", None, 1)
    assert gone.handed_over_at is not None
    event = Event.objects.get(verb="handed over")
    assert (event.before, event.reason) == ("place 1", "")
    assert not Event.objects.filter(verb="handed over unpaid").exists()
    page = customer_page(gone.link_token)
    assert page.build is not None
    assert page.build.state == "handed_over"
    assert build_hand_over(build=build, person=till).handed_over_at == gone.handed_over_at
    assert Event.objects.filter(verb="handed over").count() == 1


def test_not_before_it_is_ready_and_invoiced(till: User) -> None:
    with pytest.raises(Refused, match="is not invoiced"):
        build_hand_over(build=make_ready_kit(till), person=till)
    with pytest.raises(Refused, match="is in line"):
        build_hand_over(build=make_kit_build(till, "Q-2"), person=till)


def test_unpaid_only_the_owner_may_and_says_why(till: User, person: Callable[[str], User]) -> None:
    build = make_invoiced_kit(till).build
    assert build is not None
    owner = person("owner")
    for who, why in ((till, ""), (till, "a friend"), (owner, " ")):
        with pytest.raises(Refused, match=r"1086.05 is still to pay") as caught:
            build_hand_over(build=build, person=who, override=why)
        assert caught.value.field == "override"
    build_hand_over(build=build, person=owner, override="pays on Friday")
    event = Event.objects.get(verb="handed over unpaid")
    assert (event.after, event.reason) == ("1086.05 is still to pay.", "pays on Friday")


def test_a_check_that_has_not_cleared_is_not_yet_money(till: User) -> None:
    invoice = make_invoiced_kit(till)
    invoice_pay(invoice=invoice, amount=D("1086.05"), method="checks", person=till, key="p")
    with pytest.raises(Refused, match=r"A check of 1086.05 has not cleared"):
        build_hand_over(build=Build.objects.get(), person=till)


def test_an_invoice_for_storage_alone_is_not_the_bikes(till: User, set_clock: Callable[[datetime], None]) -> None:
    Shop.objects.update(storage_fee=D(25))
    build = build_tell_ready(build=make_ready_kit(till), told_on=DAY, person=till)
    set_clock(datetime(2026, 3, 9, 14, tzinfo=UTC))  # 7 days on, 2 of them to pay
    storage_charge(build=build, person=till, key="s")
    with pytest.raises(Refused, match="is not invoiced"):
        build_hand_over(build=build, person=till)
    invoice = invoice_make(build=build, person=till, key="k")
    # 1551.50 and 50.00 of storage, which the deposit of 465.45 paid first.
    assert invoice_owed(invoice) == D("1136.05")


def test_a_motor_without_its_number_stays_until_the_owner_says_why(till: User, person: Callable[[str], User]) -> None:
    invoice = make_invoiced_kit(till)
    invoice_pay(invoice=invoice, amount=D("1086.05"), method="card", person=till, key="p")
    build = Build.objects.get()
    StockUnit.objects.update(place="missing", need=None)
    for who, why in ((till, "in a hurry"), (person("owner"), "")):
        with pytest.raises(Refused, match="The serial number of hub motor 10 kW 72 V is not entered"):
            build_hand_over(build=build, person=who, override=why)
    assert Build.objects.get().state == "ready"
    build_hand_over(build=build, person=person("owner"), override="The plate is worn off")
    event = Event.objects.get(verb="handed over without serial numbers")
    assert (event.after, event.reason) == (
        "The serial number of hub motor 10 kW 72 V is not entered.",
        "The plate is worn off",
    )
    assert not Event.objects.filter(verb="handed over unpaid").exists()


def test_a_motor_that_needs_no_number_goes(till: User) -> None:
    invoice = make_invoiced_kit(till)
    invoice_pay(invoice=invoice, amount=D("1086.05"), method="card", person=till, key="p")
    StockUnit.objects.update(place="missing", need=None)
    Component.objects.update(needs_serial=False)
    assert build_hand_over(build=Build.objects.get(), person=till).state == "handed_over"
