"""The line as planned: each open build, and each bench and person with what is booked on them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from quoting.result.promise import PartPromise, PlannedStep, Reason

INSTANT = timedelta(microseconds=1)  # a booking that ends at midnight is not on the day that begins then


@dataclass(frozen=True, kw_only=True)
class BuildPlan:
    """One open build as planned now.

    `finish_from` and `finish_to` as in `Promise`; both None when `blocked` or `on_hold`. `late_days` how far the slow
    finish lies past the promised day [calendar days], 0 when it holds, None when either is not known. `held` what its
    next step waits for, None when it is worked on or can start. `reasons` from the cause to the finish.
    """

    number: str
    place: int
    finish_from: date | None = None
    finish_to: date | None = None
    promised_from: date | None = None
    promised_to: date | None = None
    late_days: int | None = None
    on_hold: bool = False
    blocked: str = ""
    headline: str = ""
    held: Reason | None = None
    reasons: tuple[Reason, ...] = ()
    steps: tuple[PlannedStep, ...] = ()
    parts: tuple[PartPromise, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LaneBooking:
    """A build's step on a bench or with a person, from `start` to `end` (aware); nights and leave lie inside."""

    build: str
    step: str
    label: str
    start: datetime
    end: datetime
    bench: str = ""
    person: str = ""
    under_way: bool = False


@dataclass(frozen=True, kw_only=True)
class LanePlan:
    """One bench or one person and its bookings in order of time. `group` is a bench's type, empty for a person."""

    name: str
    group: str = ""
    bookings: tuple[LaneBooking, ...] = ()

    def on(self, day: date) -> tuple[LaneBooking, ...]:
        """What is on the lane on a day of the shop's zone."""
        return tuple(
            booking for booking in self.bookings if booking.start.date() <= day <= (booking.end - INSTANT).date()
        )


@dataclass(frozen=True, kw_only=True)
class LinePlan:
    """The line in order of places, and the likely plan's lanes. `blocked` when the calendar has no open time."""

    builds: tuple[BuildPlan, ...] = ()
    benches: tuple[LanePlan, ...] = ()
    people: tuple[LanePlan, ...] = ()
    revision: int = 0
    blocked: str = ""

    def build(self, number: str) -> BuildPlan | None:
        """The plan of one build."""
        return next((build for build in self.builds if build.number == number), None)


@dataclass(frozen=True, kw_only=True)
class Move:
    """A build whose window changes from one plan to another. `breaks` its promise held before and no longer does."""

    number: str
    from_before: date | None
    from_after: date | None
    to_before: date | None
    to_after: date | None
    breaks: bool = False
