"""Merged intervals, and lead times around a supplier's closed days against counting day by day."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from quoting.promise.spans import Spans, arrival_day, closed_ordinals, latest_order_day
from tests.quoting.promise.shops import march, off

ONE_DAY = timedelta(days=1)
intervals = st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), max_size=12)
closures = st.lists(st.tuples(st.integers(-20, 80), st.integers(0, 15)), max_size=5).map(
    lambda pairs: closed_ordinals(
        [off(march(1) + timedelta(days=at), march(1) + timedelta(days=at + more)) for at, more in pairs]
    )
)


@given(intervals)
def test_a_union_holds_the_points_of_its_intervals_and_no_others(pairs: list[tuple[int, int]]):
    spans = Spans(pairs)
    points = {point for start, end in pairs for point in range(start, end)}
    assert {point for start, end in spans for point in range(start, end)} == points
    for before, after in zip(list(spans), list(spans)[1:], strict=False):
        assert before[1] < after[0]
    for point in range(41):
        assert (spans.covering(point) is not None) == (point in points)


def test_lead_time_is_counted_in_calendar_days():
    nothing = closed_ordinals([])
    assert arrival_day(march(1), 45, nothing) == date(2027, 4, 15)  # 30 days left in March, then 15
    assert arrival_day(march(1), 0, nothing) == march(1)


def test_days_the_supplier_is_closed_do_not_count():
    week = closed_ordinals([off(march(8), march(14))])
    assert arrival_day(march(1), 6, week) == march(7)
    assert arrival_day(march(1), 7, week) == march(15)  # 2 to 7 March are six, the seventh is the 15th
    assert arrival_day(march(10), 3, week) == march(17)  # ordered while closed: counted from the 15th
    assert arrival_day(march(10), 0, week) == march(15)


def is_open(day: date, closed: Spans) -> bool:
    return closed.covering(day.toordinal()) is None


@given(st.integers(0, 60), st.integers(0, 60), closures)
def test_an_arrival_has_the_lead_times_open_days_after_the_order(offset: int, lead_days: int, closed: Spans):
    ordered = march(1) + timedelta(days=offset)
    arrives = arrival_day(ordered, lead_days, closed)
    assert is_open(arrives, closed)
    counted = [ordered + timedelta(days=number) for number in range(1, (arrives - ordered).days + 1)]
    assert sum(is_open(day, closed) for day in counted) == lead_days or lead_days == 0
    if lead_days == 0:
        assert all(not is_open(day, closed) for day in [ordered, *counted][:-1])


@given(st.integers(0, 60), st.integers(0, 60), closures, st.integers(-60, 60))
def test_the_latest_order_day_is_the_last_that_arrives_in_time(needed_in, lead_days, closed, today_in):
    needed, today = march(1) + timedelta(days=needed_in), march(1) + timedelta(days=today_in)
    latest = latest_order_day(needed, lead_days, closed)
    assert is_open(latest, closed)
    assert arrival_day(latest, lead_days, closed) <= needed
    later = latest + ONE_DAY
    while later <= needed + ONE_DAY:
        assert not is_open(later, closed) or arrival_day(later, lead_days, closed) > needed
        later += ONE_DAY
    held = latest_order_day(needed, lead_days, closed, today)
    assert held == (today if today > latest and arrival_day(today, lead_days, closed) <= needed else latest)


def test_order_before_the_supplier_closes_unless_it_has_closed_already():
    week = closed_ordinals([off(march(8), march(14))])
    assert latest_order_day(march(20), 6, week) == march(7)  # 15 to 20 March are the six days
    assert latest_order_day(march(20), 6, week, today=march(10)) == march(10)
