"""Days counted on the calendar.

Order-by date = need date - lead time: worked on the calendar of 2027 (15 March is a Monday; 42 days are 6 weeks, and 30
business days without a holiday are 6 weeks too).
Holiday: Washington's Birthday, third Monday in February, 5 U.S.C. 6103(a).
Change of clocks: 2:00 on the second Sunday of March and the first Sunday of November, 15 U.S.C. 260a(a); in the
European Union 1:00 UTC on the last Sundays of March and October, Directive 2000/84/EC.
"""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

import pytest

from quoting.promise import Calendar, closed_ordinals, latest_order_day, plan_line
from quoting.request import (
    Bench,
    DaySpan,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Person,
    Policies,
    ShopState,
    Supply,
)

NEED = date(2027, 3, 15)
WEEKENDS = [
    DaySpan(first=date(2027, 1, 2) + timedelta(weeks=n), last=date(2027, 1, 3) + timedelta(weeks=n)) for n in range(20)
]
HOLIDAY = DaySpan(first=date(2027, 2, 15), last=date(2027, 2, 15), reason="Washington's Birthday")


def test_a_need_on_15_march_less_42_calendar_days_is_1_february():
    assert latest_order_day(NEED, 42, closed_ordinals([])) == date(2027, 2, 1)
    assert date(2027, 2, 1).weekday() == 0


def test_the_same_as_30_business_days_without_a_holiday():
    assert latest_order_day(NEED, 30, closed_ordinals(WEEKENDS)) == date(2027, 2, 1)


def test_one_holiday_inside_moves_it_to_the_friday_before():
    assert HOLIDAY.first.weekday() == 0
    assert HOLIDAY.first.day in range(15, 22)  # the third Monday
    assert latest_order_day(NEED, 30, closed_ordinals([*WEEKENDS, HOLIDAY])) == date(2027, 1, 29)


@pytest.mark.parametrize(
    ("lead_days", "closed", "order_by"), [(42, (), date(2027, 2, 1)), (30, (*WEEKENDS, HOLIDAY), date(2027, 1, 29))]
)
def test_the_same_days_come_out_of_a_plan(lead_days: int, closed: tuple[DaySpan, ...], order_by: date):
    # One step of a whole Monday, promised for Monday 15 March; the shop opens on Mondays only.
    fit = OpenStep(
        code="fit", label="fit", skill="", bench_type="lift", low_h=Decimal(0), likely_h=Decimal(8), high_h=Decimal(0)
    )
    build = OpenBuild(
        number="1",
        place=1,
        steps=(fit,),
        needs=(Need(code="motor", quantity=Decimal(1), step="fit"),),
        promised_to=NEED,
    )
    shop = ShopState(
        zone="America/New_York",
        openings=(Opening(weekday=0, start=time(8), end=time(16)),),
        benches=(Bench(name="Lift", bench_type="lift"),),
        people=(Person(name="Ana"),),
        supplies=(Supply(code="motor", supplier="Estuary", likely_days=lead_days, closed=closed),),
        builds=(build,),
    )
    line = plan_line(shop, datetime(2027, 1, 11, 13, tzinfo=UTC), date(2027, 1, 11), Policies(handling_days=0))
    assert line.builds[0].parts[0].order_by == order_by


def sunday_night(zone: str, day: date) -> float:
    """Hours from midnight to 6:00 on the wall clock [h]."""
    calendar = Calendar(zone, (Opening(weekday=6, start=time(0), end=time(6)),), (), day)
    return calendar.slot_of_day(day + timedelta(days=1)) / 4


@pytest.mark.parametrize("year", range(2024, 2034))
def test_clocks_change_on_the_days_the_law_names(year: int):
    second_of_march = date(year, 3, 8) + timedelta(days=(6 - date(year, 3, 8).weekday()) % 7)
    first_of_november = date(year, 11, 1) + timedelta(days=(6 - date(year, 11, 1).weekday()) % 7)
    week = timedelta(weeks=1)
    assert [sunday_night("America/New_York", second_of_march + shift) for shift in (-week, 0 * week, week)] == [6, 5, 6]
    assert [sunday_night("America/New_York", first_of_november + shift) for shift in (-week, 0 * week, week)] == [
        6,
        7,
        6,
    ]
    last_of_march = date(year, 3, 31) - timedelta(days=(date(year, 3, 31).weekday() + 1) % 7)
    last_of_october = date(year, 10, 31) - timedelta(days=(date(year, 10, 31).weekday() + 1) % 7)
    assert [sunday_night("Europe/Berlin", day) for day in (last_of_march, last_of_october)] == [5, 7]
