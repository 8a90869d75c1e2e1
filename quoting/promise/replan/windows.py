"""When each task can start at the earliest and has to be done at the latest, from the network of its job alone."""

from __future__ import annotations

from quoting.promise.replan.problem import Plan, Problem


def heads(problem: Problem) -> list[int]:
    """The earliest start of each task [slot]: its release and the tasks before it, with every bench and person free."""
    found: list[int] = []
    ends: list[int] = []
    for task in problem.tasks:  # a task comes after those it follows
        start = max([task.release, problem.now, *(ends[former] for former in task.after)])
        found.append(task.fixed[0] if task.fixed else start)
        ends.append(task.fixed[1] if task.fixed else start + task.length)
    return found


def tails(problem: Problem) -> list[int]:
    """The least work after each task until its job is done [slots]."""
    found = [0] * len(problem.tasks)
    for number in range(len(problem.tasks) - 1, -1, -1):
        task = problem.tasks[number]
        for former in task.after:
            found[former] = max(found[former], found[number] + (0 if task.fixed else task.length))
    return found


def windows_of(problem: Problem, last: int, near: Plan | None = None, reach: int = 0) -> list[tuple[int, int]]:
    """First start and last end of each task [slot]: within `last`, and within `reach` of a plan when one is named."""
    after = tails(problem)
    found = []
    for number, (head, tail) in enumerate(zip(heads(problem), after, strict=True)):
        low, high = head, max(last - tail, head + problem.tasks[number].length)
        if near is not None:
            low, high = max(low, near.start[number] - reach), min(high, near.end[number] + reach)
        found.append((low, high))
    return found
