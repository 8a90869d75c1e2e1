"""Up to three builds of three steps: the solver's least lateness and flow are those of every schedule there is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.promise.replan.bounds import flow_bound, lateness_bound
from quoting.promise.replan.check import faults
from quoting.promise.replan.problem import Job, Plan, Problem, Task
from quoting.promise.replan.solve import Effort, least_flow, least_lateness
from quoting.promise.replan.windows import windows_of

SHORT = Effort(seconds=60, work=4)


@st.composite
def small_problems(draw: st.DrawFn) -> Problem:
    """Chains on two people who each do their own steps and two benches; some steps need no bench, parts come late."""
    tasks: list[Task] = []
    jobs = draw(st.integers(1, 3))
    for job in range(jobs):
        for at in range(draw(st.integers(1, 3))):
            pool = draw(st.sampled_from((0, 1, None)))
            tasks.append(
                Task(
                    job=job,
                    length=draw(st.integers(1, 6)),
                    after=(len(tasks) - 1,) if at else (),
                    release=draw(st.sampled_from((0, 0, 0, 3, 9))),
                    uses=() if pool is None else ((pool, 1),),
                    able=(draw(st.integers(0, 1)),),
                )
            )
    due = [draw(st.one_of(st.none(), st.integers(0, 20))) for _ in range(jobs)]
    return Problem(
        tasks=tuple(tasks),
        jobs=tuple(Job(name=str(at), due=day) for at, day in enumerate(due)),
        pools=(1, 1),
        away=((), ()),
        held_people=((), ()),
    )


def lists(problem: Problem, taken: tuple[int, ...] = ()) -> Iterator[tuple[int, ...]]:
    """Every order of the tasks in which each comes after those it follows."""
    if len(taken) == len(problem.tasks):
        yield taken
    for number, task in enumerate(problem.tasks):
        if number not in taken and all(former in taken for former in task.after):
            yield from lists(problem, (*taken, number))


def laid(problem: Problem, order: Sequence[int]) -> Plan:
    """Each task in turn at the earliest slot in which its person and its bench are free for all of it."""
    busy: dict[tuple[str, int], set[int]] = {}
    start = [0] * len(order)
    end = [0] * len(order)
    for number in order:
        task = problem.tasks[number]
        lanes = [busy.setdefault(("person", task.able[0]), set())]
        lanes += [busy.setdefault(("pool", pool), set()) for pool, _ in task.uses]
        slot = max([task.release, *(end[former] for former in task.after)])
        while any(each in lane for lane in lanes for each in range(slot, slot + task.length)):
            slot += 1
        for lane in lanes:
            lane.update(range(slot, slot + task.length))
        start[number], end[number] = slot, slot + task.length
    people = tuple(task.able[0] for task in problem.tasks)
    return Plan(start=tuple(start), end=tuple(end), person=people, bench=(-1,) * len(order))


@given(small_problems())
@settings(max_examples=10, deadline=None)
def test_the_solver_finds_what_trying_every_list_finds(problem: Problem):
    # Lateness and flow only grow when a task ends later, so one of the lists laid at the earliest is best.
    plans = [laid(problem, order) for order in lists(problem)]
    least = min(plan.score(problem) for plan in plans)
    caps = [60] * len(problem.jobs)
    windows = windows_of(problem, 60)
    late = least_lateness(problem, windows, caps, plans[0], SHORT)
    assert late.proved
    assert late.value == least[0]
    flow = least_flow(problem, windows, caps, least[0], late.plan or plans[0], SHORT)
    assert flow.proved
    assert flow.plan is not None
    assert faults(problem, flow.plan) == []
    assert flow.plan.score(problem) == least
    assert lateness_bound(problem) <= least[0]
    assert flow_bound(problem) <= min(sum(plan.finish(problem)) for plan in plans)
