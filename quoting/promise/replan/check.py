"""An independent look at a plan: every rule counted out slot by slot or pair by pair, without the code that made it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import combinations

from quoting.promise.replan.problem import Plan, Problem, Span


def faults(problem: Problem, plan: Plan) -> list[str]:
    """What is wrong with a plan, in words; empty when nothing is."""
    return [*_times(problem, plan), *_turns(problem, plan), *_lanes(problem, plan), *_pools(problem, plan)]


def _times(problem: Problem, plan: Plan) -> Iterator[str]:
    for number, task in enumerate(problem.tasks):
        start, end = plan.start[number], plan.end[number]
        if task.fixed is not None:
            if (start, end) != task.fixed:
                yield f"task {number} is under way and was moved"
            continue
        if start < max(task.release, problem.now):
            yield f"task {number} starts before it may"
        if any(plan.end[former] > start for former in task.after):
            yield f"task {number} starts before what comes before it ends"
        if task.lead_days:
            if end != back(problem, start, task.lead_days):
                yield f"task {number} is not back after {task.lead_days} days"
        else:
            yield from _work(problem, plan, number)


def _turns(problem: Problem, plan: Plan) -> Iterator[str]:
    for first, then, by in problem.turns:
        if plan.start[first] > plan.start[then] and plan.start[first] > by:
            yield f"task {first} has its turn before task {then} and starts after it"


def _work(problem: Problem, plan: Plan, number: int) -> Iterator[str]:
    task, person = problem.tasks[number], plan.person[number]
    start, end = plan.start[number], plan.end[number]
    if task.able and task.length and person not in task.able:
        yield f"task {number} is given to someone who cannot do it"
        return
    away = problem.away[person] if task.able and task.length else ()
    if task.benches and task.length and plan.bench[number] not in task.benches:
        yield f"task {number} is on a bench of another kind"
    if _worked(start, end, away) != task.length:
        yield f"task {number} has {_worked(start, end, away)} slots of work for {task.length}"
    if task.length and any(low <= start < high or low <= end - 1 < high for low, high in away):
        yield f"task {number} starts or ends while its person is away"


def back(problem: Problem, leaves: int, lead_days: int) -> int:
    """First slot after outside work that leaves on the day of slot `leaves`."""
    today = max(number for number, first in enumerate(problem.day) if first <= leaves)
    return problem.day[today + lead_days]


def _worked(start: int, end: int, away: Iterable[Span]) -> int:
    return end - start - sum(max(min(end, high) - max(start, low), 0) for low, high in away)


def _lanes(problem: Problem, plan: Plan) -> Iterator[str]:
    """Work under way may hold a bench through its downtime; nothing else shares a lane."""
    people = [[(*span, False) for span in held] for held in problem.held_people]
    benches = [
        [(*span, False) for span in (*held, *down)]
        for held, down in zip(problem.held_benches, problem.down, strict=True)
    ]
    for number, task in enumerate(problem.tasks):
        if task.fixed is None and task.length:
            span = plan.start[number], plan.end[number], True
            if task.able:
                people[plan.person[number]].append(span)
            if task.benches:
                benches[plan.bench[number]].append(span)
    for what, lanes in (("person", people), ("bench", benches)):
        for at, spans in enumerate(lanes):
            for one, other in combinations(spans, 2):
                if one[0] < other[1] and other[0] < one[1] and (one[2] or other[2]):
                    yield f"{what} {at} has two tasks at once"


def _pools(problem: Problem, plan: Plan) -> Iterator[str]:
    for pool, capacity in enumerate(problem.pools):
        change: Counter[int] = Counter()
        for held, start, end, units in problem.held_pools:
            if held == pool:
                change[start] += units
                change[end] -= units
        for number, task in enumerate(problem.tasks):
            units = sum(each for used, each in task.uses if used == pool)
            if units and task.fixed is None and task.length:
                change[plan.start[number]] += units
                change[plan.end[number]] -= units
        level = 0
        for slot in sorted(change):
            level += change[slot]
            if level > capacity:
                yield f"pool {pool} holds {level} of {capacity} at slot {slot}"
                break
