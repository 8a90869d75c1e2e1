from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Bench, Build, Component, Person
from shop.selectors.builds import build_page
from shop.services.builds import build_hold, build_promise_change
from shop.services.steps import step_start
from shop.services.stock_count import stock_receive
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import make_offered, make_part, take
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")  # Monday the 2nd of March, 9:00


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


def test_a_build_with_steps_parts_promises_and_money(shop, owner: User) -> None:
    taken = take(make_offered(shop), owner)
    build = taken.build
    page = build_page(build.public_id, with_money=True)
    assert (page.build, page.row.finish_from, page.row.late_days) == (build, build.promised_from, 0)
    assert [row.step.code for row in page.steps] == ["teardown", "mounts", "pack", "wiring", "road-test"]
    assert all(row.planned is not None for row in page.steps)
    assert page.money is not None
    assert (page.money.paid, page.money.owed) == (
        taken.entry.postings.get().amount,
        build.total - taken.entry.postings.get().amount,
    )
    assert page.entries == (taken.entry,)
    assert [entry.kind for entry in page.promises] == ["first"]
    assert [event.verb for event in page.events] == ["deposit taken"]
    motor = next(each for each in page.needs if each.row.need.component.code == "MOT-1")
    assert (motor.row.short, [part.origin for part in motor.coming]) == (Decimal(1), ["to_order"])


def test_builders_see_no_money_in_it(shop, owner: User) -> None:
    build = take(make_offered(shop), owner).build
    build_hold(build=build, reason="title", person=owner)
    page = build_page(build.public_id, with_money=False)
    assert (page.money, page.entries) == (None, ())
    assert [event.verb for event in page.events] == ["put on hold"]


def test_what_bars_each_step(owner: User) -> None:
    motor = make_part("MOT-1")
    build = make_build(steps=True)
    make_need(build, motor, 1, "wiring")
    make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    bars = {row.step.code: row.bar for row in build_page(build.public_id, with_money=False).steps}
    assert bars == {
        "teardown": "",
        "mounts": "",
        "pack": "",
        "wiring": "hub motor 10 kW 72 V: short by 1, expected Mar 20, 2026 on P-310.",
        "road-test": "The test comes last. Finish Take the engine out first.",
    }
    build_hold(build=build, reason="title", person=owner)
    rows = build_page(build.public_id, with_money=False).steps
    assert {row.bar for row in rows} == {"B-1001 is on hold: title. Release it first."}
    assert not any(row.can_start for row in rows)


def test_parts_go_from_lacking_to_kept_to_issued(owner: User) -> None:
    motor = make_part("MOT-1")
    build = make_day_build()
    make_need(build, motor, 2, "wiring")

    def look() -> list[Decimal]:
        page = build_page(build.public_id, with_money=False)
        (need,), (step,) = page.needs, page.steps
        return [need.row.reserved, need.row.issued, need.row.short, Decimal(len(step.needs))]

    assert look() == [0, 0, 2, 1]
    stock_receive(component=motor, quantity=Decimal(2), person=owner)
    assert look() == [2, 0, 0, 1]
    step = build.steps.get()
    step_start(
        step=step, person=owner, worker=Person.objects.get(name="Ben Example"), bench=Bench.objects.get(name="Pack 1")
    )
    assert look() == [0, 2, 0, 0]


def test_each_promise_given_is_kept_with_its_reason(owner: User) -> None:
    build = make_day_build(promised_from=date(2026, 5, 4), promised_to=date(2026, 5, 20))
    build_promise_change(
        build=build,
        finish_from=date(2026, 5, 4),
        finish_to=date(2026, 6, 1),
        reason="motor late",
        person=owner,
    )
    (entry,) = build_page(build.public_id, with_money=False).promises
    assert (entry.finish_to, entry.reason, entry.person) == (date(2026, 6, 1), "motor late", owner)


def test_a_closed_build_has_no_plan_and_an_unknown_one_is_none() -> None:
    build = make_day_build()
    Build.objects.update(state="cancelled", place=None)
    page = build_page(build.public_id, with_money=True)
    assert (page.row.plan, page.row.finish_to) == (None, None)
    assert [row.bar for row in page.steps] == ["B-1001 is cancelled."]
    with pytest.raises(Build.DoesNotExist):
        build_page("nothing", with_money=True)


def test_queries_stay_flat(morning: datetime) -> None:
    build = make_build(steps=True)
    make_need(build, make_part("MOT-1"), 1)
    one = queries_of(lambda: build_page(build.public_id, with_money=True))
    for number in range(2, 51):
        part = Component.objects.create(code=f"F-{number}", kind="fuse", name=f"fuse {number}")
        make_need(build, part, 1, "wiring")
        make_day_build(number)
    assert queries_of(lambda: build_page(build.public_id, with_money=True)) == one
