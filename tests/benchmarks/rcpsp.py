"""Solve published project instances with the re-plan model: python -m tests.benchmarks.rcpsp FOLDER

Every `.sm` file (PSPLIB, Kolisch and Sprecher, European Journal of Operational Research 96, 1997) becomes one job whose
finish is the makespan: a list search first, then CP-SAT from its plan. Each plan is looked at by a checker that shares
nothing with the solver. `--best-known` a CSV with the columns instance and best_known.
"""

from __future__ import annotations

import argparse
import csv
import re
import sys
from pathlib import Path
from time import perf_counter, process_time

from quoting.promise.replan.check import faults
from quoting.promise.replan.network import best_list
from quoting.promise.replan.problem import Job, Plan, Problem, Task
from quoting.promise.replan.solve import Effort, least_flow
from quoting.promise.replan.windows import heads, windows_of

FIRST_ROUNDS = 3000
PROOF, LISTS = 0.35, 0.4  # shares of the time: a proof on the first plan, longer lists; the rest for the solver again


def read_instance(path: Path) -> Problem:
    """A PSPLIB `.sm` file: precedence relations, durations and requests, availabilities."""
    text = path.read_text(encoding="ascii")
    after: dict[int, list[int]] = {}
    for row in _rows(text, "PRECEDENCE RELATIONS"):
        for behind in row[3:]:
            after.setdefault(behind, []).append(row[0])
    tasks = [
        Task(
            job=0,
            length=row[2],
            after=tuple(former - 1 for former in after.get(row[0], ())),
            uses=tuple((pool, units) for pool, units in enumerate(row[3:]) if units and row[2]),
        )
        for row in _rows(text, "REQUESTS/DURATIONS")
    ]
    return Problem(
        tasks=tuple(tasks), jobs=(Job(name=path.stem),), pools=tuple(_rows(text, "RESOURCEAVAILABILITIES")[0])
    )


def _rows(text: str, title: str) -> list[list[int]]:
    """Rows of whole numbers under a title, up to the next line of asterisks."""
    block = text.split(title, 1)[1].split("****", 1)[0]
    return [
        [int(each) for each in line.split()]
        for line in block.splitlines()
        if re.fullmatch(r"[\s\d]+", line) and line.strip()
    ]


def least_makespan(problem: Problem) -> int:
    """No plan ends before this: the longest chain, and each resource's work spread over all of it."""
    ends = [start + task.length for start, task in zip(heads(problem), problem.tasks, strict=True)]
    work = [
        sum(task.length * units for task in problem.tasks for used, units in task.uses if used == pool)
        for pool in range(len(problem.pools))
    ]
    return max(*ends, *(-(-each // units) for each, units in zip(work, problem.pools, strict=True)))


def solve(problem: Problem, seconds: float, threads: int = 1) -> tuple[Plan, int, str]:
    """The best plan, the bound on its makespan, and the method that found it.

    A short list search; a third of the time for a proof on one thread; then, without a proof, longer lists and the rest
    for the solver with every thread.
    """
    begin = perf_counter()
    lower = least_makespan(problem)
    plan, method = best_list(problem, FIRST_ROUNDS, least=lower), "lists"
    round_s = (perf_counter() - begin) / FIRST_ROUNDS
    for share in (PROOF, 1.0):
        if share == 1:
            longer = best_list(problem, int(seconds * LISTS / round_s), seed=2, least=lower)
            if longer.finish(problem) < plan.finish(problem):
                plan, method = longer, "lists"
        last = plan.finish(problem)[0]
        if last == lower:
            break
        left = max(seconds * share - (perf_counter() - begin), 1.0)
        effort = Effort(seconds=left, threads=threads if share == 1 else 1, linear=0)
        solved = least_flow(problem, windows_of(problem, last), (0,), 0, plan, effort)
        lower = max(lower, solved.bound)
        if solved.plan is not None and solved.plan.finish(problem)[0] < last:
            plan, method = solved.plan, "cp-sat"
        if plan.finish(problem)[0] == lower:
            break
    return plan, lower, method


def main() -> int:
    """Print a row per instance and the summary."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--best-known", type=Path)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--threads", type=int, default=1)
    given = parser.parse_args()
    known: dict[str, int] = {}
    if given.best_known:
        with given.best_known.open(newline="", encoding="utf-8") as rows:
            known = {row["instance"]: int(row["best_known"]) for row in csv.DictReader(rows)}
    paths = sorted(given.folder.glob("*.sm"))
    if not paths:
        parser.error(f"{given.folder} holds no .sm files")
    proved, above, wrong, begin, cpu = 0, [], 0, perf_counter(), process_time()
    best_list(read_instance(paths[0]), 1)  # compile or load the loops before the clock runs
    for path in paths:
        start = perf_counter()
        problem = read_instance(path)
        plan, bound, method = solve(problem, given.seconds, given.threads)
        span = plan.finish(problem)[0]
        found = faults(problem, plan)
        wrong += bool(found)
        proved += bound >= span
        best = known.get(path.stem)
        if best:
            above.append(100 * (span - best) / best)
        note = "; ".join(found) or ("proved" if bound >= span else "")
        sys.stdout.write(
            f"{path.stem:10} {span:5} bound {bound:5} best known {best or '-':>5} {method:7} "
            f"{perf_counter() - start:6.1f} s {note}\n"
        )
        sys.stdout.flush()
    mean = f"{sum(above) / len(above):.2f} %" if above else "unknown"
    sys.stdout.write(f"proved {proved} of {len(paths)}, mean above best known {mean}\n")
    sys.stderr.write(
        f"{perf_counter() - begin:.1f} s, {process_time() - cpu:.1f} s of processor, {wrong} plans with faults\n"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
