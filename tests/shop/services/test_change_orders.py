"""Change orders on a running build: begun, offered, accepted, refused."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User
from django.db.models import Sum

from quoting import QuoteRequest, from_json
from shop.models import Build, BuildStep, ChangeOrder, Component, Event, PartNeed, QuoteVersion, Shop, Skill, StepState
from shop.selectors.balances import stock_balances
from shop.selectors.builds import build_page
from shop.selectors.quotes import worked_out
from shop.services.builds import build_hold
from shop.services.cash import deposit_take
from shop.services.change_accept import Agreement, FurtherDeposit
from shop.services.change_orders import change_drop, change_start
from shop.services.errors import Refused
from shop.services.quotes import (
    extra_add,
    option_add,
    part_add,
    part_change,
    part_remove,
    step_change,
    step_remove,
    version_decline,
    version_revise,
)
from shop.services.stock_count import stock_receive
from shop.services.stock_issue import stock_issue
from tests.shop.made_changes import DAY, accept, begin, make_running, offer
from tests.shop.made_parts import make_offer

D = Decimal


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def counter(person: Callable[[str], User]) -> User:
    return person("counter")


@pytest.fixture
def build(shop: Shop, morning: datetime, owner: User) -> Build:
    return make_running(shop, owner)


def kept(need: PartNeed) -> Decimal:
    return need.moves.aggregate(kept=Sum("reserved"))["kept"] or D(0)


def need_of(build: Build, code: str) -> PartNeed:
    return build.needs.select_related("component").get(component__code=code)


@pytest.fixture
def grips(shop: Shop) -> Component:
    component = Component.objects.create(code="grips", kind="hardware", name="Heated grips", list_price=D("150.00"))
    make_offer(component, priced_on=DAY, lead_days=5)
    return component


def test_a_change_begins_with_what_was_agreed_at_the_agreed_prices(build: Build, owner: User) -> None:
    agreed = from_json(QuoteRequest, build.version.request).options[0]
    Component.objects.update(list_price=D("9999.00"))
    change, option = begin(build, owner)
    assert (change.number, change.base, change.version.number) == (f"{build.number}-C1", build.version, 2)
    assert {row.component.code: row.unit_price for row in option.parts.all()} == {
        part.code: part.unit_price for part in agreed.parts
    }
    price = worked_out(change.version).options[0].price
    assert price.due == build.total


def test_rates_stay_as_agreed_too(build: Build, owner: User) -> None:
    Skill.objects.update(rate=D("140.00"))
    change, _ = begin(build, owner)
    assert worked_out(change.version).options[0].price.due == build.total


def test_hours_stay_as_agreed_when_the_percentile_changes(build: Build, shop: Shop, owner: User) -> None:
    shop.hours_percentile = 90
    shop.save()
    change, _ = begin(build, owner)
    assert worked_out(change.version).options[0].price.due == build.total


def test_planning_anew_is_charged_when_the_shop_asks_for_it(build: Build, shop: Shop, owner: User) -> None:
    shop.replanning_h, shop.replanning_rate = D("1.5"), D("80.00")
    shop.save()
    _, option = begin(build, owner)
    (extra,) = option.extras.all()
    assert (extra.label, extra.amount) == ("Planning the change, 1.5 h", D("120.00"))


def test_an_accepted_change_is_what_the_build_is_made_by(build: Build, owner: User, grips: Component) -> None:
    change, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner)
    step_change(step=option.steps.get(code="wiring"), person=owner, hours=D(20))
    done = accept(offer(change), owner)
    made, old = done.build, QuoteVersion.objects.get(pk=change.base_id)
    # The grips cost 150.00 and are taxed as parts at 6 + 1 % like the rest; hours are not taxed.
    assert made.version_id == change.version_id
    assert made.total - build.total >= D("160.50")
    assert (old.state, old.accepted_option, made.version.state) == ("replaced", "", "accepted")
    assert need_of(made, "grips").quantity == 1
    assert made.steps.get(code="wiring").quoted_h == D(20)
    assert (done.change.agreed_by, done.change.accepted_by) == ("Alex Example", owner)
    event = Event.objects.get(verb="change order accepted")
    assert (event.build, event.reason, event.person) == (build, "heated grips after all", owner)
    assert event.after == f"{done.change}, {done.change.version}"  # builders read it: no price


def test_the_promise_moves_by_what_the_change_takes(build: Build, owner: User) -> None:
    before = build.promised_to
    assert before is not None
    change, option = begin(build, owner)
    step_change(step=option.steps.get(code="wiring"), person=owner, hours=D(120))
    done = accept(offer(change), owner)
    assert done.promise is not None
    assert done.promise.finish_to > before
    assert done.promise.reason == f"Change order {change}: heated grips after all"
    assert (done.build.promised_from, done.build.promised_to) == (done.promise.finish_from, done.promise.finish_to)


def test_a_change_that_takes_no_time_leaves_the_promise(build: Build, owner: User) -> None:
    change, option = begin(build, owner)
    extra_add(option=option, person=owner, kind="fee", label="Decals", amount=D(40), cost=None, tax_class="fee")
    done = accept(offer(change), owner)
    assert done.promise is None
    assert done.build.promised_to == build.promised_to
    assert done.build.total > build.total


def test_a_part_that_is_off_frees_what_was_kept_for_it(build: Build, owner: User, grips: Component) -> None:
    first, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner)
    accept(offer(first), owner)
    stock_receive(component=grips, quantity=D(1), person=owner)
    need = need_of(build, "grips")
    assert kept(need) == 1
    second, option = begin(build, owner, reason="no grips")
    part_remove(part=option.parts.get(component=grips), person=owner)
    accept(offer(second), owner)
    need.refresh_from_db()
    assert (need.quantity, kept(need)) == (D(0), D(0))
    assert stock_balances()[grips.pk].free == 1
    assert "grips" not in {row.row.need.component.code for row in build_page(build.public_id, with_money=False).needs}


def test_a_part_that_is_off_and_never_moved_is_gone(build: Build, owner: User, grips: Component) -> None:
    first, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner)
    accept(offer(first), owner)
    second, option = begin(build, owner, reason="no grips")
    part_remove(part=option.parts.get(component=grips), person=owner)
    accept(offer(second), owner)
    assert not build.needs.filter(component=grips).exists()


def test_more_of_a_part_is_kept_or_to_order(build: Build, owner: User, grips: Component) -> None:
    stock_receive(component=grips, quantity=D(1), person=owner)
    change, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner, quantity=D(2))
    accept(offer(change), owner)
    need = need_of(build, "grips")
    assert (need.quantity, kept(need)) == (D(2), D(1))


def test_a_part_at_the_bench_stays(build: Build, owner: User, grips: Component) -> None:
    first, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner)
    accept(offer(first), owner)
    stock_receive(component=grips, quantity=D(1), person=owner)
    stock_issue(need=need_of(build, "grips"), person=owner)
    second, option = begin(build, owner, reason="no grips")
    part_remove(part=option.parts.get(component=grips), person=owner)
    with pytest.raises(Refused, match=r"1 of Heated grips went to the bench, .* Return 1 to the shelf first"):
        offer(second)
    assert Build.objects.get(pk=build.pk).version_id == first.version_id


def test_a_part_issued_after_the_offer_refuses_its_removal_and_leaves_all_as_it_was(
    build: Build, owner: User, grips: Component
) -> None:
    first, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner, quantity=D(2))
    accept(offer(first), owner)
    second, option = begin(build, owner, reason="one heated grip")
    part_change(part=option.parts.get(component=grips), person=owner, quantity=D(1))
    offered = offer(second)
    stock_receive(component=grips, quantity=D(2), person=owner)
    stock_issue(need=need_of(build, "grips"), person=owner)
    before = Event.objects.count()
    with pytest.raises(Refused, match="2 of Heated grips"):
        accept(offered, owner)
    assert (Event.objects.count(), need_of(build, "grips").quantity) == (before, D(2))


def test_steps_nobody_has_begun_go_and_begun_ones_stay(build: Build, owner: User, morning: datetime) -> None:
    first, last = build.steps.order_by("position")[0], build.steps.order_by("-position")[0]
    BuildStep.objects.filter(pk=first.pk).update(
        state=StepState.DONE, started_at=morning - timedelta(days=1), finished_at=morning, actual_h=D("5.5")
    )
    change, option = begin(build, owner)
    step_remove(step=option.steps.get(code=last.code), person=owner)
    accept(offer(change), owner)
    codes = list(build.steps.order_by("position").values_list("code", flat=True))
    assert first.code in codes
    assert last.code not in codes
    kept_step = build.steps.get(code=first.code)
    assert (kept_step.actual_h, kept_step.state) == (D("5.5"), "done")

    change, option = begin(build, owner, reason="leave out the first step")
    step_remove(step=option.steps.get(code=first.code), person=owner)
    with pytest.raises(Refused, match="has begun, so it stays"):
        offer(change)


def test_a_declined_change_leaves_everything(build: Build, owner: User, grips: Component) -> None:
    change, option = begin(build, owner)
    part_add(option=option, component=grips, person=owner)
    version_decline(version=offer(change).version, person=owner, reason="too dear")
    after = Build.objects.get(pk=build.pk)
    assert (after.version_id, after.total, after.promised_to) == (build.version_id, build.total, build.promised_to)
    assert not build.needs.filter(component=grips).exists()
    with pytest.raises(Refused, match="is declined"):
        accept(change, owner)
    assert begin(build, owner)[0].number == f"{build.number}-C2"


def test_pressing_twice_accepts_once(build: Build, owner: User) -> None:
    change, option = begin(build, owner)
    extra_add(option=option, person=owner, kind="fee", label="Decals", amount=D(40), cost=None, tax_class="fee")
    offered = offer(change)
    accept(offered, owner)
    again = accept(offered, owner)
    assert (again.promise, again.entry) == (None, None)
    assert Event.objects.filter(verb="change order accepted").count() == 1


def test_a_further_deposit_is_asked_when_the_policy_says_so(
    build: Build, shop: Shop, owner: User, counter: User
) -> None:
    shop.change_deposit_rate = D("0.5")
    shop.save()
    change, option = begin(build, owner)
    extra_add(option=option, person=owner, kind="fee", label="Paint", amount=D(400), cost=None, tax_class="fee")
    offered = offer(change)
    assert offered.deposit == D("200.00")  # half of 400.00: fees are not taxed here
    with pytest.raises(Refused, match=r"further deposit of 200\.00"):
        accept(offered, counter)
    with pytest.raises(Refused, match=r"asks 200\.00"):
        accept(offered, counter, deposit=FurtherDeposit(amount=D(100), method="cash", key="k1"))
    done = accept(offered, counter, deposit=FurtherDeposit(amount=D(200), method="cash", key="k2"))
    assert done.entry is not None
    assert (done.entry.build_id, done.entry.receipt is None, done.entry.postings.get().amount) == (
        build.pk,
        False,
        D("200.00"),
    )


def test_the_owner_may_go_without_the_deposit(build: Build, shop: Shop, owner: User) -> None:
    shop.change_deposit_rate = D(1)
    shop.save()
    change, option = begin(build, owner)
    extra_add(option=option, person=owner, kind="fee", label="Paint", amount=D(400), cost=None, tax_class="fee")
    assert accept(offer(change), owner, allow_less=True).entry is None


def test_who_agreed_must_be_said(build: Build, owner: User) -> None:
    change, option = begin(build, owner)
    extra_add(option=option, person=owner, kind="fee", label="Decals", amount=D(40), cost=None, tax_class="fee")
    offered, today = offer(change), date(2026, 3, 2)
    for agreement, words in (
        (Agreement(by=" ", how="signed", on=today), "who agreed"),
        (Agreement(by="Alex", how="wink", on=today), "how it was agreed"),
        (Agreement(by="Alex", how="mail", on=today + timedelta(days=1)), "lies ahead"),
    ):
        with pytest.raises(Refused, match=words):
            accept(offered, owner, agreement=agreement)


def test_one_draft_at_a_time_and_a_dropped_one_gives_its_number_back(build: Build, owner: User) -> None:
    change, option = begin(build, owner)
    with pytest.raises(Refused, match="is a draft already"):
        begin(build, owner)
    with pytest.raises(Refused, match="one option"):
        option_add(version=option.version, person=owner)
    change_drop(change=change, person=owner)
    assert not ChangeOrder.objects.exists()
    assert begin(build, owner)[0].number == f"{build.number}-C1"


def test_an_offered_change_is_not_dropped_nor_paid_as_a_new_build(build: Build, owner: User) -> None:
    change, option = begin(build, owner)
    extra_add(option=option, person=owner, kind="fee", label="Decals", amount=D(40), cost=None, tax_class="fee")
    offered = offer(change)
    with pytest.raises(Refused, match="stays on record"):
        change_drop(change=offered, person=owner)
    with pytest.raises(Refused, match="is change order"):
        deposit_take(version=offered.version, option_key="A", amount=D(5000), method="cash", person=owner, key="x")
    with pytest.raises(Refused, match="Begin a change order"):
        version_revise(version=build.version, person=owner)


@pytest.mark.parametrize("state", ["ready", "handed_over", "cancelled"])
def test_a_build_that_is_over_is_not_changed(build: Build, owner: User, morning: datetime, state: str) -> None:
    place = build.place if state == "ready" else None
    Build.objects.filter(pk=build.pk).update(state=state, place=place, handed_over_at=morning)
    with pytest.raises(Refused, match="new job"):
        change_start(build=build, reason="more", person=owner)


def test_a_build_on_hold_is_released_first(build: Build, owner: User) -> None:
    change, _ = begin(build, owner)
    build_hold(build=build, reason="waits for the title", person=owner)
    with pytest.raises(Refused, match="on hold"):
        offer(change)


def test_a_reason_is_needed(build: Build, owner: User) -> None:
    with pytest.raises(Refused, match="wants changed"):
        change_start(build=build, reason=" ", person=owner)
