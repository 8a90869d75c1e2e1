from __future__ import annotations

from datetime import UTC, date, datetime, time
from decimal import Decimal

import pytest

from quoting.request import DaySpan, Need, Opening, Receipt, StockLevel, Supply
from shop.models import (
    Bench,
    BenchDowntime,
    BuildState,
    ClosedDays,
    Leave,
    LineLock,
    Person,
    Shop,
    StockMove,
    SupplierClosure,
)
from shop.selectors.shop_state import only_about, shop_state
from tests.shop.made_builds import add_steps, make_build, make_need, make_order, make_order_line
from tests.shop.made_parts import make_component, make_offer, make_supplier, receive

DAY = date(2026, 3, 2)
MONDAY_NOON = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)  # 12:00 in New York


def test_hours_people_and_benches_as_entered(shop: Shop) -> None:
    ClosedDays.objects.create(first=DAY, last=DAY, reason="stock taking")
    ana = Person.objects.get(name="Ana Example")
    Leave.objects.create(person=ana, first=DAY, last=DAY, reason="private")
    BenchDowntime.objects.create(bench=Bench.objects.get(name="Fab 1"), first=DAY, last=DAY, reason="floor painted")
    state = shop_state()
    assert state.zone == "America/New_York"
    assert state.openings[:2] == (
        Opening(weekday=0, start=time(8), end=time(12)),
        Opening(weekday=0, start=time(13), end=time(17)),
    )
    assert len(state.openings) == 10
    assert state.closed_days == (DaySpan(first=DAY, last=DAY, reason="stock taking"),)
    assert [(bench.name, bench.bench_type) for bench in state.benches] == [("Fab 1", "fab"), ("Pack 1", "pack")]
    assert state.benches[0].down == (DaySpan(first=DAY, last=DAY, reason="floor painted"),)
    assert state.people[0].skills == ("fabrication", "repair")
    assert state.people[0].leave == (DaySpan(first=DAY, last=DAY),)  # why somebody is away stays out


def test_who_has_left_and_what_is_put_away_do_not_count(shop: Shop) -> None:
    Person.objects.update(active=False)
    Bench.objects.filter(name="Fab 1").update(active=False)
    state = shop_state()
    assert state.people == ()
    assert [bench.name for bench in state.benches] == ["Pack 1"]


def test_stock_is_what_is_on_the_shelf_whoever_it_is_kept_for(shop: Shop) -> None:
    motor = make_component("MOT-1")
    need = make_need(make_build(), motor, 2)
    receive(motor, 3)
    StockMove.objects.create(component=motor, kind="reserved", reserved=Decimal(2), need=need)
    assert shop_state().stock == (StockLevel(code="MOT-1", on_hand=Decimal(3)),)


def test_receipts_are_what_sent_orders_still_owe(shop: Shop) -> None:
    motor, fuse, cell = make_component("MOT-1"), make_component("FUS-1"), make_component("CEL-1")
    order = make_order("P-310")
    part_way = make_order_line(motor, 4, order=order, expected_on=date(2026, 4, 1))
    all_here = make_order_line(fuse, 2, order=order, expected_on=date(2026, 4, 1))
    make_order_line(cell, 480, order=order)
    make_order_line(motor, 9, order=make_order("P-311", state="draft", ordered_on=None))
    make_order_line(motor, 9, order=make_order("P-312", state="cancelled"))
    StockMove.objects.create(component=motor, kind="received", on_hand=Decimal(1), order_line=part_way)
    StockMove.objects.create(component=fuse, kind="received", on_hand=Decimal(2), order_line=all_here)
    assert set(shop_state().receipts) == {
        Receipt(code="MOT-1", quantity=Decimal(3), expected=date(2026, 4, 1), order="P-310", supplier="North Yard"),
        Receipt(code="CEL-1", quantity=Decimal(480), expected=None, order="P-310", supplier="North Yard"),
    }


def test_supplies_are_preferred_offers_that_name_a_lead_time(shop: Shop) -> None:
    supplier = make_supplier()
    SupplierClosure.objects.create(supplier=supplier, first=date(2026, 8, 1), last=date(2026, 8, 15))
    make_offer(make_component("MOT-1"), priced_on=DAY)
    make_offer(make_component("FUS-1"), priced_on=DAY, lead_low_days=None, lead_days=None, lead_high_days=None)
    make_offer(make_component("CEL-1"), priced_on=DAY, preferred=False)
    make_offer(make_component("BMS-1", discontinued=True), priced_on=DAY)
    assert shop_state().supplies == (
        Supply(
            code="MOT-1",
            supplier="North Yard",
            likely_days=14,
            low_days=10,
            high_days=28,
            closed=(DaySpan(first=date(2026, 8, 1), last=date(2026, 8, 15)),),
        ),
    )


def test_builds_come_in_line_order_with_what_is_left_to_do(shop: Shop) -> None:
    second = make_build(2, promised_from=date(2026, 5, 4), promised_to=date(2026, 5, 20))
    first = make_build(1, steps=True, hold_reason="waits for the title")
    cancelled = make_build(3, steps=True)
    cancelled.state, cancelled.place = BuildState.CANCELLED, None
    cancelled.save()
    motor = make_component("MOT-1")
    need = make_need(first, motor, 2, "wiring")
    receive(motor, 1)
    StockMove.objects.create(component=motor, kind="issued", on_hand=Decimal(-1), need=need)
    done = first.steps.get(code="teardown")
    done.state, done.started_at, done.finished_at = "done", MONDAY_NOON, MONDAY_NOON
    done.save()
    one, two = shop_state().builds
    assert (one.number, one.place, one.on_hold) == ("B-1001", 1, True)
    assert [step.code for step in one.steps] == ["mounts", "pack", "wiring", "road-test"]
    assert one.steps[0].skill == "fabrication"
    assert one.needs == (Need(code="MOT-1", quantity=Decimal(1), step="wiring", name="hub motor 10 kW 72 V"),)
    assert (two.number, two.promised_from, two.promised_to) == (
        second.number,
        date(2026, 5, 4),
        date(2026, 5, 20),
    )


def test_a_need_fully_handed_to_the_bench_is_gone(shop: Shop) -> None:
    fuse = make_component("FUS-1")
    need = make_need(make_build(), fuse, 1)
    receive(fuse, 1)
    StockMove.objects.create(component=fuse, kind="issued", on_hand=Decimal(-1), need=need)
    assert shop_state().builds[0].needs == ()


@pytest.mark.parametrize(
    ("started", "left"),
    [
        # Mounts take 8, 12 or 18 h. Started Monday 9:00, now 12:00: 3 h gone.
        (datetime(2026, 3, 2, 14, 0, tzinfo=UTC), ("5.00", "9.00", "15.00")),
        # Started Friday 8:00: 8 h on Friday and 4 h on Monday gone, nothing left of low and likely but the quarter.
        (datetime(2026, 2, 27, 13, 0, tzinfo=UTC), ("0.25", "0.25", "6.00")),
    ],
)
def test_a_step_under_way_has_the_rest_of_its_hours_left(shop: Shop, started: datetime, left: tuple[str, ...]) -> None:
    build = make_build()
    mounts = add_steps(build)[1]
    mounts.state, mounts.started_at = "doing", started
    mounts.person, mounts.bench = Person.objects.get(name="Ana Example"), Bench.objects.get(name="Fab 1")
    mounts.save()
    step = shop_state(now=MONDAY_NOON).builds[0].steps[1]
    assert (step.low_h, step.likely_h, step.high_h) == tuple(Decimal(hours) for hours in left)
    assert (step.person, step.bench, step.started) == ("Ana Example", "Fab 1", started)


def test_the_plans_revision_comes_from_the_lock(shop: Shop) -> None:
    assert shop_state().revision == 0
    LineLock.objects.create(pk=1, revision=41)
    assert shop_state().revision == 41


def test_only_about_drops_components_nobody_asks_for(shop: Shop) -> None:
    motor, fuse, cell = make_component("MOT-1"), make_component("FUS-1"), make_component("CEL-1")
    make_need(make_build(), fuse, 1)
    for component in (motor, fuse, cell):
        receive(component, 1)
        make_offer(component, priced_on=DAY)
    state = only_about(shop_state(), {"MOT-1"})
    assert {row.code for row in state.stock} == {row.code for row in state.supplies} == {"MOT-1", "FUS-1"}


@pytest.mark.parametrize("rows", [1, 50])
def test_queries_stay_flat(shop: Shop, rows: int, django_assert_num_queries) -> None:
    motor = make_component("MOT-1")
    make_offer(motor, priced_on=DAY)
    receive(motor, rows)
    order = make_order()
    make_order_line(motor, 4, order=order)
    for place in range(1, rows + 1):
        make_need(make_build(place, steps=True), motor, 1)
        person = Person.objects.create(name=f"Person {place}")
        Leave.objects.create(person=person, first=DAY, last=DAY)
    with django_assert_num_queries(21):
        assert len(shop_state().builds) == rows
