"""Order-by days: counted back from the finish to the latest start of the step that needs the part, then to its order.

Every other build stays where it is planned, so a part ordered by its day moves nobody. Earliest ends only move later
when a step becomes ready later; so the latest start of each step, taken from the last step backward, is exact: one day
later and the finish is missed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from quoting.errors import CalendarError
from quoting.promise.calendar import Calendar
from quoting.promise.lanes import NOTHING, Floor, Lane, latest
from quoting.promise.plan import Bearings, Outlook, PlannedShop
from quoting.promise.spans import ONE_DAY, Spans, latest_order_day
from quoting.promise.supply import TO_ORDER, Peg
from quoting.promise.work import Pace, Task
from quoting.request import OpenBuild
from quoting.result import PartPromise


def latest_ready(floor: Floor, bearings: Bearings, outlook: Outlook, pace: Pace, finish: date) -> list[date]:
    """The latest day a part can be ready, for each step and, last, for the finish itself.

    Parameters: `floor` with every other build in its place; `finish` day that has to hold. Returns: days in the shop's
    zone; today where the finish is out of reach even with the part on the shelf. Raises: CalendarError when `finish`
    lies past the horizon.
    """
    own = {step.task.index: step.end for step in outlook.laid[pace].placed if step.task.step.started is not None}
    others = Others(floor, outlook.build.number, max(own.values(), default=bearings.now))
    calendar = bearings.calendar
    after = calendar.slot_of_day(finish + ONE_DAY)
    limit: int | None = after
    ready = [_ready_day(bearings, after - 1)]
    settled = False  # the last step may end with the day; what only has to be back or here must be so within it
    for task in reversed(outlook.tasks[pace]):
        end = limit if limit is None or settled or task.slots else limit - 1
        if task.index in own or end is None:
            ready.append(bearings.today)
            continue
        if task.slots or task.outside:
            end = limit = others.latest_start(calendar, task, end)
            settled = True
        ready.append(_ready_day(bearings, end))
    return ready[::-1]


def _ready_day(bearings: Bearings, slot: int | None) -> date:
    return bearings.calendar.day_of(slot) if slot is not None and slot >= bearings.now else bearings.today


@dataclass(slots=True)
class Others:
    """The lanes as every build but `build` takes them; nothing starts before `first`."""

    floor: Floor
    build: str
    first: int
    taken: dict[str, Spans] = field(default_factory=dict)

    def latest_start(self, calendar: Calendar, task: Task, end: int) -> int | None:
        """The latest slot a task can be ready in and still end by `end`, over every able person and bench."""
        if task.outside:
            leaves = calendar.day_of(max(end, 0)) - timedelta(days=task.step.lead_days)
            start = calendar.slot_of_day(leaves + ONE_DAY) - 1
            return start if start >= self.first else None
        starts = [
            latest(person.away, self._without(person), bench_taken, end, task.slots, self.first)
            for person in self.floor.people_for(task.step.skill)
            for bench_taken in self._benches(task)
        ]
        return max((start for start in starts if start is not None), default=None)

    def _benches(self, task: Task) -> list[Spans]:
        if not task.step.bench_type:
            return [NOTHING]
        return [self._without(bench) for bench in self.floor.benches_of(task.step.bench_type)]

    def _without(self, lane: Lane) -> Spans:
        key = f"{lane.group}/{lane.name}"
        if key not in self.taken:
            self.taken[key] = lane.without(self.build)
        return self.taken[key]


def part_promises(planned: PlannedShop, outlook: Outlook, promised: date | None = None) -> tuple[PartPromise, ...]:
    """Every part of a build: where it comes from, when, and by when to order it.

    `promised` the day the customer was told, None for the slow finish of this plan. A build without a finish gets no
    order-by days.
    """
    bearings = planned.bearings
    slow, likely = (
        _needed(planned, outlook, pace, finish)
        for pace, finish in ((Pace.SLOW, promised or outlook.finish_to), (Pace.LIKELY, outlook.finish_from))
    )
    return tuple(
        part_promise(
            outlook.build,
            peg,
            order_by(peg, slow, Pace.SLOW, bearings),
            order_by(peg, likely, Pace.LIKELY, bearings),
        )
        for peg in outlook.pegs
    )


def _needed(planned: PlannedShop, outlook: Outlook, pace: Pace, finish: date | None) -> list[date] | None:
    if finish is None or outlook.stops or all(peg.origin != TO_ORDER for peg in outlook.pegs):
        return None
    try:
        return latest_ready(planned.floors[pace], planned.bearings, outlook, pace, finish)
    except CalendarError:  # a promise more than ten years away
        return None


def order_by(peg: Peg, needed: list[date] | None, pace: Pace, bearings: Bearings) -> date | None:
    """The latest day to order a part, from the day it has to be ready, goods-in handling and lead time taken off."""
    if peg.origin != TO_ORDER or peg.lead is None or needed is None:
        return None
    here = needed[peg.step] - bearings.handling
    return latest_order_day(here, peg.lead.days(pace), peg.lead.closed, bearings.today)


def part_promise(
    build: OpenBuild, peg: Peg, promise_day: date | None = None, plan_day: date | None = None
) -> PartPromise:
    """A peg as part of a promise."""
    receipt = peg.incoming.receipt if peg.incoming else None
    supplier = receipt.supplier if receipt and receipt.supplier else peg.lead.supplier if peg.lead else ""
    return PartPromise(
        code=peg.need.code,
        name=peg.name,
        quantity=peg.quantity,
        origin=peg.origin,
        ready=peg.ready,
        order=receipt.order if receipt else "",
        supplier=supplier,
        lead_days=peg.lead.likely_days if peg.lead and peg.origin == TO_ORDER else None,
        order_by=promise_day,
        step=build.steps[peg.step].code if peg.step < len(build.steps) else "",
        arrives=peg.arrives,
        ready_slow=peg.slow_ready,
        late_days=peg.incoming.late_days if peg.incoming else 0,
        order_by_plan=plan_day,
        note=peg.unknown,
    )
