from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from quoting.result import BuildPlan
from shop.models import Bench, Build, OpeningHours, Person, Shop
from shop.selectors.line import LineRow, line_rows, move_preview, window_change
from shop.selectors.odds import line_odds
from shop.selectors.plan import line_plan
from tests.shop.made_builds import make_build, make_day_build, make_need, make_order, make_order_line
from tests.shop.made_odds import keep_line, made_odds
from tests.shop.made_offers import DAY, make_part
from tests.shop.made_parts import make_donor
from tests.shop.queries import queries_of

pytestmark = pytest.mark.usefixtures("shop", "morning")  # Monday the 2nd of March, 9:00


def the_row() -> LineRow:
    (row,) = line_rows()
    return row


def test_a_build_that_can_start_is_held_by_nothing() -> None:
    make_day_build(donor=make_donor(), promised_from=DAY, promised_to=DAY)
    row = the_row()
    # 9 to 12 and 13 to 16: six hours, done today.
    assert (row.finish_from, row.finish_to, row.late_days, row.holds, row.doing) == (DAY, DAY, 0, "", "")
    assert (row.build.customer.name, str(row.build.donor)) == ("Customer 1 Example", "Anvil 500, 1999")


def test_what_holds_a_build_is_said_in_words_and_the_days_it_is_late() -> None:
    motor = make_part("MOT-1")
    build = make_day_build(promised_from=DAY, promised_to=date(2026, 3, 10))
    make_need(build, motor, 1, "wiring")
    make_order_line(motor, 1, order=make_order("P-310"), expected_on=date(2026, 3, 20))
    row = the_row()
    # Friday the 20th, a day of goods-in, so Monday the 23rd. Slow: a high lead time of 28 days is 14 more than the
    # likely 14, so it comes on 3 April, ready on Saturday: Monday the 6th. 6 April is 27 days after 10 March.
    assert (row.finish_from, row.finish_to, row.late_days) == (date(2026, 3, 23), date(2026, 4, 6), 27)
    assert "hub motor" in row.holds
    assert "P-310" in row.holds


def test_a_bench_that_is_taken_holds_the_next_build() -> None:
    make_day_build(1)
    make_day_build(2)
    first, second = line_rows()
    assert (first.holds, second.finish_from) == ("", DAY + timedelta(days=1))
    # Ben is the only one for electrics, and Pack 1 the only bench: both are taken until today 16:00.
    assert second.holds != ""


def test_steps_under_way_are_told(morning: datetime) -> None:
    build = make_build(steps=True)
    where = {"bench": Bench.objects.get(name="Fab 1"), "person": Person.objects.get(name="Ana Example")}
    build.steps.filter(code="teardown").update(state="doing", started_at=morning, **where)
    assert (the_row().doing, the_row().holds) == ("Take the engine out on Fab 1, Ana Example", "")


def test_a_hold_a_blocked_build_and_a_ready_one(morning: datetime) -> None:
    make_day_build(1, hold_reason="title is missing")
    make_need(make_day_build(2), make_part("MOT-1", offered=False), 1)
    make_build(3, state="ready", finished_at=morning, promised_from=DAY, promised_to=DAY)
    held, blocked, ready = line_rows()
    assert (held.holds, held.finish_to, held.late_days) == ("On hold: title is missing", None, None)
    assert blocked.finish_to is None
    assert "Enter a supplier with a lead time" in blocked.holds
    assert (ready.holds, ready.finish_to, ready.late_days) == ("", None, None)


def test_closed_builds_are_not_in_the_line() -> None:
    make_build(1)
    Build.objects.update(state="cancelled", place=None)
    assert line_rows() == ()


def test_without_opening_hours_the_line_says_what_to_enter(shop: Shop) -> None:
    make_day_build()
    OpeningHours.objects.all().delete()
    assert the_row().holds == "The shop has no open time. Enter opening hours, and check the closed days."


def test_a_place_outside_the_line_is_taken_to_its_end() -> None:
    builds = [make_day_build(place) for place in (1, 2, 3)]
    past = move_preview(build=builds[0], place=99)
    assert [(change.build.number, change.place_after) for change in past] == [
        ("B-1001", 3),
        ("B-1002", 1),
        ("B-1003", 2),
    ]
    # Each takes a day: the first comes two days later, the others one day earlier.
    assert [change.days_later for change in past] == [2, -1, -1]
    assert move_preview(build=builds[0], place=-1) == ()  # it is there already


def test_a_plan_is_not_kept_longer_than_it_holds(shop: Shop, set_clock, morning: datetime) -> None:
    build = make_day_build()
    assert line_plan().builds[0].finish_from == DAY
    build.steps.update(high_h=12, likely_h=12)
    # 7 h are left of Monday: 12 h end on Tuesday.
    assert line_plan().builds[0].finish_from == DAY + timedelta(days=1)
    set_clock(morning + timedelta(days=7))
    assert line_plan().builds[0].finish_from == DAY + timedelta(days=8)


def test_the_line_takes_as_many_queries_for_fifty_builds_as_for_one() -> None:
    motor = make_part("MOT-1")
    make_need(make_day_build(1, donor=make_donor()), motor, 1)
    one = queries_of(line_rows)
    family = Build.objects.get().donor.family  # type: ignore[union-attr]
    for place in range(2, 51):
        make_need(make_day_build(place, donor=make_donor(family)), motor, 1)
    assert queries_of(line_rows) == one
    assert len(line_rows()) == 50


def test_a_preview_takes_as_many_queries_for_fifty_builds_as_for_two() -> None:
    builds = [make_day_build(place) for place in (1, 2)]
    two = queries_of(lambda: move_preview(build=builds[1], place=1))
    builds += [make_day_build(place) for place in range(3, 51)]
    assert queries_of(lambda: move_preview(build=builds[-1], place=1)) == two


def march(day: int) -> date:
    return date(2026, 3, day)


@pytest.mark.parametrize(
    ("promised", "late", "breaks", "mended"), [(16, 0, False, False), (12, 1, True, False), (9, 4, False, True)]
)
def test_with_runs_a_change_moves_their_window_by_what_it_moves_the_plan(
    promised: int, late: int, breaks: bool, mended: bool
) -> None:
    """By the runs done from the 10th to the 16th. The plan goes from 11 and 20 to 14 and 25 March: 3 days later at
    likely hours, 5 at slow ones. So the 13th to the 21st, and late when the 13th is past the promise, whatever slow
    hours say: they were past it before. The other way about it is the 7th to the 11th.
    """
    build = make_day_build(promised_from=march(2), promised_to=march(promised))
    keep_line({build.number: made_odds()})
    old = BuildPlan(number=build.number, place=1, finish_from=march(11), finish_to=march(20))
    new = replace(old, finish_from=march(14), finish_to=march(25))
    change = window_change(build, old, new, line_odds())
    assert (change.from_before, change.to_before) == (march(10), march(16))
    assert (change.from_after, change.to_after, change.days_later) == (march(13), march(21), 5)
    assert (change.late_days, change.breaks, change.mends) == (late, breaks, False)
    earlier = window_change(build, new, old, line_odds())
    assert (earlier.from_after, earlier.to_after, earlier.mends) == (march(7), march(11), mended)
    back = window_change(build, new, old, None)  # without runs: slow hours decide
    assert (back.from_before, back.to_after, back.late_days) == (march(14), march(20), 20 - promised)


def test_a_change_that_blocks_a_build_breaks_its_promise() -> None:
    build = make_day_build(promised_from=march(2), promised_to=march(16))
    keep_line({build.number: made_odds()})
    old = BuildPlan(number=build.number, place=1, finish_from=march(11), finish_to=march(20))
    blocked = BuildPlan(number=build.number, place=1, blocked="Nobody can weld.")
    change = window_change(build, old, blocked, line_odds())
    assert (change.to_after, change.late_days, change.days_later, change.breaks) == (None, None, None, True)


def test_a_build_that_is_ready_breaks_no_promise() -> None:
    build = make_day_build(promised_from=march(2), promised_to=march(4), state="ready")
    old = BuildPlan(number=build.number, place=1, finish_from=march(9), finish_to=march(9))
    change = window_change(build, old, old, None)
    assert (change.late_days, change.breaks, change.mends) == (None, False, False)
