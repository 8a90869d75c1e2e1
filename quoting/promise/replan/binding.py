"""Which builds no order of the work can help, and what each of them waits for, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quoting.promise.explain import because, chain_of
from quoting.promise.links import Teller
from quoting.promise.odds.ground import Chain
from quoting.promise.plan import Outlook, PlannedShop
from quoting.promise.replan.bounds import alone_finishes
from quoting.promise.replan.floor import FloorProblem, day_done
from quoting.promise.replan.problem import Plan
from quoting.promise.replan.windows import alone
from quoting.promise.supply import TO_ORDER
from quoting.promise.words import day_text, days_text, hours_text, mid_sentence
from quoting.promise.work import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Binding:
    """A build no order can help: late with the shop to itself, late without anyone else getting later, or blocked.

    `late_days` calendar days after its promise at best [days]; `text` what it waits for, or what stops it.
    """

    number: str
    late_days: int
    text: str


def bindings_of(planned: PlannedShop, floor: FloorProblem, best: Plan, least_late: int) -> tuple[Binding, ...]:
    """The builds that decide how late the shop is at best, the latest first, then those that have no day.

    Parameters: `least_late` bound on lateness [slots]. Builds that are late only in the shop they share are named when
    it is reached: then no plan spares them that makes nobody else later.
    """
    problem, calendar, today = floor.problem, planned.bearings.calendar, planned.bearings.today
    times = alone(problem)
    proved = best.score(problem)[0] <= least_late
    promised = {build.number: build.promised_to for build in planned.shop.builds}
    found = []
    ends = zip(problem.jobs, alone_finishes(problem), best.finish(problem), strict=True)
    for at, (job, soonest, finish) in enumerate(ends):
        promise = promised[job.name]
        first, last = (day_done(floor, calendar, at, end) for end in (soonest, finish))
        if promise is None or last <= promise or (first <= promise and not proved):
            continue
        if first > promise:
            day, why = first, f"whatever the order: {_why(planned, floor, at, soonest, times)}"
        else:
            day, why = last, f"without another build getting later{_shared(planned, job.name, last)}"
        late_days = (day - promise).days
        late = f"{days_text(late_days)} after its promise of {day_text(promise, today)}"
        text = f"{job.name} cannot be done before {day_text(day, today)}, {late}, {why}."
        found.append(Binding(number=job.name, late_days=late_days, text=text))
    found.sort(key=lambda each: -each.late_days)
    stopped = (outlook for outlook in planned.outlooks if outlook.stops)
    return (*found, *(Binding(number=each.build.number, late_days=0, text=_stopped(each)) for each in stopped))


def _stopped(outlook: Outlook) -> str:
    return f"{outlook.build.number} has no day: {outlook.blocked}"


def _shared(planned: PlannedShop, number: str, day: date) -> str:
    """What it waits for in the plan as it stands, where that has it done on the same day."""
    outlook = next(each for each in planned.outlooks if each.build.number == number)
    if outlook.finish_from != day:
        return ""
    teller = Teller(planned)
    return f": {because(teller, chain_of(teller, outlook))}"


def _why(
    planned: PlannedShop, floor: FloorProblem, job: int, end: int, times: tuple[Sequence[int], Sequence[int]]
) -> str:
    """The last wait before the finish and the work after it: with the shop to itself a build waits for nobody else."""
    chain, numbers = floor.chains[job], floor.problem.tasks_of(job)
    starts, ends = times
    if not numbers and floor.problem.jobs[job].gate <= floor.problem.now:
        return "its parts are here, and it only has to be packed"
    if not numbers or ends[numbers[-1]] < end:
        return _part(planned, chain, len(chain.tasks))
    for at in range(len(numbers) - 1, -1, -1):
        number, task = numbers[at], chain.tasks[at]
        before = ends[numbers[at - 1]] if at else floor.problem.now
        if floor.problem.tasks[number].fixed:
            held = "is planned for these days" if number in floor.frozen else "is under way"
            until = day_text(planned.bearings.calendar.day_of(max(ends[number] - 1, 0)), planned.bearings.today)
            return f"{mid_sentence(task.title)} {held} until {until}{_then(chain.tasks[at + 1 :])}"
        if starts[number] > before:
            return f"{_wait(planned, floor, job, at, starts[number])}{_then(chain.tasks[at:])}"
    return f"from today on {_work(chain.tasks)}"


def _wait(planned: PlannedShop, floor: FloorProblem, job: int, at: int, start: int) -> str:
    """What a step waits for that does not start when the one before it ends: parts, a turn, or people and benches."""
    chain, number = floor.chains[job], floor.problem.tasks_of(job)[at]
    if floor.problem.tasks[number].release >= start:
        return _part(planned, chain, at)
    day = day_text(planned.bearings.calendar.day_of(start), planned.bearings.today)
    turns = [turn for turn in floor.problem.turns if turn.then == number]
    if turns:
        other = floor.chains[floor.problem.tasks[turns[0].first].job].number
        return f"{mid_sentence(chain.tasks[at].title)} lets {other} go first, so it starts on {day}"
    return f"nobody and no bench is there for {mid_sentence(chain.tasks[at].title)} before {day}"


def _part(planned: PlannedShop, chain: Chain, at: int) -> str:
    """The last of the parts that hold up a step, or the finish."""
    ready = [(peg.ready, peg) for peg, step in chain.pegs if step == at and peg.ready]
    if not ready:
        return "its parts are not here"
    day, peg = max(ready, key=lambda each: each[0])
    still = ", still to be ordered," if peg.origin == TO_ORDER else ""
    return f"the {mid_sentence(peg.name)}{still} is ready on {day_text(day, planned.bearings.today)}"


def _then(tasks: Sequence[Task]) -> str:
    """The work that follows, as the end of a sentence."""
    work = _work(tasks)
    return f", then {work}" if work else ""


def _work(tasks: Sequence[Task]) -> str:
    """How long steps take; empty when they take nothing."""
    hours = sum((task.hours for task in tasks if not task.outside), Decimal(0))
    away = sum(task.step.lead_days for task in tasks if task.outside)
    takes = [hours_text(hours)] if hours else []
    takes += [f"{days_text(away)} of outside work"] if away else []
    if not takes:
        return ""
    first, last = mid_sentence(tasks[0].title), mid_sentence(tasks[-1].title)
    span = f"{first} takes" if len(tasks) == 1 else f"{first} to {last} take"
    return f"{span} {' and '.join(takes)}"
