"""The inner loops that lay steps into gaps: the same rule as `quoting.promise.place`, over flat arrays.

Plain Python over integers, without anything a compiler could not take, so that `engine` runs the same functions
compiled or as they stand, with the same results. Minutes of shop-open time throughout, see `arrays`.
"""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Lanes, Places, Work


def first_after(ends: Ints, low: int, high: int, minute: int) -> int:
    """Index in low..high of the first end after `minute`; `high` when there is none."""
    while low < high:
        middle = (low + high) // 2
        if ends[middle] <= minute:
            low = middle + 1
        else:
            high = middle
    return low


def day_of(day: Ints, minute: int) -> int:
    """The calendar day that holds `minute`: closed days have no length and are passed over."""
    return min(first_after(day, 0, len(day), minute) - 1, len(day) - 2)


def back_from_outside(ground: Ground, leaves: int, lead_days: int) -> int:
    """The minute outside work is back that leaves at `leaves` and takes `lead_days` calendar places."""
    back: int = ground.day[min(day_of(ground.day, leaves) + lead_days, len(ground.day) - 1)]
    return back


def over_leave(away_start: Ints, away_end: Ints, away: int, away_high: int, end: int) -> int:
    """The end of work that would end at `end`, put off by the leave away..away_high that it runs into."""
    while away < away_high and away_start[away] < end:
        end += away_end[away] - away_start[away]
        away += 1
    return end


def earliest(
    away_start: Ints, away_end: Ints, away: int, away_high: int, starts: Ints, ends: Ints, on_person: int,
    person_high: int, on_bench: int, bench_high: int, start: int, length: int, before: int,
) -> tuple[int, int]:  # fmt: skip
    """The first [start, end) from `start` on in which a person can do `length` minutes of work on a bench.

    It starts when the person is there and runs on over leave; neither lane has anything in it. Leave of the person is
    in `away` to `away_high`, what is taken in `on_person` to `person_high` and `on_bench` to `bench_high`: each from
    the first entry that ends after `start`. Returns: (start, end), or (0, NEVER) when it would not end before `before`.
    """
    end, came = start, -1
    while start != came:
        while away < away_high and away_end[away] <= start:
            away += 1
        if away < away_high and away_start[away] <= start:
            start = away_end[away]
            away += 1
        end = over_leave(away_start, away_end, away, away_high, start + length)
        came, reach = start, end
        if end < before:
            while on_person < person_high and starts[on_person] < reach:
                if ends[on_person] > start:
                    start = ends[on_person]
                    reach = start + length
                on_person += 1
            while on_bench < bench_high and starts[on_bench] < reach:
                if ends[on_bench] > start:
                    start = ends[on_bench]
                    reach = start + length
                on_bench += 1
    if end >= before:
        start, end = 0, NEVER
    return start, end


def best(ground: Ground, lanes: Lanes, skill: int, kind: int, ready: int, length: int) -> tuple[int, int, int, int]:
    """Earliest end, then latest start, over the people of a skill group and the benches of a bench group.

    Returns: (start, end, person, bench); end NEVER when there is none.
    """
    start, end, person, bench = 0, NEVER, -1, -1
    for at_person in range(ground.able_at[skill], ground.able_at[skill + 1]):
        one = ground.able[at_person]
        away_high, high = ground.away_at[one + 1], lanes.high[one]
        away = first_after(ground.away_end, ground.away_at[one], away_high, ready)
        low = first_after(lanes.end, lanes.low[one], high, ready)
        for at_bench in range(ground.kind_at[kind], ground.kind_at[kind + 1]):
            other, on, bench_high = ground.kind[at_bench], 0, 0
            if other >= 0:
                lane = len(ground.away_at) - 1 + other
                bench_high = lanes.high[lane]
                on = first_after(lanes.end, lanes.low[lane], bench_high, ready)
            begin, stop = earliest(
                ground.away_start, ground.away_end, away, away_high, lanes.start, lanes.end, low, high, on, bench_high,
                ready, length, min(end + 1, NEVER),
            )  # fmt: skip
            if stop < NEVER and (stop < end or begin > start):
                start, end, person, bench = begin, stop, one, other
        if end == ready + length:  # at once and without a break: nothing is better
            break
    return start, end, person, bench


def book(lanes: Lanes, lane: int, start: int, end: int, slack: int) -> None:
    """Take [start, end) of a lane, joined to what it touches or comes within `slack` minutes of."""
    low, high = lanes.low[lane], lanes.high[lane]
    first = first_after(lanes.end, low, high, start - slack - 1)
    after = first
    while after < high and lanes.start[after] <= end + slack:
        after += 1
    if first == after:
        for index in range(high, first, -1):
            lanes.start[index] = lanes.start[index - 1]
            lanes.end[index] = lanes.end[index - 1]
        lanes.start[first], lanes.end[first] = start, end
        lanes.high[lane] = high + 1
        return
    lanes.start[first] = min(start, lanes.start[first])
    lanes.end[first] = max(end, lanes.end[after - 1])
    gone = after - first - 1
    if gone:
        for index in range(after, high):
            lanes.start[index - gone] = lanes.start[index]
            lanes.end[index - gone] = lanes.end[index]
        lanes.high[lane] = high - gone


def clear(ground: Ground, lanes: Lanes, now: int) -> None:
    """Empty the lanes but for the benches' downtime still to come."""
    people = len(ground.away_at) - 1
    for lane in range(len(lanes.low)):
        lanes.high[lane] = lanes.low[lane]
        if lane >= people:
            for at in range(ground.down_at[lane - people], ground.down_at[lane - people + 1]):
                if ground.down_end[at] > now:
                    book(lanes, lane, ground.down_start[at], ground.down_end[at], 0)


def new_lanes(ground: Ground, room: int) -> Lanes:
    """Empty lanes with room for `room` bookings each and the benches' downtime."""
    count = len(ground.away_at) + len(ground.down_at) - 2
    room += len(ground.down_start) + 1
    low = np.arange(count) * room
    return Lanes(np.zeros(count * room, np.int64), np.zeros(count * room, np.int64), low, low.copy())


def worked_through(ground: Ground, person: int, bench: int, start: int, length: int) -> int:
    """The end of work that stands still while its person is away or its bench is down."""
    end, left = start, length
    while True:
        hold, until = NEVER, NEVER
        at = first_after(ground.away_end, ground.away_at[person], ground.away_at[person + 1], end)
        if at < ground.away_at[person + 1]:
            hold, until = ground.away_start[at], ground.away_end[at]
        if bench >= 0:
            at = first_after(ground.down_end, ground.down_at[bench], ground.down_at[bench + 1], end)
            if at < ground.down_at[bench + 1] and ground.down_start[at] < hold:
                hold, until = ground.down_start[at], ground.down_end[at]
        if hold - end >= left:
            return end + left
        left -= max(hold - end, 0)
        end = until


def lay_build(
    ground: Ground, work: Work, lanes: Lanes, lengths: Ints, gates: Ints, first: int, last: int, ready: int,
    today: int, tomorrow: int, horizon: int, places: Places, known: Ints,
) -> tuple[int, int]:  # fmt: skip
    """Lay and book steps `first` to `last` of a build from `ready` on, as far as they start by `horizon`.

    A step whose parts are here at `today` (`gates`) may start; for others the plan knows only the expected day
    (`known`) and that it is not before `tomorrow`. Returns: (the first step left out, the end of those laid).
    """
    people = len(ground.away_at) - 1
    for step in range(first, last):
        if gates[step] > today:
            ready = max(ready, known[step], tomorrow)
        if ready > horizon:
            return step, ready
        start, end, person, bench = ready, ready, -1, -1
        if work.lead_days[step] > 0:
            end = back_from_outside(ground, ready, work.lead_days[step])
        elif lengths[step] > 0:
            start, end, person, bench = best(ground, lanes, work.skill[step], work.kind[step], ready, lengths[step])
            if start > horizon or end >= NEVER:
                return step, max(start, ready)
            book(lanes, person, start, end, 0)
            if bench >= 0:
                book(lanes, people + bench, start, end, 0)
        places.start[step], places.end[step], places.person[step], places.bench[step] = start, end, person, bench
        ready = end
    return last, ready
