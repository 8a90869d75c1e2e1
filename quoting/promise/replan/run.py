"""Plan a line anew: list search, then the solver in two stages, then the best of all plans and how sure it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from quoting.promise.calendar import SLOTS_PER_HOUR, Calendar
from quoting.promise.odds.engine import Engine
from quoting.promise.plan import PlannedShop
from quoting.promise.replan.bounds import flow_bound, lateness_bound
from quoting.promise.replan.floor import FloorProblem, problem_of
from quoting.promise.replan.lists import search_orders
from quoting.promise.replan.problem import Plan
from quoting.promise.replan.solve import Effort, Solved, least_flow, least_lateness
from quoting.promise.replan.windows import windows_of

STANDING, LISTS, SOLVER = "standing plan", "list search", "solver"
TRIES = 2000  # orders laid (our own choice: a second for sixty builds)
FULL_BUILDS = 60  # up to here the solver may move everything, above it steps within ten days of the warm start
REACH_DAYS = 10
SLACK, SLACK_DAYS = 1.05, 5  # room past the warm start's end: it may be needed when someone is away


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How long to search: `tries` of the list search, the two stages of the solver; None leaves the solver out."""

    tries: int = TRIES
    lateness: Effort | None = Effort(seconds=30, work=5)
    flow: Effort | None = Effort(seconds=120, work=30)


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
    standing plan, of this one, and the bound no plan goes below; `ended` what ended each stage: proved, work, seconds,
    infeasible, or not run.
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
    ended: tuple[str, str]
    revision: int

    @property
    def gap(self) -> float:
        """How far the flow may be from the best [0..1]."""
        return (self.flow_h - self.flow_bound_h) / self.flow_h if self.flow_h else 0.0


def replan(planned: PlannedShop, limits: Limits | None = None, loops: Engine | None = None) -> Replanned:
    """Plan every build that has a finish anew. Nothing is applied and no promised date changes.

    No build is later against its promise than in the standing plan. Without OR-Tools the list search decides alone.
    Raises: CalendarError when the calendar ends before the plan.
    """
    limits = limits or Limits()
    floor = problem_of(planned)
    problem, standing = floor.problem, floor.standing
    caps = standing.lateness(problem)
    best, method = standing, STANDING
    listed = search_orders(planned, floor, caps, limits.tries, loops).plan
    if _within(listed, floor, caps) and listed.score(problem) < best.score(problem):
        best, method = listed, LISTS
    now = len(problem.jobs) * problem.now
    least_late, least = lateness_bound(problem), flow_bound(problem) - now
    ended = ["not run", "not run"]
    if best.score(problem)[0] <= least_late:
        ended[0] = "proved"
    elif limits.lateness is not None:
        solved = least_lateness(problem, _windows(floor, best), caps, best, limits.lateness)
        least_late, ended[0] = max(least_late, solved.bound), solved.ended
        best, method = _better(floor, best, method, solved)
    if limits.flow is not None and problem.tasks:
        late = best.score(problem)[0]
        windows = _windows(floor, best)
        solved = least_flow(problem, windows, caps, late, best, limits.flow)
        ended[1] = solved.ended
        if len(problem.jobs) <= FULL_BUILDS:  # within windows the solver's bound holds for the windows only
            least = max(least, solved.bound - now)
        best, method = _better(floor, best, method, solved)
    return _told(planned, floor, best, method, (least_late, least), (ended[0], ended[1]))


def _within(plan: Plan, floor: FloorProblem, caps: Sequence[int]) -> bool:
    return all(late <= cap for late, cap in zip(plan.lateness(floor.problem), caps, strict=True))


def _windows(floor: FloorProblem, plan: Plan) -> list[tuple[int, int]]:
    problem = floor.problem
    day_slots = 8 * SLOTS_PER_HOUR
    last = math.ceil(max((*plan.end, problem.now)) * SLACK) + SLACK_DAYS * day_slots
    if len(problem.jobs) <= FULL_BUILDS:
        return windows_of(problem, last)
    return windows_of(problem, last, plan, REACH_DAYS * day_slots)


def _better(floor: FloorProblem, best: Plan, method: str, solved: Solved) -> tuple[Plan, str]:
    if solved.plan is None or solved.plan.score(floor.problem) >= best.score(floor.problem):
        return best, method
    return with_benches(floor, solved.plan), SOLVER


def with_benches(floor: FloorProblem, plan: Plan) -> Plan:
    """Name a bench for each step on a pool: the first of its type free at its start, which is enough of them."""
    problem = floor.problem
    free_at = {at: max((high for _, high in held), default=0) for at, held in enumerate(problem.held_benches)}
    bench = list(plan.bench)
    for number in sorted(range(len(problem.tasks)), key=lambda each: (plan.start[each], each)):
        task = problem.tasks[number]
        if task.fixed is None and task.uses and task.length:
            of_type = floor.bench_numbers[task.uses[0][0]]
            chosen = next(at for at in of_type if free_at[at] <= plan.start[number])
            free_at[chosen] = plan.end[number]
            bench[number] = chosen
    return replace(plan, bench=tuple(bench))


def _told(
    planned: PlannedShop, floor: FloorProblem, best: Plan, method: str, bounds: tuple[int, int], ended: tuple[str, str]
) -> Replanned:
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
    )


def _days(floor: FloorProblem, calendar: Calendar, plan: Plan) -> list[date]:
    """The day each build is finished: of its last worked slot, or the day its last part or outside work is back."""
    found = []
    for job, end in enumerate(plan.finish(floor.problem)):
        chain = floor.chains[job]
        worked = bool(chain.tasks) and chain.tasks[-1].slots > 0 and floor.problem.jobs[job].gate < end
        found.append(calendar.day_of(end - 1 if worked else end))
    return found
