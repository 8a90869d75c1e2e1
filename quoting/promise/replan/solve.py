"""Solves one after the other, never a weighted sum: the least lateness against promises, then the least flow at that
lateness, then the least change from the plan the shop knows at that lateness and flow.

Each starts from a plan at hand and returns the best it found with a bound. No build is later against its promise than
its cap allows: nobody's promise is traded for another's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from quoting.promise.replan.model import Model
from quoting.promise.replan.problem import Plan, Problem

SEED = 1
ALL = 0.98  # the solver stops a little before a limit
THREADS = 1  # one thread: the same input gives the same plan, and small problems are proved sooner than with more


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How long a solve may take: `seconds` of the clock, and `work` in the solver's own deterministic seconds.

    The same input gives the same plan when `work` ends the run; `seconds` is a safety against a slow machine.
    With more than one of `threads` the plan also depends on their race. `linear` how much of a linear relaxation the
    solver keeps: none is faster where the finish of the last task is all that counts.
    """

    seconds: float = 60.0
    work: float | None = None
    threads: int = THREADS
    linear: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """A solve: the plan or None, its value and bound, whether the best is proved, and what ended it.

    `ended` one of proved, work, seconds, infeasible.
    """

    plan: Plan | None
    value: int | None
    bound: int
    proved: bool
    ended: str


def least_lateness(
    problem: Problem, windows: Sequence[tuple[int, int]], caps: Sequence[int], hint: Plan, effort: Effort
) -> Solved:
    """The least total lateness, each job's within its cap [slots]. Light presolve: it is proved faster without more."""
    model = _capped(problem, windows, caps)
    model.hint(hint)
    model.cp.minimize(sum(model.late))
    return _run(model, effort, light=True)


def least_flow(
    problem: Problem,
    windows: Sequence[tuple[int, int]],
    caps: Sequence[int],
    lateness: int,
    hint: Plan,
    effort: Effort,
) -> Solved:
    """The least total of the finishes with a total lateness of `lateness` or less [slots]."""
    model = _capped(problem, windows, caps)
    if any(job.due is not None for job in problem.jobs):
        model.cp.add(sum(model.late) <= lateness)
    model.hint(hint)
    model.cp.minimize(sum(model.finish))
    return _run(model, effort, light=False)


def least_change(
    problem: Problem,
    windows: Sequence[tuple[int, int]],
    caps: Sequence[int],
    score: tuple[int, int],
    standing: Plan,
    hint: Plan,
    effort: Effort,
) -> Solved:
    """The fewest starts, people and single benches unlike `standing`, with a total lateness and flow no worse than
    `score` [slots]."""
    model = _capped(problem, windows, caps)
    lateness, flow = score
    if any(job.due is not None for job in problem.jobs):
        model.cp.add(sum(model.late) <= lateness)
    model.cp.add(sum(model.finish) <= flow + len(problem.jobs) * problem.now)
    model.hint(hint)
    model.cp.minimize(sum(model.changes(standing)))
    return _run(model, effort, light=True)


def _capped(problem: Problem, windows: Sequence[tuple[int, int]], caps: Sequence[int]) -> Model:
    model = Model.of(problem, windows)
    for late, cap, job in zip(model.late, caps, problem.jobs, strict=True):
        if job.due is not None:
            model.cp.add(late <= cap)
    return model


def _run(model: Model, effort: Effort, light: bool) -> Solved:
    library = model.library
    solver = library.CpSolver()
    options: Any = solver.parameters
    options.random_seed = SEED
    options.max_time_in_seconds = effort.seconds
    if effort.work is not None:
        options.max_deterministic_time = effort.work
    options.num_workers = effort.threads
    options.linearization_level = effort.linear
    if light:  # see quoting/promise/replan/__init__: heavy presolve costs more than it saves here
        options.cp_model_probing_level = 0
        options.linearization_level = 0  # without probing, 9.15 with its cuts called a plan that exists impossible
        options.symmetry_level = 0
        options.max_presolve_iterations = 1
    status = solver.solve(model.cp)
    bound = round(solver.best_objective_bound) if status != library.INFEASIBLE else 0
    if status in (library.OPTIMAL, library.FEASIBLE):
        proved = status == library.OPTIMAL
        ended = "proved" if proved else _ended(solver, effort)
        value = round(solver.objective_value)
        return Solved(plan=model.read(solver), value=value, bound=bound, proved=proved, ended=ended)
    ended = "infeasible" if status == library.INFEASIBLE else _ended(solver, effort)
    return Solved(plan=None, value=None, bound=bound, proved=False, ended=ended)


def _ended(solver: Any, effort: Effort) -> str:
    spent: float = solver.response_proto.deterministic_time
    return "work" if effort.work is not None and spent >= ALL * effort.work else "seconds"
