from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from quoting.request import DaySpan, Opening
from shop.selectors.open_time import open_hours

NEW_YORK = ZoneInfo("America/New_York")
WEEK = [
    Opening(weekday=day, start=time(start), end=time(end)) for day in range(5) for start, end in ((8, 12), (13, 17))
]


def at(day: int, hour: int, minute: int = 0, month: int = 3) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=NEW_YORK)


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        (at(2, 9), at(2, 11, 30), "2.50"),  # inside one opening
        (at(2, 11), at(2, 14), "2.00"),  # 11 to 12 and 13 to 14, lunch left out
        (at(2, 6), at(2, 20), "8.00"),  # the whole day
        (at(6, 16), at(9, 9), "2.00"),  # Friday 16 to 17, Monday 8 to 9, nothing on the weekend
        (at(7, 9), at(8, 17), "0.00"),  # a weekend
        (at(2, 11), at(2, 9), "0.00"),  # the wrong way round
    ],
)
def test_only_open_hours_count(start: datetime, end: datetime, hours: str) -> None:
    assert open_hours(WEEK, (), "America/New_York", start, end) == Decimal(hours)


def test_a_closed_day_has_none() -> None:
    shut = [DaySpan(first=date(2026, 3, 3), last=date(2026, 3, 4))]
    # Monday 2 March 8 h, Tuesday and Wednesday shut, Thursday 5 March 8 to 10: 10 h.
    assert open_hours(WEEK, shut, "America/New_York", at(2, 8), at(5, 10)) == Decimal("10.00")


def test_the_night_the_clocks_go_forward_is_an_hour_shorter() -> None:
    # 8 March 2026: 2:00 becomes 3:00 in New York, so 0:00 to 6:00 by the clock is five hours.
    night = [Opening(weekday=6, start=time(0), end=time(6))]
    assert open_hours(night, (), "America/New_York", at(8, 0), at(8, 12)) == Decimal("5.00")
