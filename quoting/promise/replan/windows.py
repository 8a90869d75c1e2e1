"""When each task can start at the earliest and has to be done at the latest, from the network of its job alone."""

from __future__ import annotations

from collections.abc import Sequence

from quoting.promise.replan.problem import Plan, Problem, Span, Task, back_in_days, merged


def heads(problem: Problem) -> list[int]:
    """The earliest start of each task [slot], with every bench and person free but for leave and work under way."""
    return alone(problem)[0]


def alone(problem: Problem) -> tuple[list[int], list[int]]:
    """The earliest start and the earliest end of each task [slot] with its job alone in the shop, but for the turns.

    The two may belong to different people: someone starts sooner, someone else ends sooner. What has to let another
    task start first starts no sooner than that one can.
    """
    lanes = _Lanes(problem)
    release = [task.release for task in problem.tasks]
    starts, ends = _soonest(problem, lanes, release)
    for _ in problem.turns:  # each may put off the first task of another
        put_off = [turn for turn in problem.turns if starts[turn.first] > max(turn.by, release[turn.then])]
        if not put_off:
            break
        for turn in put_off:
            release[turn.then] = max(release[turn.then], starts[turn.first])
        starts, ends = _soonest(problem, lanes, release)
    return starts, ends


def _soonest(problem: Problem, lanes: _Lanes, release: Sequence[int]) -> tuple[list[int], list[int]]:
    starts: list[int] = []
    ends: list[int] = []
    for task, released in zip(problem.tasks, release, strict=True):  # a task comes after those it follows
        ready = max([released, problem.now, *(ends[former] for former in task.after)])
        start, end = task.fixed or lanes.soonest(task, ready)
        starts.append(start)
        ends.append(end)
    return starts, ends


class _Lanes:
    """What is taken on people and benches before anything is planned."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.taken: dict[tuple[int, int], list[Span]] = {}

    def soonest(self, task: Task, ready: int) -> Span:
        if task.lead_days:
            return ready, back_in_days(self.problem, ready, task.lead_days)
        if not task.length:
            return ready, ready
        found = [
            soonest(self.problem.away[person] if person >= 0 else (), self._blocked(person, bench), ready, task.length)
            for person in task.able or (-1,)
            for bench in task.benches or (-1,)
        ]
        return min(start for start, _ in found), min(end for _, end in found)

    def _blocked(self, person: int, bench: int) -> list[Span]:
        if (person, bench) not in self.taken:
            problem = self.problem
            held = problem.held_people[person] if person >= 0 else ()
            down = (*problem.held_benches[bench], *problem.down[bench]) if bench >= 0 else ()
            self.taken[person, bench] = merged((*held, *down))
        return self.taken[person, bench]


def soonest(away: Sequence[Span], blocked: Sequence[Span], ready: int, length: int) -> Span:
    """The first interval from `ready` on for `length` slots of work that goes on after leave; nothing blocks it."""
    start = ready
    while True:
        start = next((until for since, until in away if since <= start < until), start)
        end = start + length
        for since, until in away:
            if start < since < end:
                end += until - since
        clash = next((until for since, until in blocked if since < end and start < until), None)
        if clash is None:
            return start, end
        start = clash


def tails(problem: Problem) -> list[int]:
    """The least work after each task until its job is done [slots]."""
    found = [0] * len(problem.tasks)
    for number in range(len(problem.tasks) - 1, -1, -1):
        task = problem.tasks[number]
        for former in task.after:
            found[former] = max(found[former], found[number] + (0 if task.fixed else task.length))
    return found


def windows_of(
    problem: Problem, last: int, near: Plan | None = None, reach: int = 0, caps: Sequence[int] | None = None
) -> list[Span]:
    """First start and last end of each task [slot].

    Within `last`; within `reach` of a plan when one is named; and no later than its job may be late by `caps`.
    """
    after = tails(problem)
    found = []
    for number, (head, tail) in enumerate(zip(heads(problem), after, strict=True)):
        task = problem.tasks[number]
        job, limit = problem.jobs[task.job], last
        if caps is not None and job.due is not None:
            limit = min(limit, max(job.due + caps[task.job], job.gate))
        low, high = head, max(limit - tail, head + task.length)
        if near is not None:
            low, high = max(low, near.start[number] - reach), min(high, near.end[number] + reach)
        found.append((low, high))
    return found
