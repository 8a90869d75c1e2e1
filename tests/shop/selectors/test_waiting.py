from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from shop.models import Build
from shop.selectors.waiting import WaitingNeed, waiting_builds, waiting_needs, waiting_parts
from tests.shop.made_builds import make_day_build, make_need, make_order, make_order_line
from tests.shop.made_offers import DAY, make_part
from tests.shop.made_parts import receive
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")  # Monday the 2nd of March, 9:00


def only(needs: tuple[WaitingNeed, ...]) -> WaitingNeed:
    (need,) = needs
    return need


def test_what_is_on_the_shelf_waits_for_nothing() -> None:
    motor = make_part("MOT-1")
    make_need(make_day_build(), motor, 1)
    receive(motor, 1)
    assert waiting_builds() == ()
    assert waiting_parts() == ()


def test_a_part_on_order_with_what_it_does_to_the_finish() -> None:
    motor = make_part("MOT-1")
    make_need(make_day_build(accepted_at=datetime(2026, 2, 10, 15, 0, tzinfo=UTC)), motor, 2)
    receive(motor, 1)
    order = make_order("P-310")
    make_order_line(motor, 5, order=order, expected_on=date(2026, 3, 20))
    need = only(waiting_needs())
    assert (need.component, need.short_by, need.order) == (motor, Decimal(1), order)
    assert (need.part.arrives, need.part.ready, need.part.late_days) == (date(2026, 3, 20), date(2026, 3, 21), 0)
    assert need.waiting_days == 20  # since 10 February, a month of 28 days
    # With the motor here it would be done today; it comes on the 20th and is wired on Monday the 23rd: 21 days.
    assert need.delay_days == 21


def test_a_part_that_comes_in_time_holds_nothing_up() -> None:
    motor, fuse = make_part("MOT-1"), make_part("FUS-1")
    build = make_day_build()
    make_need(build, motor, 1)
    make_need(build, fuse, 1)
    make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    make_order_line(fuse, 1, order=make_order("P-311"), expected_on=date(2026, 3, 9))
    delays = {need.component.code: need.delay_days for need in waiting_needs()}
    # Without the fuse's wait the motor still decides. Without the motor's the fuse would: Tuesday the 10th.
    assert delays == {"MOT-1": 13, "FUS-1": 0}
    (waiting,) = waiting_builds()
    assert (waiting.delay_days, len(waiting.needs)) == (13, 2)


def test_an_overdue_order_and_a_part_to_order() -> None:
    motor, fuse = make_part("MOT-1"), make_part("FUS-1")
    build = make_day_build()
    make_need(build, motor, 1)
    make_need(build, fuse, 1)
    make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 2, 20))
    motor_need, fuse_need = waiting_needs()
    assert (motor_need.part.late_days, motor_need.part.arrives) == (10, date(2026, 3, 3))  # not before tomorrow
    assert (fuse_need.order, fuse_need.part.origin, fuse_need.part.lead_days) == (None, "to_order", 14)


def test_by_part_with_the_builds_in_order_of_the_line() -> None:
    motor, fuse = make_part("MOT-1"), make_part("FUS-1")
    for place in (1, 2, 3):
        make_need(make_day_build(place), motor, place)
    make_need(Build.objects.get(place=2), fuse, 1)
    make_order_line(motor, 4, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    make_order_line(fuse, 1, order=make_order("P-311"), expected_on=DAY)
    first, second = waiting_parts()
    assert (first.component, first.short_by, first.expected) == (motor, Decimal(6), date(2026, 3, 16))
    # Four come on the 20th for 1 + 2 + 1; the last two have to be ordered and would be here after 14 days, on the 16th.
    numbers = [(need.row.build.number, need.short_by, need.part.origin) for need in first.needs]
    assert numbers == [
        ("B-1001", Decimal(1), "order"),
        ("B-1002", Decimal(2), "order"),
        ("B-1003", Decimal(1), "order"),
        ("B-1003", Decimal(2), "to_order"),
    ]
    assert (second.component, second.short_by, second.delay_days) == (fuse, Decimal(1), 0)
    assert waiting_parts(waiting_needs()) == (first, second)


def test_without_a_date_there_is_no_delay_to_tell() -> None:
    make_need(make_day_build(1), make_part("MOT-1", offered=False), 1)
    make_need(make_day_build(2, hold_reason="title"), make_part("FUS-1"), 1)
    blocked, held = waiting_needs()
    assert (blocked.delay_days, held.delay_days) == (None, None)
    assert "Enter a supplier" in blocked.part.note


@pytest.mark.parametrize("read", [waiting_builds, waiting_parts])
def test_queries_stay_flat(read) -> None:
    motor = make_part("MOT-1")
    make_need(make_day_build(1), motor, 1)
    make_order_line(motor, 1, order=make_order("P-1"), expected_on=date(2026, 3, 20))
    one = queries_of(read)
    for place in range(2, 51):
        make_need(make_day_build(place), motor, 1)
        make_order_line(motor, 1, order=make_order(f"P-{place}"), expected_on=date(2026, 3, 20))
    assert queries_of(read) == one
