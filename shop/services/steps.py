"""Work on a build: steps started, paused and finished, and the build's state that follows from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.contrib.auth.models import User
from django.utils import timezone

from shop.models import Bench, Build, BuildState, BuildStep, Person, StepState
from shop.selectors.open_time import open_hours
from shop.selectors.plan import line_plan
from shop.selectors.shop import shop_now, the_shop
from shop.selectors.shop_state import hours_and_closures
from shop.selectors.steps import AT_FINISH, bar_to_start, needs_by_step, testing_step
from shop.selectors.stock import NeedRow, need_rows
from shop.services.build_states import make_ready, state_set
from shop.services.builds import open_build
from shop.services.errors import Refused
from shop.services.events import event_write
from shop.services.line_lock import line_lock
from shop.services.step_guards import guard_bench, guard_state, guard_worker, who_where
from shop.services.stock import reason_guard
from shop.services.stock_issue import needs_issue

MOST_H = Decimal(1000)  # a step of half a working year is a slip of the finger (our own choice)


@dataclass(frozen=True)
class Work:
    """A build, its steps in order, the step in question, and the build's needs with what is kept and issued."""

    build: Build
    steps: Sequence[BuildStep]
    step: BuildStep
    needs: tuple[NeedRow, ...]


def step_start(*, step: BuildStep, person: User, worker: Person | None = None, bench: Bench | None = None) -> BuildStep:
    """Start a step: its parts are issued, the build goes on the bench, or to testing with its test.

    `worker` who does it, else the person signed in; `bench` where, for a step that takes one. Outside work takes
    neither. Safe to repeat. Raises Refused while a part is short, the bench or the worker is taken, or neither fits.
    """
    with line_lock():
        work = _work(step)
        row = work.step
        worker = worker or _own(person)
        if row.state == StepState.DOING and (row.person, row.bench) == (worker, bench):
            return row
        guard_state(row)
        taken = needs_by_step(work.steps, work.needs).get(row.code, ())
        shop = the_shop()
        plan = line_plan(shop=shop).build(work.build.number) if any(need.short for need in taken) else None
        bar = bar_to_start(work.build, row, work.steps, taken, plan.parts if plan else (), shop)
        if bar:
            raise Refused(bar)
        if not row.lead_days:
            guard_worker(row, worker)
            guard_bench(row, bench)
        needs_issue([(need.need, need.reserved) for need in taken if need.reserved], person=person)
        row.state, row.started_at = StepState.DOING, timezone.now()
        row.person, row.bench = worker, bench
        row.save(update_fields=["state", "started_at", "person", "bench"])
        _event(row, person, "step started", after=who_where(row))
        _state_at_start(work, person)
    return row


def step_pause(*, step: BuildStep, reason: str, person: User, worked_h: Decimal | None = None) -> BuildStep:
    """Put a step under way down again: bench and worker are free, the hours so far are kept.

    `worked_h` the hours since it was started; None takes the time the shop was open since.
    """
    with line_lock():
        row = _work(step).step
        if row.state != StepState.DOING:
            raise Refused(f"{row.label} is not under way.")
        if row.lead_days:
            raise Refused(f"{row.label} is done elsewhere. Finish it when it is back.")
        reason = reason_guard(reason, "Say what it waits for.")
        row.actual_h = _hours(row, worked_h)
        _event(row, person, "step paused", before=who_where(row), after=_so_far(row), reason=reason)
        row.state, row.started_at, row.person, row.bench = StepState.TODO, None, None, None
        row.save(update_fields=["state", "started_at", "person", "bench", "actual_h"])
    return row


def step_finish(*, step: BuildStep, person: User, worked_h: Decimal | None = None) -> BuildStep:
    """Finish a step. `worked_h` the hours since it was started; None takes the time the shop was open since.

    With the last step, and every part handed out, the build is ready. Safe to repeat.
    """
    with line_lock():
        work = _work(step)
        row = work.step
        if row.state == StepState.DONE:
            return row
        if row.state != StepState.DOING:
            raise Refused(f"{row.label} was not started. Start it first.")
        row.actual_h = _hours(row, worked_h)
        row.state, row.finished_at = StepState.DONE, timezone.now()
        row.save(update_fields=["state", "finished_at", "actual_h"])
        _event(row, person, "step finished", after=_took(row))
        if all(each.state == StepState.DONE for each in work.steps):
            _ready_if_complete(work, person)
    return row


def step_reopen(*, step: BuildStep, reason: str, person: User) -> BuildStep:
    """Take back that a step is done: it was a slip, or has to be done again. Its hours stay and count on.

    A test that was passed before is to be done again too, and the build is no longer ready: no storage counts until the
    customer is told anew.
    """
    with line_lock():
        work = _work(step)
        row, test = work.step, testing_step(work.steps)
        if row.state != StepState.DONE:
            raise Refused(f"{row.label} is not done.")
        reason = reason_guard(reason, "Say why it is to be done again.")
        again = [row, test] if test.state == StepState.DONE and test.code != row.code else [row]
        for each in again:
            each.build = work.build
            each.state, each.started_at, each.finished_at = StepState.TODO, None, None
            each.person, each.bench = None, None
            each.save(update_fields=["state", "started_at", "finished_at", "person", "bench"])
            _event(each, person, "step reopened", after=_so_far(each), reason=reason)
        is_testing = row.code == test.code or test.state == StepState.DOING
        _state_back(work.build, BuildState.TESTING if is_testing else BuildState.ON_BENCH, person)
    return row


def _work(step: BuildStep) -> Work:
    build = open_build(Build(pk=step.build_id))
    steps = list(build.steps.select_related("skill", "bench_type", "person", "bench").order_by("position"))
    own = next(each for each in steps if each.pk == step.pk)
    own.build = build
    return Work(build, steps, own, need_rows(build.needs.select_related("component", "build").order_by("pk")))


def _own(person: User) -> Person | None:
    return Person.objects.filter(user=person).first()


def _hours(row: BuildStep, worked_h: Decimal | None) -> Decimal:
    """Hours of a step so far: those before a pause, and those since it was started. Outside work has none."""
    before = row.actual_h or Decimal(0)
    if worked_h is None:
        if row.lead_days or row.started_at is None:
            return before
        shop = the_shop()
        openings, closed = hours_and_closures()
        return before + open_hours(openings, closed, shop.zone, row.started_at, shop_now(shop))
    if worked_h < 0 or worked_h != round(worked_h, 2) or before + worked_h > MOST_H:
        raise Refused("Enter hours from 0 to 1000 with at most two decimals.", "worked_h")
    return before + worked_h


def _state_at_start(work: Work, person: User) -> None:
    build = work.build
    is_test = work.step.code == testing_step(work.steps).code
    after = BuildState.TESTING if is_test else BuildState.ON_BENCH
    if build.state == after or (build.state == BuildState.TESTING and after == BuildState.ON_BENCH):
        return
    state_set(build, after, person)


def _state_back(build: Build, state: BuildState, person: User) -> None:
    told_on = build.told_ready_on
    if build.finished_at is not None or told_on is not None:
        build.finished_at = build.told_ready_on = None
        build.save(update_fields=["finished_at", "told_ready_on"])
    if told_on is not None:
        event_write(
            person=person,
            verb="told it is ready",
            subject=build.number,
            build=build,
            before=str(told_on),
            after="not ready any more: tell the customer",
        )
    if build.state != state:
        state_set(build, state, person)


def _ready_if_complete(work: Work, person: User) -> None:
    left = needs_by_step(work.steps, work.needs).get(AT_FINISH, ())
    if any(need.short for need in left):
        names = ", ".join(need.need.component.name for need in left if need.short)
        _event(work.step, person, "still short", after=names)
        return
    make_ready(work.build, left, person)


def _so_far(row: BuildStep) -> str:
    return "" if row.lead_days else f"{row.actual_h or 0:.2f} h so far"


def _took(row: BuildStep) -> str:
    return "back from outside" if row.lead_days else f"{row.actual_h:.2f} h, quoted {row.quoted_h:.2f} h"


def _event(row: BuildStep, person: User, verb: str, *, before: str = "", after: str = "", reason: str = "") -> None:
    text = after if after.startswith(row.label) else f"{row.label}: {after}" if after else row.label
    event_write(
        person=person,
        verb=verb,
        subject=row.build.number,
        build=row.build,
        before=before,
        after=text,
        reason=reason,
    )
