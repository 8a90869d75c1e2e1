"""The open builds planned at both paces with parts pegged: what one more build is put behind, what the Line shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from quoting.errors import CalendarError
from quoting.promise.calendar import Calendar
from quoting.promise.holds import Hold, holds_of
from quoting.promise.lanes import Floor
from quoting.promise.place import Gates, Laid, Placed, book, carry_on, lacking, lay
from quoting.promise.supply import STOCK, Peg, Shelf
from quoting.promise.turns import laying_order
from quoting.promise.work import Pace, Task, tasks_of
from quoting.request import OpenBuild, Policies, QuoteRequest, ShopState
from quoting.result import Reason

Tasks = Mapping[Pace, tuple[Task, ...]]


@dataclass(frozen=True, slots=True)
class Outlook:
    """One build planned: its pegs, its plan at both paces, and what held up steps in the likely plan, by index."""

    build: OpenBuild
    pegs: tuple[Peg, ...]
    tasks: Tasks
    laid: Mapping[Pace, Laid]
    holds: Mapping[int, Hold]

    @property
    def finish_from(self) -> date | None:
        """The likely finish; None when blocked."""
        return None if self.stops else self.laid[Pace.LIKELY].finish

    @property
    def finish_to(self) -> date | None:
        """The slow finish, never before the likely one: more hours may by chance find better gaps (Graham 1966)."""
        likely, slow = self.laid[Pace.LIKELY].finish, self.laid[Pace.SLOW].finish
        return None if self.stops or likely is None or slow is None else max(likely, slow)

    @property
    def stops(self) -> tuple[Reason, ...]:
        """Why there is no date; empty when there is one."""
        return self.laid[Pace.LIKELY].stops or self.laid[Pace.SLOW].stops

    @property
    def blocked(self) -> str:
        """The same as one text."""
        return " ".join(reason.text for reason in self.stops)


@dataclass(frozen=True, slots=True)
class Bearings:
    """What a plan is drawn on: the axis, the day orders go out, the first slot that can be worked, goods-in days."""

    calendar: Calendar
    today: date
    now: int
    handling: timedelta

    @classmethod
    def of(cls, shop: ShopState, now: datetime, day: date, policies: Policies) -> Bearings:
        """From a moment and a day in the shop's zone; the later of the two counts. Raises CalendarError."""
        if now.tzinfo is None:
            raise CalendarError(f"now: {now.isoformat()} has no time zone. Give an aware time.")
        calendar = Calendar.of(shop, day)
        local = now.astimezone(calendar.zone).date()
        if local != day:
            calendar = Calendar.of(shop, min(local, day))
        first = max(calendar.slot_at(now), calendar.slot_of_day(day))
        return cls(calendar, max(day, local), first, timedelta(days=max(policies.handling_days, 0)))


@dataclass(frozen=True, slots=True)
class PlannedShop:
    """The shop with every open build in its place. Nothing in it changes when one more build is tried."""

    shop: ShopState
    job: str
    bearings: Bearings
    shelf: Shelf
    floors: Mapping[Pace, Floor]
    outlooks: tuple[Outlook, ...]
    on_hold: Mapping[str, tuple[Peg, ...]] = field(default_factory=dict)

    @property
    def next_place(self) -> int:
        """The place a build accepted now would have: behind every build not handed over, those on hold too."""
        return max((build.place for build in self.shop.builds), default=0) + 1


def prepare(request: QuoteRequest) -> PlannedShop:
    """Plan what is in line before a quote's options are put behind it; once for all options. Raises CalendarError."""
    return prepare_shop(request.shop, request.now, request.day, request.policies, request.job)


def prepare_shop(shop: ShopState, now: datetime, day: date, policies: Policies, job: str = "conversion") -> PlannedShop:
    """Plan every open build, in the order of the line but for the shop's turns, at both paces.

    Parameters: `now` aware moment work goes on from; `day` the day orders go out. Returns: the planned shop. Raises:
    CalendarError when there is no open time.
    """
    bearings = Bearings.of(shop, now, day, policies)
    shelf = Shelf.of(shop, bearings.calendar, bearings.today, policies.handling_days)
    line = sorted(shop.builds, key=lambda build: (build.place, build.number))
    pegs = {build.number: shelf.peg(build) for build in line}
    working = [build for build in line if not build.on_hold]
    floors = {pace: Floor(shop, bearings.calendar) for pace in Pace}
    tasks = {build.number: {pace: tasks_of(build, pace) for pace in Pace} for build in working}
    begun = {pace: start_line(floors[pace], bearings, working, tasks, pace) for pace in Pace}
    laid = {build.number: dict[Pace, Laid]() for build in working}
    holds = {build.number: dict[int, Hold]() for build in working}
    for build, upto in laying_order(working, shop.turns):
        for pace, floor in floors.items():
            own, known = tasks[build.number][pace], begun[pace][build.number]
            gates = gates_of(floor, bearings, build, own, pegs[build.number], pace)
            got = lay(floor, bearings.calendar, build.number, own[:upto], gates, known, bearings.now)
            fresh = replace(got, placed=tuple(step for step in got.placed if step.task.index not in known))
            if pace is Pace.LIKELY:
                holds[build.number].update(holds_of(floor, fresh))
            book(floor, fresh)
            known.update((step.task.index, step) for step in fresh.placed)
            laid[build.number][pace] = got
    outlooks = [
        Outlook(build, pegs[build.number], tasks[build.number], laid[build.number], holds[build.number])
        for build in working
    ]
    held = {build.number: pegs[build.number] for build in line if build.on_hold}
    return PlannedShop(shop, job, bearings, shelf, floors, tuple(outlooks), held)


def start_line(
    floor: Floor, bearings: Bearings, builds: Sequence[OpenBuild], tasks: Mapping[str, Tasks], pace: Pace
) -> dict[str, dict[int, Placed]]:
    """Place and book every step under way, in the order they were started, before anything else is placed."""
    begun: dict[str, dict[int, Placed]] = {build.number: {} for build in builds}
    order = [
        (task.step.started, build.place, build.number, task.index, task)
        for build in builds
        for task in tasks[build.number][pace]
        if task.step.started is not None
    ]
    for _, _, number, index, task in sorted(order, key=lambda row: row[:4]):
        with suppress(CalendarError):  # then `lay` meets the same step and says why it cannot be placed
            begun[number][index] = carry_on(floor, bearings.calendar, number, task, bearings.now, bearings.today)
    return begun


def gates_of(
    floor: Floor,
    bearings: Bearings,
    build: OpenBuild,
    tasks: Sequence[Task],
    pegs: Sequence[Peg],
    pace: Pace,
    on_shelf: frozenset[str] | None = frozenset(),
) -> Gates:
    """When parts allow each step and the finish.

    `on_shelf` codes taken to be on the shelf whatever their pegs say, None for all: for "what if it were here". A
    build without steps is a parcel: it takes goods-in handling even from the shelf.
    """
    calendar = bearings.calendar
    steps = [0] * len(tasks)
    finish = 0
    stops: dict[int, list[Reason]] = {}
    for task in tasks:
        reason = lacking(floor, task)
        if reason is not None:
            stops.setdefault(task.index, []).append(reason)
    if not tasks and pegs:
        finish = calendar.slot_of_day(bearings.today + bearings.handling)
    for peg in pegs:
        if peg.origin == STOCK or on_shelf is None or peg.need.code in on_shelf:
            continue
        ready = peg.ready_at(pace)
        if ready is None or peg.unknown:
            text = peg.unknown or f"{peg.name} comes later than ten years from now. Check its lead time."
            stops.setdefault(peg.step, []).append(Reason(kind="part", code=peg.need.code, text=text))
        elif peg.step < len(tasks):
            steps[peg.step] = max(steps[peg.step], calendar.slot_of_day(ready))
        else:
            finish = max(finish, calendar.slot_of_day(ready))
    return Gates(tuple(steps), finish, {index: tuple(said) for index, said in stops.items()})
