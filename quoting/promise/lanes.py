"""Benches and people as lanes on the slot axis: what is taken, who is away, and who holds what."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from quoting.promise.calendar import FAR, Calendar
from quoting.promise.spans import Spans
from quoting.request import ShopState

NOTHING = Spans()


@dataclass(frozen=True, slots=True)
class Booking:
    """A build's step on a lane, in slots [start, end); `step` its index in the build."""

    start: int
    end: int
    build: str
    step: int


class Lane:
    """One bench or one person.

    `taken` is what nothing can be placed into: bookings and, for a bench, downtime. `away` is a person's leave, over
    which a step suspends. `group` a bench's type; `skills` a person's.
    """

    __slots__ = ("away", "bookings", "down", "group", "name", "skills", "taken")

    def __init__(self, name: str, group: str = "", skills: Iterable[str] = ()) -> None:
        self.name = name
        self.group = group
        self.skills = frozenset(skills)
        self.away = Spans()
        self.down = Spans()
        self.taken = Spans()
        self.bookings: list[Booking] = []

    def book(self, booking: Booking) -> None:
        """Take the lane for a step."""
        self.bookings.append(booking)
        self.taken.add(booking.start, booking.end)

    def without(self, build: str) -> Spans:
        """What would be taken if `build` were not here."""
        if all(booking.build != build for booking in self.bookings):
            return self.taken
        others = [(booking.start, booking.end) for booking in self.bookings if booking.build != build]
        return Spans([*self.down, *others])

    def holder(self, start: int, end: int) -> Booking | None:
        """The last booking to end among those that hold the lane within [start, end)."""
        held = [booking for booking in self.bookings if booking.start < end and booking.end > start]
        return max(held, key=lambda booking: booking.end, default=None)


class Floor:
    """Every bench and person of the shop, in order of name so that the order of the records does not matter."""

    def __init__(self, shop: ShopState, calendar: Calendar) -> None:
        self.benches: dict[str, Lane] = {}
        self.people: dict[str, Lane] = {}
        for bench in sorted(shop.benches, key=lambda bench: bench.name):
            lane = Lane(bench.name, group=bench.bench_type)
            lane.down = calendar.blocked(bench.down, f"{bench.name}, down")
            lane.taken = Spans(lane.down)
            self.benches[bench.name] = lane
        for person in sorted(shop.people, key=lambda person: person.name):
            lane = Lane(person.name, skills=person.skills)
            lane.away = calendar.blocked(person.leave, f"{person.name}, leave")
            self.people[person.name] = lane
        self._of_type: dict[str, tuple[Lane, ...]] = {}
        self._with_skill: dict[str, tuple[Lane, ...]] = {}

    def benches_of(self, bench_type: str) -> tuple[Lane, ...]:
        """Benches of a type."""
        if bench_type not in self._of_type:
            self._of_type[bench_type] = tuple(lane for lane in self.benches.values() if lane.group == bench_type)
        return self._of_type[bench_type]

    def people_for(self, skill: str) -> tuple[Lane, ...]:
        """People with a skill, those with the fewest skills first; everyone when a step asks for none."""
        if skill not in self._with_skill:
            able = [lane for lane in self.people.values() if not skill or skill in lane.skills]
            self._with_skill[skill] = tuple(sorted(able, key=lambda lane: len(lane.skills)))
        return self._with_skill[skill]


def earliest(person: Lane, bench: Lane | None, ready: int, slots: int, before: int = FAR) -> tuple[int, int] | None:
    """The first interval at or after `ready` in which this person can do `slots` of work on this bench.

    It starts when the person is present and runs on over their leave, the bench occupied; neither has anything else in
    it. Returns: (start, end), or None when it would end at `before` or later.
    """
    away, person_taken = person.away, person.taken
    away_starts, away_ends = away.starts, away.ends
    person_starts, person_ends = person_taken.starts, person_taken.ends
    bench_taken = bench.taken if bench else NOTHING
    bench_starts, bench_ends = bench_taken.starts, bench_taken.ends
    start = ready
    away_at = bisect_right(away_ends, start)
    person_at = bisect_right(person_ends, start)
    bench_at = bisect_right(bench_ends, start)
    away_high, person_high, bench_high = len(away_ends), len(person_ends), len(bench_ends)
    while True:
        while away_at < away_high and away_ends[away_at] <= start:
            away_at += 1
        if away_at < away_high and away_starts[away_at] <= start:
            start = away_ends[away_at]
            away_at += 1
        end = _over_leave(away_starts, away_ends, away_at, start + slots)
        if end >= before:
            return None
        came, reach = start, end
        while person_at < person_high and person_starts[person_at] < reach:
            if person_ends[person_at] > start:
                start = person_ends[person_at]
                reach = start + slots
            person_at += 1
        while bench_at < bench_high and bench_starts[bench_at] < reach:
            if bench_ends[bench_at] > start:
                start = bench_ends[bench_at]
                reach = start + slots
            bench_at += 1
        if start == came:
            return start, end


def _over_leave(starts: Sequence[int], ends: Sequence[int], at: int, end: int) -> int:
    """The end of work that would end at `end`, put off by the leave from `at` on that it runs into."""
    while at < len(starts) and starts[at] < end:
        end += ends[at] - starts[at]
        at += 1
    return end


def latest(away: Spans, person_taken: Spans, bench_taken: Spans, deadline: int, slots: int, floor: int) -> int | None:
    """The last start from which a person can do `slots` of work on a bench by `deadline`: the mirror of `earliest`.

    Returns: the start, or None when it would be before `floor`.
    """
    end = deadline
    while True:
        hold = away.covering(end - 1)
        if hold is not None:
            end = hold[0]
        start = end - slots
        over = bisect_left(away.starts, end) - 1
        while over >= 0 and away.ends[over] > start:
            start -= away.ends[over] - away.starts[over]
            over -= 1
        if start < floor:
            return None
        clash = _first_clash(person_taken, start, end)
        if clash is None:
            clash = _first_clash(bench_taken, start, end)
        if clash is None:
            return start
        end = clash


def _first_clash(taken: Spans, start: int, end: int) -> int | None:
    """Start of the last taken interval that touches [start, end), or None."""
    index = bisect_left(taken.starts, end) - 1
    return taken.starts[index] if index >= 0 and taken.ends[index] > start else None


def worked_through(blocked: Spans, start: int, slots: int) -> int:
    """The end of `slots` of work begun by `start` that stops whenever `blocked` holds."""
    end = start
    left = slots
    for hold_start, hold_end in blocked:
        if hold_end <= end:
            continue
        if hold_start - end >= left:
            break
        left -= max(hold_start - end, 0)
        end = hold_end
    return end + left
