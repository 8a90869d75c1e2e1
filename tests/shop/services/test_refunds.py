from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Build, BuildState, Component, Event, LedgerEntry, Shop, StockMove
from shop.selectors.build_money import build_money
from shop.selectors.money_facts import RefundFacts, kept_facts
from shop.selectors.settlement import settlement_of
from shop.services.cash_reverse import entry_reverse
from shop.services.clearing import check_clear
from shop.services.errors import Refused
from shop.services.payments import deposit_add
from shop.services.refunds import build_cancel, refund_make
from shop.services.stock_count import stock_receive
from tests.shop.made_builds import make_order, make_order_line
from tests.shop.made_money import make_invoiced_kit, make_kit_build, moved
from tests.shop.made_offers import DAY, make_offered, take

D = Decimal
PARTS_KEPT = {"keep_from": "parts", "kept_basis": "spent"}


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture(autouse=True)
def open_shop(shop: Shop, morning: datetime) -> Shop:
    return shop


def cancel(build: Build, person: User, **changed: object) -> LedgerEntry | None:
    values: dict[str, object] = {"reason": "moved away", "method": "cash", "key": "c", **changed}
    return build_cancel(build=build, person=person, **values)  # type: ignore[arg-type]


def test_without_a_policy_the_whole_deposit_goes_back_with_place_and_stock(till: User) -> None:
    first, second = make_kit_build(till), make_kit_build(till, "Q-2")
    motor = Component.objects.get()
    stock_receive(component=motor, quantity=D(1), person=till)
    settled = settlement_of(first)
    assert (settled.held, settled.kept, settled.refunded) == (D("465.45"), D(0), D("465.45"))
    entry = cancel(first, till, shown=D("465.45"), reference="drawer 1")
    assert entry is not None
    assert (entry.kind, entry.receipt, moved(entry)) == ("refund", "R-3", [("deposits", "cash", D("465.45"))])
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.state, first.place, second.place) == (BuildState.CANCELLED, None, 1)
    kept = StockMove.objects.filter(kind="reserved").latest("pk")
    assert (kept.need and kept.need.build) == second
    assert build_money([first])[first.pk].paid == 0
    assert cancel(first, till) == entry  # pressed twice
    assert LedgerEntry.objects.count() == 3
    assert Event.objects.get(verb="deposit settled").after == "465.45 USD given back, 0 kept"
    first.version.refresh_from_db()
    assert first.version.state == "declined"  # so that the quote can be revised


def test_parts_ordered_are_kept_by_the_terms_of_the_quote(till: User) -> None:
    """The motor at 1450.00 is more than the 465.45 held; with 1551.50 paid, 1450.00 is kept and 101.50 goes back."""
    Shop.objects.update(**PARTS_KEPT)
    build = make_kit_build(till)
    assert settlement_of(build).why == (
        "No part is ordered or kept for it and no work has begun: the terms give the whole deposit back.",
    )
    make_order_line(Component.objects.get(), 1, order=make_order(), expected_on=DAY)
    Shop.objects.update(keep_from="never")  # what the shop decides later changes nothing for this customer
    settled = settlement_of(build)
    assert (settled.kept, settled.refunded) == (D("465.45"), D(0))
    assert settled.why[0] == "Parts ordered, kept or fitted: 1,450.00."
    assert settled.why[1] == "Together 1,450.00, more than the 465.45 that is held: no more than that is kept."
    deposit_add(build=build, amount=D("1086.05"), method="bank", person=till, key="a")
    with pytest.raises(Refused, match=r"The refund is 101.50 by now, not 0.00"):
        cancel(build, till, shown=D("0.00"))
    entry = cancel(build, till, shown=D("101.50"), method="bank")
    assert entry is not None
    assert moved(entry) == [("deposits", "bank", D("101.50")), ("deposits", "kept", D("1450.00"))]
    facts = kept_facts(entry, RefundFacts)
    assert (facts.paid, facts.kept, facts.refunded, facts.cancelled) == (D("1551.50"), D(1450), D("101.50"), True)
    assert "Parts ordered, kept or fitted: 1,450.00." in facts.why


def test_a_share_is_kept_once_work_has_begun(till: User) -> None:
    Shop.objects.update(keep_from="work", kept_basis="share", kept_rate=D("0.40"))
    build = take(make_offered(Shop.objects.get()), till, amount=D(6000)).build
    assert settlement_of(build).kept == 0
    step = build.steps.get(position=1)
    step.state, step.started_at, step.finished_at, step.actual_h = "done", build.accepted_at, build.accepted_at, D(5)
    step.save()
    Build.objects.filter(pk=build.pk).update(state="on_bench")
    settled = settlement_of(build)
    assert (settled.kept, settled.refunded) == (D(2400), D(3600))  # 40 % of 6000
    assert settled.spent.hours_amount == D(450)  # 5 h at 90.00
    entry = cancel(build, till)
    assert entry is not None
    assert moved(entry) == [("deposits", "cash", D(3600)), ("deposits", "kept", D(2400))]


def test_all_kept_is_an_entry_of_its_own_and_comes_back_when_undone(till: User, owner: User) -> None:
    Shop.objects.update(**PARTS_KEPT)
    build = make_kit_build(till)
    make_order_line(Component.objects.get(), 1, order=make_order(), expected_on=DAY)
    entry = cancel(build, till)
    assert entry is not None
    assert (entry.kind, entry.method, moved(entry)) == ("kept", "", [("deposits", "kept", D("465.45"))])
    entry_reverse(entry=entry, reason="goodwill", person=owner, key="u")
    money = build_money([Build.objects.get(pk=build.pk)])[build.pk]
    assert (money.held, money.overpaid) == (D("465.45"), D("465.45"))
    refund_make(build=build, amount=D("465.45"), method="cash", reason="goodwill", person=owner, key="r")


def test_the_owner_may_settle_for_another_sum(till: User, owner: User) -> None:
    build = make_kit_build(till)
    with pytest.raises(Refused, match="The terms keep 0"):
        cancel(build, till, kept=D(100))
    with pytest.raises(Refused, match="Keep between nothing and the"):
        cancel(build, owner, kept=D("465.46"))
    entry = cancel(build, owner, kept=D(100))
    assert entry is not None
    assert moved(entry) == [("deposits", "cash", D("365.45")), ("deposits", "kept", D(100))]


def test_what_is_not_cancelled(till: User) -> None:
    invoice = make_invoiced_kit(till)
    with pytest.raises(Refused, match=r"is invoiced\. Credit the invoice first"):
        cancel(invoice.build, till)  # type: ignore[arg-type]
    build = make_kit_build(till, "Q-2")
    with pytest.raises(Refused) as caught:
        cancel(build, till, reason=" ")
    assert caught.value.field == "reason"
    with pytest.raises(Refused) as caught:
        cancel(build, till, method="barter")
    assert caught.value.field == "method"
    assert Build.objects.get(pk=build.pk).place == 2


def test_money_a_check_has_not_brought_is_not_given_back(till: User, owner: User) -> None:
    build = make_kit_build(till, method="checks")
    with pytest.raises(Refused, match=r"Only 0.00 has cleared"):
        cancel(build, till)
    entry = LedgerEntry.objects.get()
    cleared = check_clear(entry=entry, cleared_on=DAY, person=till, key="cleared")
    assert moved(cleared) == [("bank", "checks", D("465.45"))]
    assert cancel(build, till) is not None


def test_a_check_clears_once_and_not_before_it_came(till: User, owner: User) -> None:
    build = make_kit_build(till, method="checks")
    entry = LedgerEntry.objects.get()
    for day in (DAY.replace(day=1), DAY.replace(day=3)):
        with pytest.raises(Refused) as caught:
            check_clear(entry=entry, cleared_on=day, person=till, key="x")
        assert caught.value.field == "cleared_on"
    first = check_clear(entry=entry, cleared_on=DAY, person=till, key="x")
    assert check_clear(entry=entry, cleared_on=DAY, person=till, key="x") == first
    with pytest.raises(Refused, match="has cleared already"):
        check_clear(entry=entry, cleared_on=DAY, person=till, key="y")
    # It bounces after all: the clearing is undone with it, and nothing is left at the bank.
    entry_reverse(entry=entry, reason="bounced", person=owner, key="u")
    assert build_money([Build.objects.get(pk=build.pk)])[build.pk].paid == 0
    with pytest.raises(Refused, match="was not paid by check"):
        check_clear(entry=first, cleared_on=DAY, person=till, key="z")


def test_a_part_of_what_was_paid_too_much_goes_back(till: User) -> None:
    build = make_kit_build(till)
    deposit_add(build=build, amount=D(1200), method="cash", person=till, key="a", allow_more=True)
    # 465.45 + 1200.00 - 1551.50 = 113.95 too much
    for amount in ("113.96", "0", "-1", "1.001"):
        with pytest.raises(Refused) as caught:
            refund_make(build=build, amount=D(amount), method="cash", reason="over", person=till, key="r")
        assert caught.value.field == "amount"
    entry = refund_make(build=build, amount=D(100), method="cash", reason="over", person=till, key="r")
    assert refund_make(build=build, amount=D(100), method="cash", reason="over", person=till, key="r") == entry
    money = build_money([build])[build.pk]
    assert (money.overpaid, money.owed) == (D("13.95"), D("-13.95"))
    facts = kept_facts(entry, RefundFacts)
    assert (facts.paid, facts.refunded, facts.left) == (D("1665.45"), D(100), D("1565.45"))
