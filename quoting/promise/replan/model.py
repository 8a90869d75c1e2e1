"""A problem as a constraint model: starts and ends, one person of several, pooled and single benches, work over leave.

OR-Tools takes a second to load, so it is loaded here and nowhere else, when a model is built and not before.
"""

from __future__ import annotations

import importlib
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from quoting.promise.replan.problem import Before, Plan, Problem, Task, merged


def solver_library() -> Any:
    """The CP-SAT modelling module. Raises ImportError where OR-Tools is missing."""
    return importlib.import_module("ortools.sat.python.cp_model")


@dataclass
class Model:
    """The variables of a problem. `windows` first start and last end each task may have [slot]."""

    problem: Problem
    windows: Sequence[tuple[int, int]]
    start: list[Any] = field(default_factory=list)
    end: list[Any] = field(default_factory=list)
    person: list[dict[int, Any]] = field(default_factory=list)
    bench: list[dict[int, Any]] = field(default_factory=list)
    finish: list[Any] = field(default_factory=list)
    late: list[Any] = field(default_factory=list)

    @cached_property
    def library(self) -> Any:
        """The modelling module."""
        return solver_library()

    @cached_property
    def cp(self) -> Any:
        """The model itself, empty."""
        return self.library.CpModel()

    @classmethod
    def of(cls, problem: Problem, windows: Sequence[tuple[int, int]]) -> Model:
        """Build the model: no objective yet."""
        model = cls(problem, windows)
        lanes: dict[tuple[str, int], list[Any]] = {}
        pools: list[list[tuple[Any, int]]] = [[] for _ in problem.pools]
        crews: dict[tuple[int, ...], list[Any]] = {}
        for number, task in enumerate(problem.tasks):
            model._task(number, task, lanes, pools, crews)
        model._order()
        model._capacities(lanes, pools, crews)
        model._jobs()
        return model

    def _task(
        self,
        number: int,
        task: Task,
        lanes: dict[tuple[str, int], list[Any]],
        pools: list[list[tuple[Any, int]]],
        crews: dict[tuple[int, ...], list[Any]],
    ) -> None:
        low, high = self.windows[number]
        self.person.append({})
        self.bench.append({})
        if task.fixed is not None:
            self.start.append(task.fixed[0])
            self.end.append(task.fixed[1])
            return
        start = self.cp.new_int_var(low, high - task.length, f"start {number}")
        self.start.append(start)
        if task.lead_days:
            self.end.append(self._outside(number, task, start))
            return
        stretched = any(low < until and since < high for each in task.able for since, until in self.problem.away[each])
        end = self.cp.new_int_var(low + task.length, high, f"end {number}") if stretched else start + task.length
        self.end.append(end)
        if not task.length:
            return
        size = self.cp.new_int_var(task.length, high - low, f"size {number}") if stretched else task.length
        interval = self.cp.new_interval_var(start, size, end, f"work {number}")
        for pool, units in task.uses:
            pools[pool].append((interval, units))
        if task.able:
            self._people(number, task, stretched, lanes)
            crews.setdefault(task.able, []).append(interval)
        self._benches(number, task, size, lanes)

    def _outside(self, number: int, task: Task, start: Any) -> Any:
        """End of outside work: the first slot of a day so many calendar days after the day it leaves."""
        day = self.problem.day
        low, high = self.windows[number]
        within = [at for at in range(len(day) - task.lead_days - 1) if day[at + 1] > low and day[at] <= high]
        at = self.cp.new_int_var(within[0], within[-1], f"day {number}")
        end = self.cp.new_int_var(low, day[within[-1] + task.lead_days], f"end {number}")
        first, after = (self.cp.new_int_var(0, day[within[-1] + 1], "") for _ in range(2))
        index = at - within[0]
        self.cp.add_element(index, [day[each] for each in within], first)
        self.cp.add_element(index, [day[each + 1] for each in within], after)
        self.cp.add_element(index, [day[each + task.lead_days] for each in within], end)
        self.cp.add(start >= first)
        self.cp.add(start < after)
        return end

    def _people(self, number: int, task: Task, stretched: bool, lanes: dict[tuple[str, int], list[Any]]) -> None:
        low, high = self.windows[number]
        start, end = self.start[number], self.end[number]
        for person in task.able:
            taken = self.cp.new_bool_var(f"{number} by {person}")
            self.person[number][person] = taken
            over = []
            for since, until in self.problem.away[person]:
                if low < until and since < high:
                    over.append((self._over(taken, start, end, since, until), until - since))
            size: Any = task.length + sum(length * each for each, length in over)
            if stretched:
                self.cp.add(end == start + size).only_enforce_if(taken)
            length = size
            if over:
                most = task.length + sum(each for _, each in over)
                length = self.cp.new_int_var(task.length, most, "")
                self.cp.add(length == size)
            interval = self.cp.new_optional_interval_var(start, length, end, taken, f"work {number} by {person}")
            lanes.setdefault(("person", person), []).append(interval)
        self.cp.add_exactly_one(list(self.person[number].values()))

    def _over(self, taken: Any, start: Any, end: Any, since: int, until: int) -> Any:
        """Whether a step of this person stands still over leave; it neither starts nor ends inside it."""
        before, over, after = (self.cp.new_bool_var("") for _ in range(3))
        self.cp.add_bool_or(before, over, after).only_enforce_if(taken)
        self.cp.add_at_most_one(before, over, after)
        self.cp.add(end <= since).only_enforce_if(before)
        self.cp.add(start >= until).only_enforce_if(after)
        self.cp.add(start < since).only_enforce_if(over)
        self.cp.add(end > until).only_enforce_if(over)
        self.cp.add_implication(over, taken)
        return over

    def _benches(self, number: int, task: Task, size: Any, lanes: dict[tuple[str, int], list[Any]]) -> None:
        for bench in task.benches:
            taken = self.cp.new_bool_var(f"{number} at {bench}")
            self.bench[number][bench] = taken
            interval = self.cp.new_optional_interval_var(self.start[number], size, self.end[number], taken, "")
            lanes.setdefault(("bench", bench), []).append(interval)
        if task.benches:
            self.cp.add_exactly_one(list(self.bench[number].values()))

    def _order(self) -> None:
        for number, task in enumerate(self.problem.tasks):
            if task.fixed is None:
                for former in task.after:
                    self.cp.add(self.start[number] >= self.end[former])
        for turn in self.problem.turns:
            self._turn(turn)

    def _turn(self, turn: Before) -> None:
        first, then = self.start[turn.first], self.start[turn.then]
        if isinstance(first, int) and (isinstance(then, int) or turn.by >= first):
            return  # both stay where they are, or the first does, in time
        if turn.by < 0:
            self.cp.add(first <= then)
            return
        kept = self.cp.new_bool_var("")
        self.cp.add(first <= then).only_enforce_if(kept)
        self.cp.add(first <= turn.by).only_enforce_if(kept.negated())

    def _capacities(
        self,
        lanes: dict[tuple[str, int], list[Any]],
        pools: list[list[tuple[Any, int]]],
        crews: dict[tuple[int, ...], list[Any]],
    ) -> None:
        problem = self.problem
        for (kind, number), intervals in lanes.items():
            taken = list(problem.held_people[number]) if kind == "person" else []
            if kind == "bench":
                taken = merged([*problem.held_benches[number], *problem.down[number]])
            fixed = [self.cp.new_fixed_size_interval_var(low, high - low, "") for low, high in taken]
            self.cp.add_no_overlap([*intervals, *fixed])
        for pool, used in enumerate(pools):
            held = [
                (self.cp.new_fixed_size_interval_var(low, high - low, ""), units)
                for each, low, high, units in problem.held_pools
                if each == pool
            ]
            if used:
                every = [*used, *held]
                self.cp.add_cumulative([each for each, _ in every], [units for _, units in every], problem.pools[pool])
        for crew, intervals in crews.items():  # follows from the people; it helps the bound
            if len(intervals) > len(crew) > 1:
                self.cp.add_cumulative(intervals, [1] * len(intervals), len(crew))

    def _jobs(self) -> None:
        problem = self.problem
        last = max(high for _, high in self.windows) if self.windows else problem.now
        followed = {former for task in problem.tasks for former in task.after}
        for number, job in enumerate(problem.jobs):
            top = max(last, job.gate)
            finish = self.cp.new_int_var(max(job.gate, problem.now), top, f"finish {number}")
            for at in problem.tasks_of(number):
                if at not in followed:
                    self.cp.add(finish >= self.end[at])
            self.finish.append(finish)
            if job.due is None:
                self.late.append(0)
                continue
            late = self.cp.new_int_var(0, max(top - job.due, 0), f"late {number}")
            self.cp.add(late >= finish - job.due)
            self.late.append(late)

    def hint(self, plan: Plan) -> None:
        """Tell the solver of a plan to start from."""
        self.cp.clear_hints()
        for number, task in enumerate(self.problem.tasks):
            if task.fixed is not None:
                continue
            self.cp.add_hint(self.start[number], plan.start[number])
            if not isinstance(self.end[number], int) and task.able:
                for person, taken in self.person[number].items():
                    self.cp.add_hint(taken, int(plan.person[number] == person))
            for bench, taken in self.bench[number].items():
                self.cp.add_hint(taken, int(plan.bench[number] == bench))
        for number, finish in enumerate(plan.finish(self.problem)):
            self.cp.add_hint(self.finish[number], finish)

    def changes(self, standing: Plan) -> list[Any]:
        """A literal or an expression of 0 or 1 for each start and each person or single bench unlike a plan's."""
        found: list[Any] = []
        for number, task in enumerate(self.problem.tasks):
            if task.fixed is not None:
                continue
            moved = self.cp.new_bool_var(f"moved {number}")
            self.cp.add(self.start[number] == standing.start[number]).only_enforce_if(moved.negated())
            found.append(moved)
            for literals, former in ((self.person, standing.person), (self.bench, standing.bench)):
                if former[number] in literals[number]:
                    found.append(1 - literals[number][former[number]])
        return found

    def read(self, solver: Any) -> Plan:
        """The plan a solver found."""
        fixed = [task.fixed for task in self.problem.tasks]
        return Plan(
            start=tuple(span[0] if span else solver.value(each) for span, each in zip(fixed, self.start, strict=True)),
            end=tuple(span[1] if span else solver.value(each) for span, each in zip(fixed, self.end, strict=True)),
            person=tuple(_chosen(solver, each) for each in self.person),
            bench=tuple(_chosen(solver, each) for each in self.bench),
        )


def _chosen(solver: Any, literals: dict[int, Any]) -> int:
    return next((number for number, taken in literals.items() if solver.value(taken)), -1)
