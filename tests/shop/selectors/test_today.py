from __future__ import annotations

from datetime import date, datetime, timedelta

import pytest

from shop.models import QuoteVersion
from shop.permissions import BUILDER, COUNTER, OWNER
from shop.selectors.today import today_page
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import DAY, make_kit, make_part
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")  # Monday the 2nd of March, 9:00


def test_an_empty_shop_has_an_empty_day() -> None:
    page = today_page({OWNER})
    assert page.day == DAY
    assert (page.lapsing, page.order_now, page.endangered, page.late_orders, page.ready) == ((), (), (), (), ())
    assert [(bench.name, bench.bookings) for bench in page.benches] == [("Fab 1", ()), ("Pack 1", ())]


def test_quotes_that_lapse_within_a_week(morning: datetime, set_clock) -> None:
    motor = make_part("MOT-1")
    version = make_kit("Q-1", {motor: 1})
    assert version.valid_until == date(2026, 4, 1)
    set_clock(morning + timedelta(days=22))  # 24 March: eight days before
    assert today_page({COUNTER}).lapsing == ()
    set_clock(morning + timedelta(days=23))
    (lapsing,) = today_page({COUNTER}).lapsing
    assert (lapsing.version, lapsing.days_left) == (version, 7)
    set_clock(morning + timedelta(days=30))
    assert today_page({COUNTER}).lapsing[0].days_left == 0
    set_clock(morning + timedelta(days=31))
    assert today_page({COUNTER}).lapsing == ()
    QuoteVersion.objects.update(state="declined")
    set_clock(morning + timedelta(days=30))
    assert today_page({COUNTER}).lapsing == ()


def test_parts_to_order_promises_in_danger_and_late_orders() -> None:
    motor, fuse, lamp = make_part("MOT-1"), make_part("FUS-1"), make_part("LMP-1")
    safe = make_day_build(1, promised_from=DAY, promised_to=date(2026, 12, 1))
    make_need(safe, lamp, 1)  # to order, but there is time
    late = make_day_build(2, promised_from=DAY, promised_to=DAY)
    make_need(late, motor, 1)
    make_need(late, fuse, 1)
    make_order_line(fuse, 1, order=make_order("P-310"), expected_on=date(2026, 2, 20))
    page = today_page({COUNTER})
    assert [row.component for row in page.order_now] == [motor]
    assert [row.build for row in page.endangered] == [late]
    assert [(due.line.order.number, due.line.component) for due in page.late_orders] == [("P-310", fuse)]


def test_a_blocked_build_is_in_danger() -> None:
    build = make_day_build()
    make_need(build, make_part("MOT-1", offered=False), 1)
    assert [row.build for row in today_page({OWNER}).endangered] == [build]


def test_what_is_on_the_benches_today() -> None:
    make_day_build(1)
    make_day_build(2)
    benches = {bench.name: bench.bookings for bench in today_page({BUILDER}).benches}
    # The second build's six hours begin at 16:00 today.
    assert [(each.build, each.label, each.person) for each in benches["Pack 1"]] == [
        ("B-1001", "Wire and set up", "Ben Example"),
        ("B-1002", "Wire and set up", "Ben Example"),
    ]
    assert benches["Fab 1"] == ()


def test_builds_ready_and_on_hold(morning: datetime) -> None:
    ready = make_build(1, state="ready", finished_at=morning)
    held = make_day_build(2, hold_reason="title")
    page = today_page({BUILDER})
    assert [row.build for row in page.ready] == [ready]
    assert [row.build for row in page.on_hold] == [held]


def test_builders_are_shown_no_quotes_and_no_orders() -> None:
    motor = make_part("MOT-1")
    make_kit("Q-1", {motor: 1})
    QuoteVersion.objects.filter(state="draft").delete()
    make_need(make_day_build(promised_from=DAY, promised_to=DAY), motor, 1)
    make_order_line(make_part("FUS-1"), 1, order=make_order("P-310"), expected_on=date(2026, 2, 20))
    page = today_page({BUILDER})
    assert (page.lapsing, page.order_now, page.late_orders) == ((), (), ())
    assert len(page.endangered) == 1


def test_queries_stay_flat(morning: datetime, set_clock) -> None:
    motor = make_part("MOT-1")

    def make(number: int) -> None:
        make_need(make_day_build(number, promised_from=DAY, promised_to=DAY), motor, 1)
        make_order_line(motor, 1, order=make_order(f"P-{number}"), expected_on=date(2026, 2, 20))

    make_kit("Q-1", {motor: 1})
    make(1)
    set_clock(morning + timedelta(days=30))
    one = queries_of(lambda: today_page({OWNER}))
    for number in range(2, 51):
        make(number)
    for number in range(2, 6):
        make_kit(f"Q-{number}", {motor: 1})
    assert queries_of(lambda: today_page({OWNER})) == one
