"""Half-open integer intervals kept merged, and lead times counted around a supplier's closed days."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from quoting.request import DaySpan

ONE_DAY = timedelta(days=1)


class Spans:
    """Merged, sorted, half-open intervals [start, end) of integers, as two parallel lists."""

    __slots__ = ("ends", "starts")

    def __init__(self, spans: Iterable[tuple[int, int]] = ()) -> None:
        self.starts: list[int] = []
        self.ends: list[int] = []
        for start, end in sorted(spans):
            self.add(start, end)

    def add(self, start: int, end: int) -> None:
        """Join [start, end) to the union; an empty interval changes nothing."""
        if end <= start:
            return
        first = bisect_left(self.ends, start)
        after = bisect_right(self.starts, end)
        if first < after:
            start, end = min(start, self.starts[first]), max(end, self.ends[after - 1])
        self.starts[first:after] = [start]
        self.ends[first:after] = [end]

    def covering(self, point: int) -> tuple[int, int] | None:
        """The interval that holds `point`, or None."""
        index = bisect_right(self.ends, point)
        if index < len(self.starts) and self.starts[index] <= point:
            return self.starts[index], self.ends[index]
        return None

    def __iter__(self) -> Iterator[tuple[int, int]]:
        return zip(self.starts, self.ends, strict=True)


def closed_ordinals(closed: Iterable[DaySpan]) -> Spans:
    """Closed days as half-open intervals of day numbers (`date.toordinal`)."""
    return Spans((span.first.toordinal(), span.last.toordinal() + 1) for span in closed)


def arrival_day(ordered: date, lead_days: int, closed: Spans) -> date:
    """The day something ordered on `ordered` arrives.

    Parameters: `lead_days` calendar days [days], of which the supplier's `closed` ones do not count.
    Returns: the day on which the last counted day falls; with no lead, the order day or the next the supplier is open.
    Raises: OverflowError beyond the year 9999.
    """
    day = ordered.toordinal() + 1
    left = lead_days
    if left <= 0:
        hold = closed.covering(day - 1)
        return date.fromordinal(hold[1] if hold else day - 1)
    index = bisect_right(closed.ends, day)
    while index < len(closed.starts):
        open_days = max(closed.starts[index] - day, 0)
        if left <= open_days:
            break
        left -= open_days
        day = closed.ends[index]
        index += 1
    return date.fromordinal(day + left - 1)


def latest_order_day(needed: date, lead_days: int, closed: Spans, today: date | None = None) -> date:
    """The latest day to order so that it is here on `needed`: the other way round from `arrival_day`.

    Parameters: `needed` day it has to be here; `lead_days` [days] and `closed` as in `arrival_day`; `today` when given
    is never passed over in favor of an earlier day. Returns: a day on which the supplier is open, or `today`.
    Source: order-by date = need date - lead time, calendar days.
    """
    day = needed.toordinal()
    left = lead_days
    while left > 0:
        hold = closed.covering(day)
        if hold is not None:
            day = hold[0] - 1
            continue
        index = bisect_left(closed.ends, day + 1) - 1
        reach = closed.ends[index] if index >= 0 else day - left + 1
        step = min(left, day - reach + 1)
        day -= step
        left -= step
    hold = closed.covering(day)
    latest = day if lead_days > 0 or hold is None else hold[0] - 1
    if hold is not None:
        day = hold[0] - 1
    if today is not None and latest >= today.toordinal():
        day = max(day, today.toordinal())
    return date.fromordinal(day)
