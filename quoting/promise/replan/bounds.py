"""What no plan can beat: the shortest-remaining-time relaxation for each bench type and each set of skills.

All work a group does is taken as one machine as fast as the group is large, free to break work off at any time; on it
shortest remaining time first has the least total of the finishes (Schrage, Operations Research 16 (1968), from memory).
Before its first step in the group a build takes at least its head, after its last at least its tail.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from quoting.promise.replan.problem import Problem
from quoting.promise.replan.windows import heads, tails

EXHAUSTIVE = 6  # sets of skills up to this many groups are all tried (our own choice)


def alone_finishes(problem: Problem) -> list[int]:
    """The earliest finish of each job with everything free [slot]."""
    ends = [max(job.gate, problem.now) for job in problem.jobs]
    for task, start in zip(problem.tasks, heads(problem), strict=True):
        end = task.fixed[1] if task.fixed else start + task.length
        ends[task.job] = max(ends[task.job], end)
    return ends


def lateness_bound(problem: Problem) -> int:
    """Total lateness that remains with everything free [slots]."""
    return sum(
        max(end - job.due, 0)
        for job, end in zip(problem.jobs, alone_finishes(problem), strict=True)
        if job.due is not None
    )


def flow_bound(problem: Problem) -> int:
    """A total of the finishes no plan goes below [slots, from slot 0]."""
    first, after, alone = heads(problem), tails(problem), alone_finishes(problem)
    best = sum(alone)
    for size, tasks in _groups(problem):
        best = max(best, _relaxed(problem, size, tasks, first, after, alone))
    return best


def _groups(problem: Problem) -> Iterator[tuple[int, list[int]]]:
    """(how many, tasks that need one of them) for each pool, set of single benches, and set of crews."""
    free = [number for number, task in enumerate(problem.tasks) if task.fixed is None and task.length]
    for pool, capacity in enumerate(problem.pools):
        users = [number for number in free if any(used == pool for used, _ in problem.tasks[number].uses)]
        if users and all(units == 1 for number in users for _, units in problem.tasks[number].uses):
            yield capacity, users
    for benches in sorted({problem.tasks[number].benches for number in free} - {()}):
        yield len(benches), [number for number in free if problem.tasks[number].benches == benches]
    crews = sorted({problem.tasks[number].able for number in free} - {()})
    sizes = range(1, len(crews) + 1) if len(crews) <= EXHAUSTIVE else (1, 2, 3, len(crews))
    for size in sizes:
        for chosen in combinations(crews, size):
            people = {person for crew in chosen for person in crew}
            yield (
                len(people),
                [
                    number
                    for number in free
                    if problem.tasks[number].able and people.issuperset(problem.tasks[number].able)
                ],
            )


def _relaxed(
    problem: Problem, size: int, tasks: list[int], first: Sequence[int], after: Sequence[int], alone: Sequence[int]
) -> int:
    work: dict[int, int] = {}
    head: dict[int, int] = {}
    tail: dict[int, int] = {}
    for number in tasks:
        task = problem.tasks[number]
        work[task.job] = work.get(task.job, 0) + task.length
        head[task.job] = min(head.get(task.job, first[number]), first[number])
        tail[task.job] = min(tail.get(task.job, after[number]), after[number])
    total = sum(end for job, end in enumerate(alone) if job not in work) + sum(tail.values())
    return math.ceil(total + shortest_first([(head[job], work[job] / size) for job in work]) - 1e-6)


def shortest_first(jobs: Sequence[tuple[int, float]]) -> float:
    """Total of the finishes of (release, work) on one machine, shortest remaining work first, broken off at will."""
    coming = sorted(jobs)
    waiting: list[float] = []
    now, total, at = 0.0, 0.0, 0
    while at < len(coming) or waiting:
        if not waiting:
            now = max(now, coming[at][0])
        while at < len(coming) and coming[at][0] <= now:
            heapq.heappush(waiting, coming[at][1])
            at += 1
        left = heapq.heappop(waiting)
        until = coming[at][0] if at < len(coming) else math.inf
        if now + left <= until:
            now += left
            total += now
        else:
            heapq.heappush(waiting, left - (until - now))
            now = until
    return total
