"""The re-plan model against published instances.

FT06 = 55 and FT10 = 930: Fisher and Thompson, in Muth and Thompson, Industrial Scheduling (1963). LA01 = 666: Lawrence,
Resource Constrained Project Scheduling (1984). Data from memory; the optima proved here agree with the published ones.
Johnson, Naval Research Logistics Quarterly 1 (1954): two machines. Smith, same journal 3 (1956): shortest first.
PSPLIB: Kolisch and Sprecher, European Journal of Operational Research 96 (1997); files from the folder beside the
checkout, j301_1: critical path 38, optimum 43.
"""

from collections.abc import Sequence
from pathlib import Path

import pytest

from quoting.promise.replan.bounds import flow_bound
from quoting.promise.replan.check import faults
from quoting.promise.replan.network import best_list
from quoting.promise.replan.problem import Job, Plan, Problem, Task
from quoting.promise.replan.solve import Effort, least_flow
from quoting.promise.replan.windows import heads, windows_of
from tests.benchmarks.rcpsp import read_instance

Jobs = Sequence[Sequence[tuple[int, int]]]  # (machine, time) in order

FT06: Jobs = (
    ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
    ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
    ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
    ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
    ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
    ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
)
LA01: Jobs = (
    ((1, 21), (0, 53), (4, 95), (3, 55), (2, 34)),
    ((0, 21), (3, 52), (4, 16), (2, 26), (1, 71)),
    ((3, 39), (4, 98), (1, 42), (2, 31), (0, 12)),
    ((1, 77), (0, 55), (4, 79), (2, 66), (3, 77)),
    ((0, 83), (3, 34), (2, 64), (1, 19), (4, 37)),
    ((1, 54), (2, 43), (4, 79), (0, 92), (3, 62)),
    ((3, 69), (4, 77), (1, 87), (2, 87), (0, 93)),
    ((2, 38), (0, 60), (1, 41), (3, 24), (4, 83)),
    ((3, 17), (1, 49), (4, 25), (0, 44), (2, 98)),
    ((4, 77), (3, 79), (2, 43), (1, 75), (0, 96)),
)
FT10: Jobs = (
    ((0, 29), (1, 78), (2, 9), (3, 36), (4, 49), (5, 11), (6, 62), (7, 56), (8, 44), (9, 21)),
    ((0, 43), (2, 90), (4, 75), (9, 11), (3, 69), (1, 28), (6, 46), (5, 46), (7, 72), (8, 30)),
    ((1, 91), (0, 85), (3, 39), (2, 74), (8, 90), (5, 10), (7, 12), (6, 89), (9, 45), (4, 33)),
    ((1, 81), (2, 95), (0, 71), (4, 99), (6, 9), (8, 52), (7, 85), (3, 98), (9, 22), (5, 43)),
    ((2, 14), (0, 6), (1, 22), (5, 61), (3, 26), (4, 69), (8, 21), (7, 49), (9, 72), (6, 53)),
    ((2, 84), (1, 2), (5, 52), (3, 95), (8, 48), (9, 72), (0, 47), (6, 65), (4, 6), (7, 25)),
    ((1, 46), (0, 37), (3, 61), (2, 13), (6, 32), (5, 21), (9, 32), (8, 89), (7, 30), (4, 55)),
    ((2, 31), (0, 86), (1, 46), (5, 74), (4, 32), (6, 88), (8, 19), (9, 48), (7, 36), (3, 79)),
    ((0, 76), (1, 69), (3, 76), (5, 51), (2, 85), (9, 11), (6, 40), (7, 89), (4, 26), (8, 74)),
    ((1, 85), (0, 13), (2, 61), (6, 7), (8, 64), (9, 76), (5, 47), (3, 52), (4, 90), (7, 45)),
)
LONG = Effort(seconds=600)


def job_shop(jobs: Jobs, machines: int, apart: bool = False) -> Problem:
    """Machines as pools of one; all jobs one job whose finish is the makespan, or each `apart` for the flow."""
    tasks: list[Task] = []
    for number, job in enumerate(jobs):
        for at, (machine, length) in enumerate(job):
            after = (len(tasks) - 1,) if at else ()
            tasks.append(Task(job=number if apart else 0, length=length, after=after, uses=((machine, 1),)))
    names = [f"job {number}" for number in range(len(jobs))] if apart else ["all"]
    return Problem(tasks=tuple(tasks), jobs=tuple(Job(name=name) for name in names), pools=(1,) * machines)


def best_finish(problem: Problem, effort: Effort = LONG) -> tuple[int, bool]:
    """The least total of the finishes found, and whether it is proved."""
    warm = best_list(problem, 400)
    assert faults(problem, warm) == []
    solved = least_flow(problem, windows_of(problem, max(warm.end)), (0,) * len(problem.jobs), 0, warm, effort)
    plan = solved.plan or warm
    assert faults(problem, plan) == []
    assert solved.bound <= sum(plan.finish(problem))
    return sum(plan.finish(problem)), solved.proved


@pytest.mark.parametrize(
    ("jobs", "machines", "least"), [(FT06, 6, 55), pytest.param(LA01, 5, 666, marks=pytest.mark.slow)]
)
def test_job_shops_are_solved_to_the_published_optimum(jobs: Jobs, machines: int, least: int):
    assert best_finish(job_shop(jobs, machines)) == (least, True)


@pytest.mark.slow
def test_the_ten_by_ten_instance_is_solved_to_930():
    assert best_finish(job_shop(FT10, 10)) == (930, True)


def test_two_machines_in_series_reach_johnsons_makespan():
    # Times on the first and second machine; Johnson's order A C E D B ends 9, 16, 20, 23, 28 on the second.
    times = ((3, 6), (7, 2), (4, 7), (5, 3), (7, 4))
    assert best_finish(job_shop([((0, one), (1, two)) for one, two in times], 2)) == (28, True)


def test_one_machine_reaches_the_flow_of_shortest_first():
    # 2, 3, 5, 7, 9 end at 2, 5, 10, 17, 26: together 60
    problem = job_shop([((0, each),) for each in (5, 2, 9, 3, 7)], 1, apart=True)
    assert flow_bound(problem) == 60
    standing = Plan(start=(0, 5, 7, 16, 19), end=(5, 7, 16, 19, 26), person=(-1,) * 5, bench=(-1,) * 5)
    solved = least_flow(problem, windows_of(problem, 26), (0,) * 5, 0, standing, LONG)
    assert (solved.value, solved.bound, solved.proved) == (60, 60, True)


def test_a_published_project_is_solved_to_its_optimum(shared: Path):
    problem = read_instance(shared / "data" / "rcpsp" / "j30" / "j301_1.sm")
    assert max(start + task.length for start, task in zip(heads(problem), problem.tasks, strict=True)) == 38
    assert best_finish(problem) == (43, True)
