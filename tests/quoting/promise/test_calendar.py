"""The axis of open time: hand-counted slots, both changes of clocks, closed days, leave, and what is refused."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.errors import CalendarError
from quoting.promise.calendar import FAR, Calendar
from quoting.request import DaySpan, Opening
from tests.quoting.promise.shops import DAY, WEEK, ZONE, at, march, off

NIGHT = (Opening(weekday=6, start=time(0), end=time(6)),)  # Sundays, across the change of clocks


def axis(openings: tuple[Opening, ...] = WEEK, closed: tuple[DaySpan, ...] = (), first: date = DAY) -> Calendar:
    return Calendar(ZONE, openings, closed, first)


def test_a_day_of_eight_hours_is_32_slots():
    calendar = axis()
    assert [calendar.slot_of_day(march(day)) for day in (1, 2, 3, 5, 6, 7, 8)] == [0, 32, 64, 128, 160, 160, 160]


def test_an_interval_ends_when_its_last_slot_does_and_the_next_begins_after_the_break():
    calendar = axis()
    assert calendar.start_of(15) == at(1, 11, 45)
    assert calendar.end_of(16) == at(1, 12)
    assert calendar.start_of(16) == at(1, 13)
    assert calendar.end_of(32) == at(1, 17)
    assert calendar.start_of(160) == at(8, 8)
    assert calendar.day_of(159) == march(5)


def test_a_moment_is_the_first_slot_that_begins_at_or_after_it():
    calendar = axis()
    moments = [at(1, 7), at(1, 8), at(1, 8, 1), at(1, 8, 15), at(1, 12), at(1, 12, 30), at(1, 17), at(6, 12)]
    assert [calendar.slot_at(moment) for moment in moments] == [0, 0, 1, 1, 16, 16, 32, 160]
    assert calendar.slot_at(at(1, 8, 15).astimezone(UTC)) == 1


def test_spring_takes_an_hour_out_of_a_night_and_autumn_gives_one_back():
    # 15 U.S.C. 260a: clocks go from 2:00 to 3:00 on 14 March 2027, back on 7 November 2027.
    spring = axis(NIGHT, first=march(14))
    assert spring.slot_of_day(march(15)) == 5 * 4
    assert spring.end_of(8) == datetime(2027, 3, 14, 7, tzinfo=UTC)  # 2:00 does not exist: two hours on it is 3:00
    assert spring.start_of(8).hour == 3
    autumn = axis(NIGHT, first=date(2027, 11, 7))
    assert autumn.slot_of_day(date(2027, 11, 8)) == 7 * 4
    assert [autumn.start_of(slot).hour for slot in (4, 8, 12)] == [1, 1, 2]
    assert [autumn.start_of(slot).utcoffset() for slot in (4, 8)] == [timedelta(hours=-4), timedelta(hours=-5)]


def test_a_working_day_keeps_its_wall_clock_across_the_change():
    calendar = axis()
    assert calendar.start_of(calendar.slot_of_day(march(12))) == datetime(2027, 3, 12, 13, tzinfo=UTC)
    assert calendar.start_of(calendar.slot_of_day(march(15))) == datetime(2027, 3, 15, 12, tzinfo=UTC)


def test_an_opening_inside_the_hour_that_is_skipped_is_read_with_the_old_offset():
    # 2:00 to 2:30 becomes 3:00 to 3:30 and is then not counted twice with the opening that starts at 3:00
    openings = (
        Opening(weekday=6, start=time(2), end=time(2, 30)),
        Opening(weekday=6, start=time(3), end=time(4)),
    )
    calendar = axis(openings, first=march(14))
    assert calendar.slot_of_day(march(15)) == 4
    assert calendar.start_of(0) == datetime(2027, 3, 14, 7, tzinfo=UTC)


def test_closed_days_do_not_exist():
    calendar = axis(closed=(off(march(2), march(4)), off(march(4), march(5))))
    assert calendar.slot_of_day(march(8)) == 32
    assert calendar.next_working_day(DAY) == march(8)
    assert calendar.open_on_or_after(march(3)) == march(8)


def test_a_closure_counts_where_the_shop_would_have_been_open():
    weekend, week = off(march(6), march(7)), off(march(9), march(10))
    calendar = axis(closed=(week, weekend))
    assert calendar.closures(march(1), march(31)) == [week]
    assert calendar.closures(march(1), march(8)) == []


def test_overlapping_openings_count_once_and_a_rest_below_a_slot_is_left_out():
    openings = (
        Opening(weekday=0, start=time(8), end=time(12)),
        Opening(weekday=0, start=time(10), end=time(13, 10)),
    )
    assert axis(openings).slot_of_day(march(2)) == 16 + 4


def test_an_opening_may_end_at_midnight():
    calendar = axis((Opening(weekday=0, start=time(22), end=time(0)), Opening(weekday=1, start=time(0), end=time(2))))
    assert calendar.slot_of_day(march(2)) == 8
    assert calendar.slot_of_day(march(3)) == 16
    assert calendar.end_of(8) == at(2, 0)


def test_leave_becomes_slots_and_may_run_past_the_horizon():
    calendar = axis()
    spans = calendar.blocked(
        (off(date(2027, 2, 1), march(1)), off(march(3), march(6)), off(march(10), date(2099, 1, 1))), "leave"
    )
    assert list(spans) == [(0, 32), (64, 160), (calendar.slot_of_day(march(10)), FAR)]


@pytest.mark.parametrize(
    ("openings", "closed", "said"),
    [
        ((), (), "opening hours"),
        (WEEK, (off(date(2020, 1, 1), date(2060, 1, 1)),), "no open time"),
        ((Opening(weekday=0, start=time(8), end=time(8)),), (), "ends before it starts"),
        ((Opening(weekday=7, start=time(8), end=time(9)),), (), "weekday 7"),
        (WEEK, (off(march(5), march(4)),), "closed_days"),
    ],
)
def test_a_calendar_that_cannot_be_is_refused_with_the_field(openings, closed, said):
    with pytest.raises(CalendarError, match=said):
        axis(openings, closed)


def test_an_unknown_zone_and_a_moment_without_one_are_refused():
    with pytest.raises(CalendarError, match="zone: 'Port/Wren'"):
        Calendar("Port/Wren", WEEK, (), DAY)
    with pytest.raises(CalendarError, match="no time zone"):
        axis().slot_at(datetime(2027, 3, 1, 8))  # noqa: DTZ001
    with pytest.raises(CalendarError, match="ten years"):
        axis().slot_of_day(date(2050, 1, 1))


@given(st.integers(0, 20_000), st.sampled_from([ZONE, "Europe/London", "Australia/Lord_Howe", "America/Sao_Paulo"]))
def test_every_slot_is_found_again_by_the_moment_it_begins(slot: int, zone: str):
    week = (*WEEK, *NIGHT)
    calendar = Calendar(zone, week, (off(march(8), march(12)),), DAY)
    moment = calendar.start_of(slot)
    assert moment.tzinfo == ZoneInfo(zone)
    assert calendar.slot_at(moment) == slot
    assert calendar.slot_at(moment + timedelta(seconds=1)) == slot + 1
    assert calendar.slot_of_day(moment.date()) <= slot < calendar.slot_of_day(moment.date() + timedelta(days=1))
    assert calendar.end_of(slot + 1).astimezone(UTC) - moment.astimezone(UTC) == timedelta(minutes=15)
    inside = [(opening.start, opening.end) for opening in week if opening.weekday == moment.weekday()]
    assert any(start <= moment.time() < end for start, end in inside)
