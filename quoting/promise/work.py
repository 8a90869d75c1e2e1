"""The work of a build as tasks on the slot axis, at one of two paces, and an option seen as a build."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum

from quoting.price.labour import quantile_h
from quoting.promise.calendar import SLOTS_PER_HOUR
from quoting.promise.words import plain
from quoting.request import Need, OpenBuild, OpenStep, Option, StepLine

# The slow plan takes every step's hours at this percentile of its own estimate: beyond it lies one case in five. Our
# own choice, no source. It is not the chance that a date holds.
SLOW_PERCENTILE = 80
KIT = "parts_kit"  # the job without a bench
FINE_H = Decimal("0.0001")


class Pace(Enum):
    """Likely: likely hours and lead times. Slow: hours at SLOW_PERCENTILE and high lead times."""

    LIKELY = "likely"
    SLOW = "slow"


@dataclass(frozen=True, slots=True)
class Task:
    """A step on the axis: `index` in its build, working `slots`, exact `hours` [h] they stand for."""

    index: int
    step: OpenStep
    hours: Decimal
    slots: int

    @property
    def outside(self) -> bool:
        """Done elsewhere: a lead time in calendar days, no bench and no person."""
        return self.step.lead_days > 0

    @property
    def title(self) -> str:
        """The step's label, or its code as words."""
        return self.step.label or plain(self.step.code)


def step_hours(step: OpenStep, pace: Pace) -> Decimal:
    """Hours of a step at a pace [h]. An estimate out of order is widened; a slow step is never shorter than likely."""
    likely_h = max(step.likely_h, Decimal(0))
    if pace is Pace.LIKELY or not (step.low_h or step.high_h):
        return likely_h
    low_h = max(min(step.low_h, likely_h), Decimal(0))
    high_h = max(step.high_h, likely_h)
    return max(quantile_h(low_h, likely_h, high_h, SLOW_PERCENTILE).quantize(FINE_H), likely_h)


def tasks_of(build: OpenBuild, pace: Pace) -> tuple[Task, ...]:
    """A build's steps in whole slots.

    Hours are rounded to slots so that the build as a whole is rounded up once and not at every step: what one step got
    too much is taken from the next. A step with hours has at least one slot, and is never off by a whole slot.
    """
    tasks = []
    hours_so_far = Decimal(0)
    given = 0
    for index, step in enumerate(build.steps):
        hours = Decimal(0) if step.lead_days > 0 else step_hours(step, pace)
        hours_so_far += hours
        least = max(math.floor(hours * SLOTS_PER_HOUR), 1)
        slots = max(math.ceil(hours_so_far * SLOTS_PER_HOUR) - given, least) if hours else 0
        given += slots
        tasks.append(Task(index, step, hours, slots))
    return tuple(tasks)


def build_of(option: Option, job: str, place: int, number: str = "") -> OpenBuild:
    """An option as a build that is last in line: its steps, and each part as a need of the step that waits for it.

    A part is wanted by the first step that names its kind. One that no step names is wanted at the first step on a
    bench, the careful reading: the shop does not start without it. A parts kit has no steps.
    """
    steps = () if job == KIT else tuple(_open_step(line) for line in option.steps)
    wanted_by: dict[str, str] = {}
    if steps:
        for line in option.steps:
            for kind in line.needs:
                wanted_by.setdefault(kind, line.code)
    needs = tuple(
        Need(code=part.code, quantity=part.quantity, step=wanted_by.get(part.kind, ""), name=part.name)
        for part in option.parts
    )
    return OpenBuild(number=number, place=place, steps=steps, needs=needs)


def _open_step(line: StepLine) -> OpenStep:
    """A step of the quote. Hours set by hand are the likely ones; the spread of the estimate is kept in proportion."""
    low_h, likely_h, high_h = line.low_h, line.likely_h, line.high_h
    if line.hours is not None:
        share = line.hours / likely_h if likely_h else Decimal(0)
        low_h, likely_h, high_h = low_h * share, line.hours, high_h * share
    return OpenStep(
        code=line.code,
        label=line.label,
        skill=line.skill,
        bench_type=line.bench_type,
        low_h=low_h,
        likely_h=likely_h,
        high_h=high_h,
        lead_days=line.lead_days,
    )


def wanting_step(build: OpenBuild, need: Need) -> int:
    """Index of the step a need holds up; the number of steps when it holds up only the finish.

    A step already started is not held up: its part then holds up what comes after. Without a step of that code it is
    the first one to start on a bench.
    """
    waiting = [index for index, step in enumerate(build.steps) if step.started is None]
    named = [index for index, step in enumerate(build.steps) if step.code == need.step] if need.step else []
    if named:
        return next((index for index in waiting if index >= named[0]), len(build.steps))
    on_bench = (index for index in waiting if build.steps[index].bench_type and build.steps[index].lead_days <= 0)
    return next(on_bench, waiting[0] if waiting else len(build.steps))
