"""How long the shop was open between two moments: the time a step under way can have been worked on."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from quoting.request import DaySpan, Opening

SECONDS_PER_HOUR = 3600
HUNDREDTH_H = Decimal("0.01")


def open_hours(
    openings: Iterable[Opening], closed: Iterable[DaySpan], zone: str, start: datetime, end: datetime
) -> Decimal:
    """Open hours from `start` to `end`, both aware, to the hundredth; zero when `end` is not after `start`.

    Measured in UTC, so that a night on which the clocks change counts the hours it really has.
    """
    local = ZoneInfo(zone)
    shut = tuple(closed)
    week: dict[int, list[Opening]] = {}
    for opening in openings:
        week.setdefault(opening.weekday, []).append(opening)
    seconds = 0.0
    day, last = start.astimezone(local).date(), end.astimezone(local).date()
    while day <= last:
        if not any(span.first <= day <= span.last for span in shut):
            for opening in week.get(day.weekday(), ()):
                opens, closes = _moments(day, opening, local)
                seconds += max((min(closes, end) - max(opens, start)).total_seconds(), 0)
        day += timedelta(days=1)
    return (Decimal(seconds) / SECONDS_PER_HOUR).quantize(HUNDREDTH_H)


def _moments(day: date, opening: Opening, zone: ZoneInfo) -> tuple[datetime, datetime]:
    opens = datetime.combine(day, opening.start, zone)
    closes = datetime.combine(day, opening.end, zone)
    return opens.astimezone(UTC), closes.astimezone(UTC)
