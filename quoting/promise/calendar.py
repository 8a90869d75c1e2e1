"""Shop-open time as one axis of whole slots, and the way between a slot and a local date and time.

Slot 0 is the first open quarter of an hour on or after the first day. Closed hours and closed days do not exist on the
axis, so an hour of work is always four slots. An interval [start, end) is half open: its first moment is
`start_of(start)`, its last is `end_of(end)`. Each opening is cut into whole slots from its start; a rest shorter than a
slot is not planned. Lengths are measured in UTC, so an opening across a change of clocks has the slots it really has.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from quoting.errors import CalendarError
from quoting.promise.spans import ONE_DAY, Spans, closed_ordinals
from quoting.request import DaySpan, Opening, ShopState

SLOT_MINUTES = 15  # our own choice: a quarter of an hour is the finest step people book work in
SLOTS_PER_HOUR = 60 // SLOT_MINUTES
SLOT_SECONDS = 60 * SLOT_MINUTES
DAY_MINUTES = 24 * 60
HORIZON_DAYS = 3660  # ten years: a plan that reaches further is a mistake in the data (our own choice)
CHUNK_DAYS = 28  # the axis grows four weeks at a time
FAR = 1 << 40  # a slot after every slot within the horizon


class Calendar:
    """The axis of one shop from one day on. It grows as it is asked for later slots or days."""

    def __init__(self, zone: str, openings: Iterable[Opening], closed_days: Iterable[DaySpan], first: date) -> None:
        """Make the axis.

        Parameters: `zone` a name of the tz database; `openings` local opening hours per weekday; `closed_days` whole
        days the shop is closed; `first` the day the axis starts. Raises: CalendarError when the zone is unknown, an
        opening or span runs backward, or no open time lies within ten years.
        """
        try:
            self.zone = ZoneInfo(zone)
        except (KeyError, ValueError, OSError) as error:
            raise CalendarError(f"zone: '{zone}' is not a time zone. Choose one such as America/New_York.") from error
        self.first = first
        self.closed_days = _ordered(closed_days, "closed_days")
        self._closed = closed_ordinals(self.closed_days)
        self._week = _week(openings)
        self._slot: list[int] = []  # first slot of each opening
        self._second: list[int] = []  # and the moment it begins, seconds since 1970 UTC
        self._day: list[date] = []  # and its day
        self._before: list[int] = []  # slots before each day, by days since `first`
        self._total = 0
        self._grow_to_slot(0)

    @classmethod
    def of(cls, shop: ShopState, first: date) -> Calendar:
        """The axis of a shop from `first` on. Raises CalendarError."""
        return cls(shop.zone, shop.openings, shop.closed_days, first)

    def start_of(self, slot: int) -> datetime:
        """The moment `slot` begins, in the shop's zone."""
        index = self._opening_of(slot)
        return self._local(self._second[index] + (slot - self._slot[index]) * SLOT_SECONDS)

    def end_of(self, end: int) -> datetime:
        """The moment the interval [.., end) is over: the end of slot end - 1, in the shop's zone."""
        index = self._opening_of(end - 1)
        return self._local(self._second[index] + (end - self._slot[index]) * SLOT_SECONDS)

    def day_of(self, slot: int) -> date:
        """The day on which `slot` begins."""
        return self._day[self._opening_of(slot)]

    def slot_at(self, moment: datetime) -> int:
        """The first slot that begins at or after an aware moment. Raises CalendarError for one without a zone."""
        if moment.tzinfo is None:
            raise CalendarError(f"now: {moment.isoformat()} has no time zone. Give an aware time.")
        second = moment.timestamp()
        self._grow_to_day(moment.astimezone(self.zone).date() + ONE_DAY)
        index = bisect_right(self._second, second) - 1
        if index < 0:
            return 0
        after = self._slot[index + 1] if index + 1 < len(self._slot) else self._total
        return min(self._slot[index] + math.ceil((second - self._second[index]) / SLOT_SECONDS), after)

    def slot_of_day(self, day: date) -> int:
        """The first slot on or after `day`: the number of slots before it. Raises CalendarError past the horizon."""
        if day <= self.first:
            return 0
        self._grow_to_day(day)
        return self._before[(day - self.first).days]

    def open_on_or_after(self, day: date) -> date:
        """The first day with open time, `day` or later."""
        return self.day_of(self.slot_of_day(day))

    def next_working_day(self, day: date) -> date:
        """The first day with open time after `day`."""
        return self.open_on_or_after(day + ONE_DAY)

    def closures(self, first: date, last: date) -> list[DaySpan]:
        """Closed spans that touch the days from `first` to `last`, both included, and take open time away."""
        return sorted(
            (
                span
                for span in self.closed_days
                if span.first <= last
                and span.last >= first
                and any(
                    self._week[(span.first + timedelta(days=number)).weekday()]
                    for number in range(min((span.last - span.first).days + 1, 7))
                )
            ),
            key=lambda span: span.first,
        )

    def blocked(self, spans: Iterable[DaySpan], field: str) -> Spans:
        """Whole days (leave, downtime) as slot intervals; past the horizon they run on without end."""
        last = self.first + timedelta(days=HORIZON_DAYS - 1)
        return Spans(
            (self.slot_of_day(span.first), FAR if span.last >= last else self.slot_of_day(span.last + ONE_DAY))
            for span in _ordered(spans, field)
            if span.first <= last
        )

    def _opening_of(self, slot: int) -> int:
        if slot >= self._total:
            self._grow_to_slot(slot)
        return bisect_right(self._slot, slot) - 1

    def _local(self, second: int) -> datetime:
        return datetime.fromtimestamp(second, self.zone)

    def _grow_to_slot(self, slot: int) -> None:
        while self._total <= slot:
            self._grow()

    def _grow_to_day(self, day: date) -> None:
        days = (day - self.first).days
        while len(self._before) <= days:
            self._grow()

    def _grow(self) -> None:
        """Add the next four weeks."""
        known = len(self._before)
        if known >= HORIZON_DAYS:
            if self._total:
                raise CalendarError("The plan runs past ten years. Check hours, lead times, leave and closed days.")
            raise CalendarError("The shop has no open time. Enter opening hours, and check the closed days.")
        for number in range(known, known + CHUNK_DAYS):
            day = self.first + timedelta(days=number)
            self._before.append(self._total)
            if self._closed.covering(day.toordinal()) is None:
                self._open(day)

    def _open(self, day: date) -> None:
        week_day = self._week[day.weekday()]
        midnight = _second(day, 0, self.zone)
        plain = bool(week_day) and _second(day, DAY_MINUTES, self.zone) - midnight == DAY_MINUTES * 60
        reached = 0
        for opens, closes in week_day:
            start = midnight + opens * 60 if plain else _second(day, opens, self.zone)
            end = midnight + closes * 60 if plain else _second(day, closes, self.zone)
            start = max(start, reached)
            reached = max(end, reached)
            slots = (reached - start) // SLOT_SECONDS
            if slots > 0:
                self._slot.append(self._total)
                self._second.append(start)
                self._day.append(day)
                self._total += slots


def _second(day: date, minute: int, zone: ZoneInfo) -> int:
    """Seconds since 1970 UTC at a wall clock's `minute` of a day, 1440 the next midnight.

    A time the clocks skip is read with the old offset; of one they repeat the first is meant.
    """
    if minute == DAY_MINUTES:
        day, minute = day + ONE_DAY, 0
    return int(datetime(day.year, day.month, day.day, minute // 60, minute % 60, tzinfo=zone).timestamp())


def _week(openings: Iterable[Opening]) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Openings by weekday in order of start, in minutes of the day; one that ends at 00:00 runs to midnight."""
    week: list[list[tuple[int, int]]] = [[] for _ in range(7)]
    for opening in openings:
        if opening.weekday not in range(7):
            raise CalendarError(f"openings: weekday {opening.weekday} is unknown. Use 0 for Monday to 6 for Sunday.")
        start = opening.start.hour * 60 + opening.start.minute
        end = opening.end.hour * 60 + opening.end.minute or DAY_MINUTES
        if end <= start:
            raise CalendarError(
                f"openings: {opening.start:%H:%M} to {opening.end:%H:%M} ends before it starts. "
                "Enter work past midnight as two openings, up to 00:00 and from 00:00."
            )
        week[opening.weekday].append((start, end))
    return tuple(tuple(sorted(day)) for day in week)


def _ordered(spans: Iterable[DaySpan], field: str) -> tuple[DaySpan, ...]:
    known = tuple(spans)
    for span in known:
        if span.last < span.first:
            raise CalendarError(f"{field}: {span.first} to {span.last} ends before it starts. Swap the two days.")
    return known
