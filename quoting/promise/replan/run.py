"""Plan a line anew: list search, then the solver in three stages, then the best of all plans and how sure it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from quoting.promise.calendar import SLOTS_PER_HOUR
from quoting.promise.odds.engine import Engine
from quoting.promise.plan import PlannedShop
from quoting.promise.replan.bounds import flow_bound, lateness_bound
from quoting.promise.replan.floor import FloorProblem, problem_of
from quoting.promise.replan.lists import search_orders
from quoting.promise.replan.problem import Plan
from quoting.promise.replan.replanned import Replanned, changed, told
from quoting.promise.replan.solve import Effort, Solved, least_change, least_flow, least_lateness
from quoting.promise.replan.windows import windows_of

STANDING, LISTS, SOLVER = "standing plan", "list search", "solver"
NOT_RUN, PROVED = "not run", "proved"
TRIES = 2000  # orders laid (our own choice: a second for sixty builds)
FULL_BUILDS = 60  # up to here the solver may move everything, above it steps within ten days of the warm start
REACH_DAYS = 10
SLACK, SLACK_DAYS = 1.05, 5  # room past the warm start's end: it may be needed when someone is away
FROZEN_DAYS = 2  # open days, today the first, in which nobody's work is moved about (our own choice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How long to search: `tries` of the list search, the three stages of the solver; None leaves a stage out.

    `frozen_days` open days, today the first, whose planned steps keep their time, person and bench.
    """

    tries: int = TRIES
    lateness: Effort | None = Effort(seconds=30, work=5)
    flow: Effort | None = Effort(seconds=120, work=30)
    change: Effort | None = Effort(seconds=15, work=4)
    frozen_days: int = FROZEN_DAYS


def replan(planned: PlannedShop, limits: Limits | None = None, loops: Engine | None = None) -> Replanned:
    """Plan every build that has a finish anew. Nothing is applied and no promised date changes.

    In this order: the least lateness against promises, the least flow at that lateness, the least change from the
    standing plan at that lateness and flow. No build is later against its promise than in the standing plan, and the
    turns people have taken are kept. Bounds hold for plans that keep the frozen steps. Raises: CalendarError when the
    calendar ends before the plan.
    """
    limits = limits or Limits()
    floor = problem_of(planned, limits.frozen_days)
    problem, standing = floor.problem, floor.standing
    caps = standing.lateness(problem)
    best, method = standing, STANDING
    listed = search_orders(planned, floor, caps, limits.tries, loops).plan
    if _kept(listed, floor, caps) and listed.score(problem) < best.score(problem):
        best, method = listed, LISTS
    now = len(problem.jobs) * problem.now
    least_late, least = lateness_bound(problem), flow_bound(problem) - now
    ended = [NOT_RUN, NOT_RUN, NOT_RUN]
    if best.score(problem)[0] <= least_late:
        ended[0] = PROVED
    elif limits.lateness is not None:
        windows = windows_of(problem, _last(best, floor), caps=caps)
        solved = least_lateness(problem, windows, caps, best, limits.lateness)
        least_late, ended[0] = max(least_late, solved.bound), solved.ended
        best, method = _better(floor, best, method, solved)
    if limits.flow is not None and problem.tasks:
        late = best.score(problem)[0]
        solved = least_flow(problem, _windows(floor, best, caps), caps, late, best, limits.flow)
        ended[1] = solved.ended
        if len(problem.jobs) <= FULL_BUILDS:  # within windows the solver's bound holds for the windows only
            least = max(least, solved.bound - now)
        best, method = _better(floor, best, method, solved)
    if limits.change is not None and changed(best, standing):
        score = best.score(problem)
        solved = least_change(problem, _windows(floor, best, caps), caps, score, standing, best, limits.change)
        ended[2] = solved.ended
        best = _closer(floor, best, solved)
    return told(planned, floor, best, method, (least_late, least), (ended[0], ended[1], ended[2]))


def _kept(plan: Plan, floor: FloorProblem, caps: Sequence[int]) -> bool:
    """Whether a plan keeps every turn and no build is later than its cap."""
    turns = all(plan.start[first] <= max(plan.start[then], by) for first, then, by in floor.problem.turns)
    return turns and all(late <= cap for late, cap in zip(plan.lateness(floor.problem), caps, strict=True))


def _last(plan: Plan, floor: FloorProblem) -> int:
    slack = SLACK_DAYS * 8 * SLOTS_PER_HOUR
    return math.ceil(max((*plan.end, floor.problem.now)) * SLACK) + slack


def _windows(floor: FloorProblem, plan: Plan, caps: Sequence[int]) -> list[tuple[int, int]]:
    last = _last(plan, floor)
    if len(floor.problem.jobs) <= FULL_BUILDS:
        return windows_of(floor.problem, last, caps=caps)
    return windows_of(floor.problem, last, plan, REACH_DAYS * 8 * SLOTS_PER_HOUR, caps=caps)


def _better(floor: FloorProblem, best: Plan, method: str, solved: Solved) -> tuple[Plan, str]:
    if solved.plan is None or solved.plan.score(floor.problem) >= best.score(floor.problem):
        return best, method
    return with_benches(floor, solved.plan), SOLVER


def _closer(floor: FloorProblem, best: Plan, solved: Solved) -> Plan:
    """The solved plan where it is no worse and changes less."""
    if solved.plan is None or solved.plan.score(floor.problem) > best.score(floor.problem):
        return best
    plan = with_benches(floor, solved.plan)
    return plan if changed(plan, floor.standing) < changed(best, floor.standing) else best


def with_benches(floor: FloorProblem, plan: Plan) -> Plan:
    """Name a bench for each step on a pool: its own in the standing plan when that is free, else the first of its type
    that is, which is enough of them. Steps that stay keep person and bench."""
    problem, standing = floor.problem, floor.standing
    free_at = {at: max((high for _, high in held), default=0) for at, held in enumerate(problem.held_benches)}
    person, bench = list(plan.person), list(plan.bench)
    for number in sorted(range(len(problem.tasks)), key=lambda each: (plan.start[each], each)):
        task = problem.tasks[number]
        if task.fixed is not None:
            person[number], bench[number] = standing.person[number], standing.bench[number]
        elif task.uses and task.length:
            of_type = (standing.bench[number], *floor.bench_numbers[task.uses[0][0]])
            chosen = next(at for at in of_type if free_at[at] <= plan.start[number])
            free_at[chosen] = plan.end[number]
            bench[number] = chosen
    return replace(plan, person=tuple(person), bench=tuple(bench))
