"""The bench plan: what stands on which bench, or who does what, over two weeks or a quarter."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from quoting.request import DaySpan, ShopState
from quoting.result import LaneBooking, LanePlan, LinePlan
from shop.models import CLOSED_STATES, Build, BuildStep, StepState, StepTurn
from shop.selectors.bench_order import turns_standing
from shop.selectors.plan import plan_basis, planned

BENCHES, PEOPLE = "bench", "person"
WEEKS = {"fortnight": 2, "quarter": 13}
FIRST_SPAN = "fortnight"
ONE_DAY, ONE_WEEK = timedelta(days=1), timedelta(weeks=1)
MIDNIGHT = time(0)
StepSpot = tuple[str, str]  # a build's number and the code of its step
FARTHEST = timedelta(days=3650)  # the plan's own horizon is ten years: nothing stands beyond it


@dataclass(frozen=True, kw_only=True)
class PlanFilter:
    """`by` bench or person; `span` a key of WEEKS; `first` the Monday it starts with, None for this week's."""

    by: str = BENCHES
    span: str = FIRST_SPAN
    first: date | None = None


@dataclass(frozen=True, kw_only=True)
class PlanDay:
    """A day of the calendar. `opens` and `closes` None when the shop is closed; `reason` why, when it was entered."""

    day: date
    opens: time | None = None
    closes: time | None = None
    reason: str = ""
    today: bool = False

    @property
    def closed(self) -> bool:
        return self.opens is None


@dataclass(frozen=True, kw_only=True)
class PlanWork:
    """A step on a lane. `paused` the open days within it on which its person is away: the bench stays taken.

    `step` its public id while it is to do, then `before` the one next before it on the lane and `after` the one next
    after it, where they are another build's and to do too; else empty.
    """

    booking: LaneBooking
    build: Build
    paused: tuple[date, ...] = ()
    step: str = ""
    before: str = ""
    after: str = ""


@dataclass(frozen=True, kw_only=True)
class PlanLane:
    """A bench or a person; `off` the days within the calendar it is down or away."""

    name: str
    works: tuple[PlanWork, ...] = ()
    off: tuple[DaySpan, ...] = ()

    @property
    def empty(self) -> bool:
        return not self.works and not self.off


@dataclass(frozen=True, kw_only=True)
class Unplanned:
    """A build that stands on no bench, and why."""

    build: Build
    why: str


@dataclass(frozen=True, kw_only=True)
class BenchPlan:
    """Lanes over days. `earlier` and `later` the Mondays to turn to; `earlier` None at this week."""

    by: str
    span: str
    days: tuple[PlanDay, ...]
    lanes: tuple[PlanLane, ...]
    unplanned: tuple[Unplanned, ...]
    earlier: date | None
    later: date | None
    blocked: str = ""
    turns: tuple[StepTurn, ...] = ()

    @property
    def first(self) -> date:
        return self.days[0].day

    @property
    def last(self) -> date:
        return self.days[-1].day

    @property
    def busy(self) -> bool:
        return any(lane.works for lane in self.lanes)

    @property
    def closures(self) -> tuple[PlanDay, ...]:
        """Days closed for a reason of their own, not by the week."""
        return tuple(each for each in self.days if each.reason)


def bench_plan(asked: PlanFilter) -> BenchPlan:
    """The likely plan as the shop stands now."""
    state, now, policies = plan_basis()
    plan = planned(state, now, policies)
    today = now.date()
    length = timedelta(weeks=WEEKS[asked.span])
    first = _monday(asked.first, today)
    days = _days(state, first, length.days, today)
    builds = {row.number: row for row in Build.objects.exclude(state__in=CLOSED_STATES)}
    steps = steps_to_do()
    lanes = plan.people if asked.by == PEOPLE else plan.benches
    off = {each.name: each.leave for each in state.people} if asked.by == PEOPLE else _down(state)
    away = {each.name: each.leave for each in state.people}
    return BenchPlan(
        by=asked.by,
        span=asked.span,
        days=days,
        lanes=tuple(_lane(each, days, builds, steps, off.get(each.name, ()), away) for each in lanes),
        unplanned=_unplanned(plan, builds),
        earlier=max(first - length, _monday(None, today)) if first > today else None,
        later=first + length if first + length <= today + FARTHEST else None,
        blocked=plan.blocked,
        turns=turns_standing(),
    )


def _monday(asked: date | None, today: date) -> date:
    """The Monday of a day's week, this week's at the earliest: the plan says nothing about days gone by."""
    day = min(max(asked or today, today), today + FARTHEST)
    return day - timedelta(days=day.weekday())


def _days(state: ShopState, first: date, count: int, today: date) -> tuple[PlanDay, ...]:
    hours: dict[int, list[tuple[time, time]]] = {}
    for opening in state.openings:
        hours.setdefault(opening.weekday, []).append((opening.start, opening.end))
    days = []
    for day in (first + timedelta(days=number) for number in range(count)):
        spans = hours.get(day.weekday(), [])
        shut = next((each for each in state.closed_days if each.first <= day <= each.last), None)
        if shut is not None or not spans:
            reason = (shut.reason or "closed") if shut is not None and spans else ""
            days.append(PlanDay(day=day, reason=reason, today=day == today))
            continue
        ends = [end for _, end in spans]
        closes = MIDNIGHT if MIDNIGHT in ends else max(ends)
        days.append(PlanDay(day=day, opens=min(start for start, _ in spans), closes=closes, today=day == today))
    return tuple(days)


def _down(state: ShopState) -> dict[str, tuple[DaySpan, ...]]:
    return {each.name: each.down for each in state.benches}


def _lane(
    lane: LanePlan,
    days: Sequence[PlanDay],
    builds: dict[str, Build],
    steps: dict[StepSpot, str],
    off: Iterable[DaySpan],
    away: dict[str, tuple[DaySpan, ...]],
) -> PlanLane:
    first, last = days[0].day, days[-1].day
    known = [each for each in lane.bookings if each.build in builds]
    beside = zip([None, *known], known, [*known[1:], None], strict=False)
    return PlanLane(
        name=lane.name,
        works=tuple(
            PlanWork(
                booking=each,
                build=builds[each.build],
                paused=_paused(each, days, away.get(each.person, ())),
                step=steps.get((each.build, each.step), ""),
                before=_other(each, earlier, steps),
                after=_other(each, later, steps),
            )
            for earlier, each, later in beside
            if each.start.date() <= last and each.end.date() >= first
        ),
        off=tuple(span for span in off if span.first <= last and span.last >= first),
    )


def steps_to_do() -> dict[StepSpot, str]:
    """Public ids of the steps of open builds that are to do, by build number and step code."""
    rows = BuildStep.objects.filter(state=StepState.TODO).exclude(build__state__in=CLOSED_STATES)
    return {(number, code): step for number, code, step in rows.values_list("build__number", "code", "public_id")}


def _other(booking: LaneBooking, beside: LaneBooking | None, steps: dict[StepSpot, str]) -> str:
    """A neighbor it may change places with: another build's step, both still to do."""
    if beside is None or beside.build == booking.build or (booking.build, booking.step) not in steps:
        return ""
    return steps.get((beside.build, beside.step), "")


def _paused(booking: LaneBooking, days: Sequence[PlanDay], leave: Sequence[DaySpan]) -> tuple[date, ...]:
    if not leave:
        return ()
    from_day, to_day = booking.start.date(), booking.end.date()
    return tuple(
        each.day
        for each in days
        if from_day <= each.day <= to_day
        and not each.closed
        and any(span.first <= each.day <= span.last for span in leave)
    )


def _unplanned(plan: LinePlan, builds: dict[str, Build]) -> tuple[Unplanned, ...]:
    found = []
    for each in plan.builds:
        build = builds.get(each.number)
        if build is not None and (each.on_hold or each.blocked):
            found.append(Unplanned(build=build, why=f"On hold: {build.hold_reason}" if each.on_hold else each.blocked))
    return tuple(found)
