"""What re-planning found, in days, hours and names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from quoting.promise.calendar import SLOTS_PER_HOUR, Calendar
from quoting.promise.plan import PlannedShop
from quoting.promise.replan.binding import Binding, bindings_of
from quoting.promise.replan.floor import FloorProblem, day_done
from quoting.promise.replan.problem import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebooked:
    """A step in the new plan."""

    build: str
    step: str
    start: datetime
    end: datetime
    person: str
    bench: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Replanned:
    """The best of all plans.

    `builds` (number, likely finish before, after, promised last day) in order of the line; `steps` booked; `order` the
    builds by start; `method` that won: standing plan, list search or solver. Lateness and flow in open hours [h] of the
    standing plan, of this one, and the bound no plan goes below; `ended` what ended the stages for lateness, flow and
    change: proved, work, seconds, infeasible, or not run; `changed_steps` that start, or whose person or bench is,
    other than in the standing plan; `frozen_steps` that were not open to change; `kept_turns` people have taken and
    this plan keeps; `bindings` builds no order can help, with what each waits for.
    """

    builds: tuple[tuple[str, date, date, date | None], ...]
    steps: tuple[Rebooked, ...]
    order: tuple[str, ...]
    method: str
    lateness_before_h: float
    lateness_h: float
    lateness_bound_h: float
    flow_before_h: float
    flow_h: float
    flow_bound_h: float
    ended: tuple[str, str, str]
    revision: int
    changed_steps: int = 0
    frozen_steps: int = 0
    kept_turns: int = 0
    bindings: tuple[Binding, ...] = ()

    @property
    def gap(self) -> float:
        """How far the flow may be from the best [0..1]."""
        return (self.flow_h - self.flow_bound_h) / self.flow_h if self.flow_h else 0.0


def changed(plan: Plan, standing: Plan) -> int:
    """How many steps start, or have a person or a bench, other than in a plan."""
    return sum(
        (plan.start[at], plan.person[at], plan.bench[at])
        != (standing.start[at], standing.person[at], standing.bench[at])
        for at in range(len(plan.start))
    )


def told(
    planned: PlannedShop,
    floor: FloorProblem,
    best: Plan,
    method: str,
    bounds: tuple[int, int],
    ended: tuple[str, str, str],
) -> Replanned:
    """A plan in the shop's own terms. `bounds` on total lateness and flow [slots]."""
    problem, calendar = floor.problem, planned.bearings.calendar
    before, after = floor.standing.score(problem), best.score(problem)
    names = [(chain, task) for chain in floor.chains for task in chain.tasks]
    steps = [
        Rebooked(
            build=chain.number,
            step=task.step.code,
            start=calendar.start_of(best.start[at]),
            end=calendar.end_of(best.end[at]) if task.slots else calendar.start_of(best.end[at]),
            person=floor.people[best.person[at]] if best.person[at] >= 0 else "",
            bench=floor.benches[best.bench[at]] if best.bench[at] >= 0 else "",
        )
        for at, (chain, task) in enumerate(names)
    ]
    promised = {build.number: build.promised_to for build in planned.shop.builds}
    days = [_days(floor, calendar, plan) for plan in (floor.standing, best)]
    begins: dict[str, datetime] = {}
    for step in steps:
        begins.setdefault(step.build, step.start)
    hours = float(SLOTS_PER_HOUR)
    return Replanned(
        builds=tuple(
            (chain.number, days[0][at], days[1][at], promised[chain.number]) for at, chain in enumerate(floor.chains)
        ),
        steps=tuple(steps),
        order=tuple(sorted(begins, key=lambda number: begins[number])),
        method=method,
        lateness_before_h=before[0] / hours,
        lateness_h=after[0] / hours,
        lateness_bound_h=bounds[0] / hours,
        flow_before_h=before[1] / hours,
        flow_h=after[1] / hours,
        flow_bound_h=bounds[1] / hours,
        ended=ended,
        revision=planned.shop.revision,
        changed_steps=changed(best, floor.standing),
        frozen_steps=len(floor.frozen),
        kept_turns=len(problem.turns),
        bindings=bindings_of(planned, floor, best, bounds[0]),
    )


def _days(floor: FloorProblem, calendar: Calendar, plan: Plan) -> list[date]:
    """The day each build is finished."""
    return [day_done(floor, calendar, job, end) for job, end in enumerate(plan.finish(floor.problem))]
