"""Another order of steps on the benches, looked at before it is entered: whom it moves, or why it cannot be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from quoting.request import ShopState, Turn
from quoting.result import LinePlan, PlannedStep
from shop import written
from shop.models import BuildStep, Shop, StepState, StepTurn
from shop.selectors.line import WindowChange, window_changes
from shop.selectors.plan import plan_basis, planned
from shop.selectors.shop import the_shop
from shop.selectors.steps import shown_state


@dataclass(frozen=True, kw_only=True)
class OrderPreview:
    """`first` before `then`. `refused` why it cannot be; else `changes` the builds whose window moves.

    `back` when all it takes is to give an earlier turn back. `starts` of the two steps as they would be.
    """

    first: BuildStep
    then: BuildStep
    revision: int
    refused: str = ""
    back: bool = False
    changes: tuple[WindowChange, ...] = ()
    starts: tuple[datetime, datetime] | None = None

    @property
    def broken(self) -> tuple[WindowChange, ...]:
        return tuple(change for change in self.changes if change.breaks)


@dataclass(frozen=True, kw_only=True)
class TurnBack:
    """What giving a turn back moves."""

    turn: StepTurn
    revision: int
    changes: tuple[WindowChange, ...]


def step_of(public_id: str) -> BuildStep:
    """A step with its build. Raises BuildStep.DoesNotExist."""
    return BuildStep.objects.select_related("build__customer").get(public_id=public_id)


def turns_standing() -> tuple[StepTurn, ...]:
    """Turns that still count, the newest last."""
    rows = StepTurn.objects.filter(first__state=StepState.TODO, then__state=StepState.TODO)
    return tuple(rows.select_related("first__build", "then__build", "person").order_by("at", "pk"))


def order_preview(*, first: BuildStep, then: BuildStep) -> OrderPreview:
    """What it would do if `first` were done before `then`."""
    state, now, policies = plan_basis()
    before = planned(state, now, policies)
    told = OrderPreview(first=first, then=then, revision=state.revision)
    refused = _guard(first, then) or _unplanned(before, first) or _unplanned(before, then)
    if refused:
        return replace(told, refused=refused)
    turn = _turn(first, then)
    if turn in state.turns or _starts_in_order(before, turn):
        return replace(told, refused=f"{_named(first)} comes before {_named(then)} already.")
    given_back = without(state, _turn(then, first))
    if given_back != state and _starts_in_order(planned(given_back, now, policies), turn):
        after, back = planned(given_back, now, policies), True
    else:
        after, back = planned(replace(given_back, turns=(*given_back.turns, turn)), now, policies), False
    if not _starts_in_order(after, turn):
        return replace(told, refused=_why_not(after, first, then, the_shop()))
    steps = [_step(after, each) for each in (first, then)]
    starts = (steps[0].start, steps[1].start) if steps[0] and steps[1] else None
    return replace(told, back=back, changes=window_changes(before, after), starts=starts)


def turn_back(turn: StepTurn) -> TurnBack:
    """What giving a turn back would move."""
    state, now, policies = plan_basis()
    after = planned(without(state, _turn(turn.first, turn.then)), now, policies)
    changes = window_changes(planned(state, now, policies), after)
    return TurnBack(turn=turn, revision=state.revision, changes=changes)


def without(state: ShopState, turn: Turn) -> ShopState:
    """The shop without one turn."""
    return replace(state, turns=tuple(each for each in state.turns if each != turn)) if turn in state.turns else state


def _guard(first: BuildStep, then: BuildStep) -> str:
    """What keeps two steps from changing places whatever the plan says."""
    if first.build_id == then.build_id:
        early, late = sorted((first, then), key=lambda step: step.position)
        return f"{early.label} and {late.label} are steps of one build and follow each other."
    for step in (first, then):
        if not step.build.is_open or step.build.on_hold:
            return f"{step.build} is not planned: {shown_state(step.build).lower()}."
        if step.state == StepState.DOING:
            return f"{_named(step)} is under way and keeps its bench. Put it down first, or choose another step."
        if step.state == StepState.DONE:
            return f"{_named(step)} is done."
    return ""


def _unplanned(plan: LinePlan, step: BuildStep) -> str:
    if _step(plan, step) is not None:
        return ""
    known = plan.build(step.build.number)
    return f"{_named(step)} has no day in the plan. {known.blocked if known else ''}".strip()


def _starts_in_order(plan: LinePlan, turn: Turn) -> bool:
    first, then = (
        _find(plan, number, code) for number, code in ((turn.build, turn.step), (turn.then_build, turn.then_step))
    )
    return first is not None and then is not None and first.start < then.start


def _why_not(plan: LinePlan, first: BuildStep, then: BuildStep, shop: Shop) -> str:
    """The step waits for something longer than the other one takes to begin."""
    found = _step(plan, first)
    begins = f" before {written.day(found.start.date(), shop.locale)}" if found else ""
    waits = f": it waits for {found.waits_for}" if found and found.waits_for else ""
    return f"{_named(first)} can't start{begins}{waits}. Until then {_named(then)} goes ahead."


def _turn(first: BuildStep, then: BuildStep) -> Turn:
    return Turn(build=first.build.number, step=first.code, then_build=then.build.number, then_step=then.code)


def _step(plan: LinePlan, step: BuildStep) -> PlannedStep | None:
    return _find(plan, step.build.number, step.code)


def _find(plan: LinePlan, number: str, code: str) -> PlannedStep | None:
    build = plan.build(number)
    return next((each for each in build.steps if each.code == code), None) if build else None


def _named(step: BuildStep) -> str:
    return f"{step.label} of {step.build.number}"
