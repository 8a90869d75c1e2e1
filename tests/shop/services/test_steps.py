from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from shop.models import Bench, BenchDowntime, Build, BuildStep, Component, Event, Person, Shop, StockMove
from shop.selectors.balances import issued_by_need, reserved_by_need
from shop.selectors.plan import line_plan
from shop.selectors.shop import shop_today
from shop.selectors.shop_state import shop_state
from shop.services.build_states import build_mark_ready
from shop.services.builds import build_hold
from shop.services.errors import Refused
from shop.services.invoices import build_tell_ready
from shop.services.steps import step_finish, step_pause, step_reopen, step_start
from shop.services.stock_count import stock_receive, stock_scrap
from tests.shop import made_shop
from tests.shop.made_builds import make_build, make_need, make_order, make_order_line
from tests.shop.made_offers import DAY, make_kit, make_part, take

NONE = Decimal(0)
AT = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)  # Monday 9:00 in New York


@pytest.fixture
def builder(person: Callable[[str], User]) -> User:
    return person("builder")


@pytest.fixture
def build(shop: Shop, morning: datetime) -> Build:
    return make_build(steps=True)


def step(build: Build, code: str) -> BuildStep:
    return build.steps.get(code=code)


def ana() -> Person:
    return Person.objects.get(name="Ana Example")


def ben() -> Person:
    return Person.objects.get(name="Ben Example")


def bench(name: str) -> Bench:
    return Bench.objects.get(name=name)


def start(build: Build, code: str, builder: User) -> BuildStep:
    """Started by whoever can, where it can be."""
    own = step(build, code)
    assert own.skill is not None
    worker = Person.objects.filter(skills=own.skill).order_by("name")[0]
    return step_start(step=own, person=builder, worker=worker, bench=Bench.objects.get(bench_type=own.bench_type_id))


def state(build: Build) -> str:
    return Build.objects.get(pk=build.pk).state


def test_the_first_step_puts_the_build_on_the_bench(build: Build, builder: User, morning: datetime) -> None:
    row = step_start(step=step(build, "teardown"), person=builder, worker=ana(), bench=bench("Fab 1"))
    assert (row.state, row.person, row.bench, row.started_at) == ("doing", ana(), bench("Fab 1"), morning)
    assert state(build) == "on_bench"
    events = Event.objects.order_by("pk")
    assert [(each.verb, each.before, each.after) for each in events] == [
        ("step started", "", "Take the engine out: Ana Example on Fab 1"),
        ("state changed", "In line", "On bench"),
    ]


def test_starting_twice_changes_nothing_and_another_worker_is_refused(build: Build, builder: User) -> None:
    own = step(build, "teardown")
    step_start(step=own, person=builder, worker=ana(), bench=bench("Fab 1"))
    step_start(step=own, person=builder, worker=ana(), bench=bench("Fab 1"))
    assert Event.objects.filter(verb="step started").count() == 1
    with pytest.raises(Refused, match="under way already: Take the engine out: Ana Example on Fab 1"):
        step_start(step=own, person=builder, worker=ben(), bench=bench("Fab 1"))


def test_the_person_signed_in_works_unless_another_is_named(build: Build, builder: User) -> None:
    with pytest.raises(Refused, match="Choose who works on it") as caught:
        step_start(step=step(build, "teardown"), person=builder, bench=bench("Fab 1"))
    assert caught.value.field == "worker"
    Person.objects.filter(name="Ben Example").update(user=builder)
    assert step_start(step=step(build, "teardown"), person=builder, bench=bench("Fab 1")).person == ben()


def test_who_lacks_the_skill_or_is_busy_elsewhere(build: Build, builder: User) -> None:
    with pytest.raises(Refused, match="asks for Fabrication, which Ben Example does not have") as caught:
        step_start(step=step(build, "mounts"), person=builder, worker=ben(), bench=bench("Fab 1"))
    assert caught.value.field == "worker"
    other = make_build(2, steps=True)
    start(build, "teardown", builder)
    with pytest.raises(Refused, match="Ana Example is on B-1001 Take the engine out") as caught:
        step_start(step=step(other, "mounts"), person=builder, worker=ana(), bench=bench("Fab 1"))
    assert caught.value.field == "worker"


def test_a_bench_fits_the_step_and_holds_one_build(build: Build, builder: User) -> None:
    own = step(build, "teardown")
    for wrong in (None, bench("Pack 1")):
        with pytest.raises(Refused, match="Choose a bench of the type Fab") as caught:
            step_start(step=own, person=builder, worker=ana(), bench=wrong)
        assert caught.value.field == "bench"
    start(build, "teardown", builder)
    other = make_build(2, steps=True)
    with pytest.raises(Refused, match="B-1001 Take the engine out is on Fab 1") as caught:
        step_start(step=step(other, "teardown"), person=builder, worker=ben(), bench=bench("Fab 1"))
    assert caught.value.field == "bench"


def test_a_bench_that_is_down(build: Build, builder: User) -> None:
    down = BenchDowntime.objects.create(bench=bench("Fab 1"), first=DAY, last=DAY, reason="floor painted")
    with pytest.raises(Refused, match="Fab 1 is out of use until 2026-03-02: floor painted"):
        start(build, "teardown", builder)
    down.first = down.last = DAY - timedelta(days=1)
    down.save()
    assert start(build, "teardown", builder).state == "doing"


def test_a_step_takes_its_parts_with_it(build: Build, builder: User) -> None:
    motor, cell = make_part("MOT-1"), make_part("CEL-1")
    need, other = make_need(build, motor, 1, "wiring"), make_need(build, cell, 480, "pack")
    stock_receive(component=motor, quantity=Decimal(2), person=builder)
    start(build, "wiring", builder)
    assert issued_by_need() == {need.pk: Decimal(1)}
    assert reserved_by_need()[need.pk] == 0
    assert not other.moves.exists()
    assert StockMove.objects.filter(kind="issued").get().person == builder


def test_a_part_that_is_short_is_named_with_the_day_it_comes(build: Build, builder: User) -> None:
    motor, fuse = make_part("MOT-1"), make_part("FUS-1")
    make_need(build, motor, 2, "wiring")
    make_need(build, fuse, 1, "wiring")
    stock_receive(component=motor, quantity=Decimal(1), person=builder)
    make_order_line(motor, 5, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    with pytest.raises(Refused) as caught:
        start(build, "wiring", builder)
    assert caught.value.message == (
        "hub motor 10 kW 72 V: short by 1, expected Mar 20, 2026 on P-310. "
        "main fuse 225 A: short by 1, not on order yet."
    )
    assert not StockMove.objects.filter(kind="issued").exists()
    assert state(build) == "in_line"


def test_a_part_no_step_names_holds_up_the_first_step_on_a_bench(build: Build, builder: User) -> None:
    lamp = make_part("LMP-1")
    need = make_need(build, lamp, 1)
    with pytest.raises(Refused, match="lamp set: short by 1"):
        start(build, "teardown", builder)
    stock_receive(component=lamp, quantity=Decimal(1), person=builder)
    start(build, "teardown", builder)
    assert issued_by_need() == {need.pk: Decimal(1)}


def test_a_held_build_is_not_worked_on(build: Build, builder: User) -> None:
    build_hold(build=build, reason="title", person=builder)
    with pytest.raises(Refused, match="B-1001 is on hold: title"):
        start(build, "teardown", builder)


def test_the_test_comes_last_and_sets_the_build_testing(build: Build, builder: User) -> None:
    with pytest.raises(Refused, match="The test comes last"):
        start(build, "road-test", builder)
    for code in ("teardown", "mounts", "pack", "wiring"):
        step_finish(step=start(build, code, builder), person=builder)
        assert state(build) == "on_bench"
    start(build, "road-test", builder)
    assert state(build) == "testing"


def test_a_step_called_test_is_the_test_wherever_it_stands(build: Build, builder: User) -> None:
    build.steps.filter(code="wiring").update(code="test")
    for code in ("teardown", "mounts", "pack"):
        step_finish(step=start(build, code, builder), person=builder)
    start(build, "test", builder)
    assert state(build) == "testing"


def test_the_last_step_makes_the_build_ready(build: Build, builder: User, morning: datetime) -> None:
    for code in ("teardown", "mounts", "pack", "wiring", "road-test"):
        step_finish(step=start(build, code, builder), person=builder)
    build.refresh_from_db()
    assert (build.state, build.finished_at, build.place) == ("ready", morning, 1)
    assert step_finish(step=step(build, "road-test"), person=builder).state == "done"  # again: nothing
    assert Event.objects.filter(verb="step finished").count() == 5


def test_hours_are_those_entered_or_those_the_shop_was_open(build: Build, builder: User, set_clock) -> None:
    first = start(build, "teardown", builder)
    set_clock(AT + timedelta(days=1, hours=1))  # Tuesday 10:00
    # Monday 9 to 12 and 13 to 17 is 7 h, Tuesday 8 to 10 is 2 h.
    assert step_finish(step=first, person=builder).actual_h == 9
    second = start(build, "mounts", builder)
    assert step_finish(step=second, person=builder, worked_h=Decimal("6.25")).actual_h == Decimal("6.25")
    assert Event.objects.filter(verb="step finished").first().after == "Make the mounts: 6.25 h, quoted 12.00 h"  # type: ignore[union-attr]


@pytest.mark.parametrize("hours", ["-0.25", "1000.01", "0.005"])
def test_hours_that_cannot_be(build: Build, builder: User, hours: str) -> None:
    first = start(build, "teardown", builder)
    with pytest.raises(Refused) as caught:
        step_finish(step=first, person=builder, worked_h=Decimal(hours))
    assert caught.value.field == "worked_h"
    assert step(build, "teardown").state == "doing"


def test_a_step_not_started_cannot_be_finished(build: Build, builder: User) -> None:
    with pytest.raises(Refused, match="was not started"):
        step_finish(step=step(build, "teardown"), person=builder)


def test_a_paused_step_frees_bench_and_worker_and_keeps_its_hours(build: Build, builder: User, set_clock) -> None:
    other = make_build(2, steps=True)
    first = start(build, "teardown", builder)
    set_clock(AT + timedelta(hours=2))
    with pytest.raises(Refused) as caught:
        step_pause(step=first, person=builder, reason="")
    assert caught.value.field == "reason"
    paused = step_pause(step=first, person=builder, reason="a bolt sheared")
    assert (paused.state, paused.actual_h, paused.person, paused.bench) == ("todo", Decimal(2), None, None)
    assert state(build) == "on_bench"
    # 4, 6, 9 h were estimated; 2 h are worked.
    (own, *_), *_ = (each.steps for each in shop_state().builds)
    assert (own.low_h, own.likely_h, own.high_h) == (Decimal(2), Decimal(4), Decimal(7))
    start(other, "teardown", builder)
    step_finish(step=step(other, "teardown"), person=builder)
    again = start(build, "teardown", builder)
    set_clock(AT + timedelta(hours=2, minutes=30))  # 11:30
    assert step_finish(step=again, person=builder).actual_h == Decimal("2.5")


def test_only_what_is_under_way_can_be_paused(build: Build, builder: User) -> None:
    with pytest.raises(Refused, match="is not under way"):
        step_pause(step=step(build, "teardown"), person=builder, reason="x")


def test_outside_work_takes_nobody_and_no_bench(build: Build, builder: User, set_clock) -> None:
    build.steps.filter(code="mounts").update(lead_days=10, bench_type=None, skill=None, low_h=0, likely_h=0, high_h=0)
    row = step_start(step=step(build, "mounts"), person=builder)
    assert (row.state, row.person, row.bench) == ("doing", None, None)
    with pytest.raises(Refused, match="is done elsewhere"):
        step_pause(step=row, person=builder, reason="x")
    set_clock(AT + timedelta(days=8))
    assert step_finish(step=row, person=builder).actual_h == 0


def test_a_part_that_breaks_after_its_step_keeps_the_build_from_being_ready(build: Build, builder: User) -> None:
    motor = make_part("MOT-1")
    need = make_need(build, motor, 1, "wiring")
    stock_receive(component=motor, quantity=Decimal(1), person=builder)
    for code in ("teardown", "mounts", "pack", "wiring"):
        step_finish(step=start(build, code, builder), person=builder)
    test = start(build, "road-test", builder)
    stock_scrap(component=motor, quantity=Decimal(1), reason="burnt out", need=need, person=builder)
    step_finish(step=test, person=builder)
    assert state(build) == "testing"
    assert Event.objects.filter(verb="still short", after="Test: hub motor 10 kW 72 V").exists()
    with pytest.raises(Refused, match="hub motor 10 kW 72 V: short by 1, not on order yet"):
        build_mark_ready(build=build, person=builder)
    stock_receive(component=motor, quantity=Decimal(1), person=builder)
    assert build_mark_ready(build=build, person=builder).state == "ready"
    assert build_mark_ready(build=build, person=builder).state == "ready"  # again: nothing
    assert issued_by_need() == {need.pk: Decimal(1)}


def all_done(build: Build, builder: User) -> None:
    for code in ("teardown", "mounts", "pack", "wiring", "road-test"):
        step_finish(step=start(build, code, builder), person=builder, worked_h=Decimal(2))


def test_a_step_taken_back_counts_on_and_is_tested_again(build: Build, builder: User) -> None:
    all_done(build, builder)
    assert state(build) == "ready"
    with pytest.raises(Refused) as caught:
        step_reopen(step=step(build, "wiring"), person=builder, reason=" ")
    assert caught.value.field == "reason"
    step_reopen(step=step(build, "wiring"), person=builder, reason="a lug came off")
    build.refresh_from_db()
    assert (build.state, build.finished_at) == ("on_bench", None)
    left = build.steps.filter(state="todo", person=None, bench=None).order_by("position")
    assert [(each.code, each.actual_h) for each in left] == [("wiring", Decimal(2)), ("road-test", Decimal(2))]
    again = step_finish(step=start(build, "wiring", builder), person=builder, worked_h=Decimal(1))
    assert again.actual_h == 3
    step_finish(step=start(build, "road-test", builder), person=builder)
    assert state(build) == "ready"


def test_the_test_alone_taken_back_and_the_customer_to_be_told_anew(build: Build, builder: User) -> None:
    """What was told is no longer so: storage counts from the day it is told again."""
    all_done(build, builder)
    build_tell_ready(build=build, told_on=shop_today(), person=builder)
    step_reopen(step=step(build, "road-test"), person=builder, reason="pressed by mistake")
    assert state(build) == "testing"
    assert Build.objects.get(pk=build.pk).told_ready_on is None
    assert Event.objects.filter(verb="told it is ready").count() == 2
    assert build.steps.exclude(state="done").get().code == "road-test"
    with pytest.raises(Refused, match="Test is not done"):
        step_reopen(step=step(build, "road-test"), person=builder, reason="again")


def test_a_step_taken_back_before_the_test(build: Build, builder: User) -> None:
    step_finish(step=start(build, "teardown", builder), person=builder)
    step_reopen(step=step(build, "teardown"), person=builder, reason="wrong step")
    assert state(build) == "on_bench"
    assert Event.objects.filter(verb="step reopened").count() == 1


def test_a_kit_is_ready_when_its_parts_are_packed(shop: Shop, morning: datetime, person) -> None:
    motor, counter = make_part("MOT-1"), person("counter")
    kit = take(make_kit("Q-1", {motor: 2}), counter).build
    assert not kit.steps.exists()
    with pytest.raises(Refused, match="short by 2"):
        build_mark_ready(build=kit, person=counter)
    stock_receive(component=motor, quantity=Decimal(2), person=counter)
    build_mark_ready(build=kit, person=counter)
    kit.refresh_from_db()
    assert (kit.state, kit.finished_at) == ("ready", morning)
    assert list(issued_by_need().values()) == [Decimal(2)]


def test_steps_to_do_keep_a_build_from_being_ready(build: Build, builder: User) -> None:
    with pytest.raises(Refused, match="Take the engine out is not done"):
        build_mark_ready(build=build, person=builder)


def test_a_closed_build_is_not_worked_on(build: Build, builder: User) -> None:
    Build.objects.filter(pk=build.pk).update(state="cancelled", place=None)
    with pytest.raises(Refused, match="B-1001 is cancelled"):
        start(build, "teardown", builder)


def test_the_plan_goes_on_from_a_step_under_way(build: Build, builder: User, set_clock) -> None:
    start(build, "teardown", builder)
    set_clock(AT + timedelta(hours=1))
    plan = line_plan().build("B-1001")
    assert plan is not None
    # 6 h likely less 1 h: 5 h from 10:00, over noon, to 16:00.
    assert plan.steps[0].end == datetime(2026, 3, 2, 21, 0, tzinfo=UTC)
    assert plan.held is None


def test_two_builders_at_one_bench(threads, morning: datetime, person) -> None:
    made_shop.make_whole_shop()
    builder = person("builder")
    builds = [make_build(place, steps=True) for place in (1, 2)]
    at_once = threads()
    answers = at_once.run(
        [
            lambda: step_start(step=step(builds[0], "teardown"), person=builder, worker=ana(), bench=bench("Fab 1")),
            lambda: step_start(step=step(builds[1], "teardown"), person=builder, worker=ben(), bench=bench("Fab 1")),
        ]
    )
    assert sorted(type(answer).__name__ for answer in answers) == ["BuildStep", "Refused"]
    assert at_once.look(lambda: BuildStep.objects.filter(state="doing").count()) == 1


def test_shelf_is_never_oversold(build: Build, builder: User) -> None:
    motor: Component = make_part("MOT-1")
    other = make_build(2, steps=True)
    for each in (build, other):
        make_need(each, motor, 1, "wiring")
    stock_receive(component=motor, quantity=Decimal(1), person=builder)
    with pytest.raises(Refused, match="short by 1"):
        start(other, "wiring", builder)  # the one on the shelf is kept for the build ahead
    start(build, "wiring", builder)
