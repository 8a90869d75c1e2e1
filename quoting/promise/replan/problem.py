"""What is planned anew, apart from any shop: tasks that follow each other, resources they hold, jobs that are due.

Whole slots on one axis, half-open intervals. A job's tasks may form any network; a shop's build is a chain, a published
project instance or a job shop is one job.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

Span = tuple[int, int]


def merged(spans: Sequence[Span]) -> list[Span]:
    """The union of intervals, in order."""
    union: list[Span] = []
    for low, high in sorted(spans):
        if union and low <= union[-1][1]:
            union[-1] = union[-1][0], max(high, union[-1][1])
        else:
            union.append((low, high))
    return union


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A piece of work of `length` slots.

    `after` tasks that have to be done before; `release` first slot it may start; `uses` units of pooled resources by
    number; `able` people one of whom does it, empty when nobody is needed; `benches` single benches one of which it
    takes, empty when none; `lead_days` of outside work, whose `length` is then 0; `fixed` where it has to stay: under
    way, its lanes are taken in `Problem.held`.
    """

    job: int
    length: int
    after: tuple[int, ...] = ()
    release: int = 0
    uses: tuple[tuple[int, int], ...] = ()
    able: tuple[int, ...] = ()
    benches: tuple[int, ...] = ()
    lead_days: int = 0
    fixed: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A build: `due` slot it has to be done by, None when nothing is promised; `gate` it cannot be done before."""

    name: str
    due: int | None = None
    gate: int = 0


class Before(NamedTuple):
    """A turn somebody has taken: task `first` starts no later than task `then`, or else by slot `by`, -1 for never.

    A turn does not stop a bench for a step that waits for its parts: where the plan as it stands goes on with the
    other step meanwhile, `by` is when the first starts there. Nothing puts it off any further.
    """

    first: int
    then: int
    by: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything to plan.

    `pools` capacity of each pooled resource; `away` leave of each person, over which work stands still; `down` of each
    single bench; `held` by person, bench and pool: intervals that tasks under way take, a pool's with the units; `day`
    first slot of each calendar day; `now` first slot that can be worked; `turns` that are kept.
    """

    tasks: tuple[Task, ...]
    jobs: tuple[Job, ...]
    pools: tuple[int, ...] = ()
    away: tuple[tuple[Span, ...], ...] = ()
    down: tuple[tuple[Span, ...], ...] = ()
    held_people: tuple[tuple[Span, ...], ...] = ()
    held_benches: tuple[tuple[Span, ...], ...] = ()
    held_pools: tuple[tuple[int, int, int, int], ...] = ()  # pool, start, end, units
    day: tuple[int, ...] = ()
    now: int = 0
    turns: tuple[Before, ...] = ()

    def tasks_of(self, job: int) -> list[int]:
        """A job's tasks by number."""
        return [number for number, task in enumerate(self.tasks) if task.job == job]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Where every task lies: start and end [slot], its person and its single bench, -1 for none."""

    start: tuple[int, ...]
    end: tuple[int, ...]
    person: tuple[int, ...]
    bench: tuple[int, ...]

    def finish(self, problem: Problem) -> tuple[int, ...]:
        """Of each job [slot]."""
        ends = [max(job.gate, problem.now) for job in problem.jobs]
        for task, end in zip(problem.tasks, self.end, strict=True):
            ends[task.job] = max(ends[task.job], end)
        return tuple(ends)

    def lateness(self, problem: Problem) -> tuple[int, ...]:
        """Of each job against its promise [slots]."""
        return tuple(
            0 if job.due is None else max(end - job.due, 0)
            for job, end in zip(problem.jobs, self.finish(problem), strict=True)
        )

    def score(self, problem: Problem) -> tuple[int, int]:
        """Total lateness, then total of the finishes from now [slots]: less is better, in that order."""
        return sum(self.lateness(problem)), sum(end - problem.now for end in self.finish(problem))


def back_in_days(problem: Problem, leaves: int, lead_days: int) -> int:
    """First slot after outside work that leaves on the day of slot `leaves` and takes `lead_days` calendar days."""
    return problem.day[bisect_right(problem.day, leaves) - 1 + lead_days]
