"""Placing a build's steps: serial schedule generation, one build after the other in the order of the line.

A build is laid into the gaps the builds before it have left and never moves them. Its steps follow each other. Every
able person is tried on every bench of the type; the earliest end wins, then the latest start (less time on the bench),
then the person with the fewest skills, then the name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from quoting.errors import CalendarError
from quoting.promise.calendar import FAR, HORIZON_DAYS, Calendar
from quoting.promise.lanes import Booking, Floor, Lane, earliest, worked_through
from quoting.promise.spans import Spans
from quoting.promise.words import plain
from quoting.promise.work import Task
from quoting.result import Reason

FREE = Lane("")  # a bench that is always free
ANYONE = Lane("")  # a person who is always there and free


@dataclass(frozen=True, slots=True)
class Spare:
    """What a shop might have more of: one more bench of a type, one more person with a skill."""

    bench_type: str | None = None
    skill: str | None = None


NOTHING_SPARE = Spare()


@dataclass(frozen=True, slots=True)
class Placed:
    """A step in the plan, in slots. `ready` is when its former step and its parts allow it; `start` may be later."""

    task: Task
    ready: int
    start: int
    end: int
    person: str = ""
    bench: str = ""


@dataclass(frozen=True, slots=True)
class Laid:
    """A build in the plan. `finish` is None when there are `stops`; then the steps before the stop are still placed."""

    build: str
    placed: tuple[Placed, ...]
    finish: date | None
    stops: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Gates:
    """When parts allow each step, and the finish, in slots; and why steps can never be started, by their index."""

    steps: tuple[int, ...]
    finish: int
    stops: Mapping[int, tuple[Reason, ...]]


def best(
    floor: Floor, task: Task, ready: int, spare: Spare = NOTHING_SPARE, before: int = FAR
) -> tuple[int, int, Lane, Lane | None] | None:
    """The earliest end over every able person and bench, or None within reach: (start, end, person, bench)."""
    people: Sequence[Lane] = floor.people_for(task.step.skill)
    if spare.skill == task.step.skill:
        people = (*people, ANYONE)
    benches: Sequence[Lane | None] = (None,)
    if task.step.bench_type:
        benches = floor.benches_of(task.step.bench_type)
        if spare.bench_type == task.step.bench_type:
            benches = (*benches, FREE)
    found: tuple[int, int, Lane, Lane | None] | None = None
    for person in people:
        for bench in benches:
            interval = earliest(person, bench, ready, task.slots, before)
            if interval is None:
                continue
            start, end = interval
            if found is None or end < found[1] or (end == found[1] and start > found[0]):
                found = start, end, person, bench
                if end == ready + task.slots:  # at once and without a break: nothing is better
                    return found
                before = end + 1
    return found


def lacking(floor: Floor, task: Task) -> Reason | None:
    """Why a step can never be done in this shop, or None."""
    step = task.step
    if task.outside or not task.slots or step.started is not None:
        return None
    if not floor.people_for(step.skill):
        missing = f"Nobody has the skill {plain(step.skill)}" if step.skill else "Nobody works here"
        text = f"{missing}, which the step {task.title} needs. Add a person with it, or change the step."
        return Reason(kind="person", code=step.skill, text=text)
    if step.bench_type and not floor.benches_of(step.bench_type):
        text = f"There is no {plain(step.bench_type)} bench, which the step {task.title} needs. Add one."
        return Reason(kind="bench", code=step.bench_type, text=text)
    return None


def lay(
    floor: Floor,
    calendar: Calendar,
    build: str,
    tasks: Sequence[Task],
    gates: Gates,
    begun: Mapping[int, Placed],
    now: int,
    spare: Spare = NOTHING_SPARE,
) -> Laid:
    """Find a place for every step of a build without taking it.

    Parameters: `floor` as left by the builds before; `tasks` in order; `gates` of its parts; `begun` the steps under
    way, by index; `now` first slot that can be worked. Returns: the build as laid; steps from the first stop on are
    left out.
    """
    placed: list[Placed] = []
    stops = tuple(dict.fromkeys(reason for index in sorted(gates.stops) for reason in gates.stops[index]))
    first_stop = min(gates.stops, default=FAR)
    done: date | None = None
    try:
        end = max((step.end for step in begun.values()), default=now)
        done = max((_last_day(calendar, step) for step in begun.values()), default=calendar.day_of(now))
        for task in tasks:
            if task.index in begun:
                placed.append(begun[task.index])
            elif task.index < first_stop:
                ready = max(end, gates.steps[task.index])
                step = _lay_step(floor, calendar, task, ready, spare)
                last = _last_day(calendar, step)
                placed.append(step)
                done = last if task.slots or task.outside or ready > end else done
                end = step.end
        if gates.finish > end:
            done = calendar.day_of(gates.finish)
    except CalendarError as error:
        stops = (*stops, Reason(kind="closed", code="", text=str(error)))
    return Laid(build, tuple(placed), None if stops else done, stops)


def _lay_step(floor: Floor, calendar: Calendar, task: Task, ready: int, spare: Spare) -> Placed:
    if task.outside:
        return Placed(task, ready, ready, back_from_outside(calendar, ready, task.step.lead_days))
    if not task.slots:
        return Placed(task, ready, ready, ready)
    found = best(floor, task, ready, spare)
    if found is None:
        raise CalendarError(f"The step {task.title} finds no free time within ten years.")
    start, end, person, bench = found
    return Placed(task, ready, start, end, person.name, bench.name if bench else "")


def _last_day(calendar: Calendar, step: Placed) -> date:
    """The day a step is finished: the day of its last slot, or for outside work the day it can be gone on with."""
    return calendar.day_of(step.end - 1 if step.task.slots else step.end)


def back_from_outside(calendar: Calendar, leaves: int, lead_days: int) -> int:
    """First slot after outside work that leaves on the day of slot `leaves` and takes `lead_days` calendar days."""
    return calendar.slot_of_day(_days_later(calendar.day_of(leaves), lead_days))


def _days_later(day: date, lead_days: int) -> date:
    if lead_days > HORIZON_DAYS:
        raise CalendarError("Outside work takes longer than ten years. Check its lead time.")
    return day + timedelta(days=lead_days)


def book(floor: Floor, laid: Laid) -> None:
    """Take the lanes for a laid build."""
    for step in laid.placed:
        if step.task.slots and step.task.step.started is None:
            booking = Booking(step.start, step.end, laid.build, step.task.index)
            floor.people[step.person].book(booking)
            if step.bench:
                floor.benches[step.bench].book(booking)


def carry_on(floor: Floor, calendar: Calendar, build: str, task: Task, now: int, today: date) -> Placed:
    """Place and book a step that is under way: same person, same bench, remaining hours from now.

    It stands still while the person is away, the bench is down, or either is held by another step under way that comes
    first; the bench stays occupied. Someone who has left is replaced by the first person able to do it. Outside work
    is back on its day; overdue, not before the next working day.
    """
    if task.outside:
        left = task.step.started
        back = _days_later(left.astimezone(calendar.zone).date() if left else today, task.step.lead_days)
        back = back if back >= today else calendar.next_working_day(today)
        return Placed(task, now, now, max(calendar.slot_of_day(back), now))
    able = floor.people_for(task.step.skill)
    person = floor.people.get(task.step.person) or (able[0] if able else ANYONE)
    of_type = floor.benches_of(task.step.bench_type) if task.step.bench_type else ()
    bench = floor.benches.get(task.step.bench) or (of_type[0] if of_type else FREE)
    person_from = max((booking.end for booking in person.bookings), default=now)
    bench_from = max((booking.end for booking in bench.bookings), default=now)
    start = max(person_from, bench_from)
    end = worked_through(Spans([*person.away, *bench.down]), start, task.slots)
    if task.slots and person is not ANYONE:
        person.book(Booking(start, end, build, task.index))
    if task.slots and bench is not FREE:
        bench.book(Booking(bench_from, end, build, task.index))
    return Placed(task, now, start, end, person.name, bench.name)
