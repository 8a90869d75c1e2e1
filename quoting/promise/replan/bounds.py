"""What no plan can beat: the shortest-remaining-time relaxation for each bench type and each set of skills.

All work a group does is taken as one machine as fast as the part of the group that is there, free to break work off at
any time; on it shortest remaining time first has by any moment done as many jobs as can be done (Schrage, Operations
Research 16 (1968); Smith, Operations Research 26 (1978); from memory). So the k-th finish of the shop is no earlier
than the k-th there and the least work that follows, for every k and every group at once; nor than the k-th when each
build has the shop to itself. Before its first step in the group a build takes at least its head.

Turns that people have taken count where they put off the start of a step (`windows.alone`). That the two steps also
share a bench or a person does not: the bounds hold with turns, and may lie lower than the best plan that keeps them.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

import numpy as np

from quoting.promise.odds.arrays import Floats
from quoting.promise.replan.capacity import Capacity
from quoting.promise.replan.problem import Problem
from quoting.promise.replan.windows import alone, tails

EXHAUSTIVE = 8  # sets of skills up to this many groups are all tried (our own choice)


def alone_finishes(problem: Problem) -> list[int]:
    """The earliest finish of each job with everything free, but for the turns [slot]."""
    ends = [max(job.gate, problem.now) for job in problem.jobs]
    for task, end in zip(problem.tasks, alone(problem)[1], strict=True):
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
    if not problem.jobs:
        return 0
    finishes = alone_finishes(problem)
    first, after = alone(problem)[0], tails(problem)
    least = np.sort(np.array(finishes, np.float64))
    seen: set[tuple[int, ...]] = set()
    for capacity, tasks in _groups(problem):
        for part in _parts(problem, tasks):
            if part not in seen:
                seen.add(part)
                np.maximum(least, _relaxed(problem, capacity, part, first, after, finishes), out=least)
    return int(np.ceil(least - 1e-6).sum())


def _groups(problem: Problem) -> Iterator[tuple[Capacity, list[int]]]:
    """(capacity, tasks that need it) for each pool, set of single benches, and set of crews."""
    free = [number for number, task in enumerate(problem.tasks) if task.fixed is None and task.length]
    for pool, size in enumerate(problem.pools):
        users = [number for number in free if any(used == pool for used, _ in problem.tasks[number].uses)]
        if users and all(units == 1 for number in users for _, units in problem.tasks[number].uses):
            held = [(low, high, units) for used, low, high, units in problem.held_pools if used == pool]
            yield Capacity.of(problem.now, size, held), users
    for benches in sorted({problem.tasks[number].benches for number in free} - {()}):
        users = [number for number in free if problem.tasks[number].benches == benches]
        yield Capacity.of_lanes(problem.now, benches, problem.held_benches, problem.down), users
    for people in _crews(problem, free):
        users = [
            number for number in free if problem.tasks[number].able and people.issuperset(problem.tasks[number].able)
        ]
        yield Capacity.of_lanes(problem.now, sorted(people), problem.held_people, problem.away), users


def _crews(problem: Problem, free: Iterable[int]) -> list[frozenset[int]]:
    crews = sorted({problem.tasks[number].able for number in free} - {()})
    sizes = range(1, len(crews) + 1) if len(crews) <= EXHAUSTIVE else (1, 2, 3, len(crews))
    chosen = (each for size in sizes for each in combinations(crews, size))
    return list(dict.fromkeys(frozenset(person for crew in crews for person in crew) for crews in chosen))


def _parts(problem: Problem, tasks: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """All tasks of a group; and only the last or first few of each job, which start later or leave more to do."""
    own: dict[int, list[int]] = {}
    for number in tasks:
        own.setdefault(problem.tasks[number].job, []).append(number)
    most = max(map(len, own.values()), default=0)
    for count in range(most, 0, -1):
        yield tuple(number for job in own for number in own[job][-count:])
        yield tuple(number for job in own for number in own[job][:count])


def _relaxed(
    problem: Problem,
    capacity: Capacity,
    tasks: Sequence[int],
    first: Sequence[int],
    after: Sequence[int],
    finishes: Sequence[int],
) -> Floats:
    """The finishes of the shop in order, each at the earliest [slot]."""
    work: dict[int, int] = {}
    head: dict[int, int] = {}
    tail: dict[int, int] = {}
    for number in tasks:
        task = problem.tasks[number]
        work[task.job] = work.get(task.job, 0) + task.length
        head[task.job] = min(head.get(task.job, first[number]), first[number])
        tail[task.job] = min(tail.get(task.job, after[number]), after[number])
    least_tail = min(tail.values())
    done = shortest_first([(float(capacity.done_by(head[job])), work[job]) for job in work])
    ends = [float(capacity.reaches(each)) + least_tail for each in done]
    return np.sort(np.array([*ends, *(end for job, end in enumerate(finishes) if job not in work)], np.float64))


def shortest_first(jobs: Sequence[tuple[float, float]]) -> list[float]:
    """The finishes in order of (release, work) on one machine, shortest remaining work first, broken off at will."""
    coming = sorted(jobs)
    waiting: list[float] = []
    finishes: list[float] = []
    now, at = 0.0, 0
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
            finishes.append(now)
        else:
            heapq.heappush(waiting, left - (until - now))
            now = until
    return finishes
