"""What a step of a build takes from the shelf, and what keeps it from being started."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from quoting.promise import wanting_step
from quoting.request import Need, OpenBuild, OpenStep
from quoting.result import PartPromise
from shop import written
from shop.models import Build, BuildState, BuildStep, Shop, StepState
from shop.selectors.stock import NeedRow

TEST = "test"  # the routing step by which a build goes from the bench to testing
AT_FINISH = ""  # the key of parts that no step to come takes


def needs_by_step(steps: Sequence[BuildStep], needs: Iterable[NeedRow]) -> Mapping[str, tuple[NeedRow, ...]]:
    """Needs not issued in full, by the code of the step that waits for them, just as the plan has it.

    Under AT_FINISH what no step to come waits for. `steps` all steps of the build, in order.
    """
    left = [step for step in steps if step.state != StepState.DONE]
    work = OpenBuild(number="", place=1, steps=tuple(_open(step) for step in left))
    found: dict[str, tuple[NeedRow, ...]] = {}
    for row in needs:
        if row.need.quantity > row.issued:
            need = Need(code="", quantity=row.need.quantity - row.issued, step=row.need.step_code)
            at = wanting_step(work, need)
            code = left[at].code if at < len(left) else AT_FINISH
            found[code] = (*found.get(code, ()), row)
    return found


def _open(step: BuildStep) -> OpenStep:
    return OpenStep(
        code=step.code,
        label=step.label,
        skill="",
        bench_type=str(step.bench_type_id or ""),
        low_h=step.low_h,
        likely_h=step.likely_h,
        high_h=step.high_h,
        lead_days=step.lead_days,
        started=step.started_at,
    )


def testing_step(steps: Sequence[BuildStep]) -> BuildStep:
    """The build's test: the step called so, else the last one."""
    return next((each for each in steps if each.code == TEST), max(steps, key=lambda each: each.position))


def bar_to_start(
    build: Build,
    step: BuildStep,
    steps: Sequence[BuildStep],
    needs: Iterable[NeedRow],
    coming: Iterable[PartPromise],
    shop: Shop,
) -> str:
    """Why a step to do cannot be started, with what to do about it; empty when it can.

    `needs` those the step takes; `coming` the build's parts in the plan, to tell when what is short comes.
    """
    if not build.is_open:
        return f"{build} is {build.get_state_display().lower()}."
    if build.on_hold:
        return f"{build} is on hold: {build.hold_reason}. Release it first."
    before = [each for each in steps if each.position < step.position and each.state != StepState.DONE]
    if before and step.code == testing_step(steps).code:
        return f"The test comes last. Finish {before[0].label} first."
    parts = list(coming)
    return " ".join(lack_text(row, parts, shop) for row in needs if row.short)


def lack_text(row: NeedRow, coming: Iterable[PartPromise], shop: Shop) -> str:
    """One part that is short, and when it comes: "hub motor: short by 1, expected Mar 20, 2026 on P-310."."""
    component = row.need.component
    told = [_source_text(part, shop) for part in coming if part.code == component.code and part.short_by]
    when = f", {'; '.join(told)}" if told else ""
    return f"{component.name}: short by {written.quantity(row.short, shop.locale)}{when}."


def _source_text(part: PartPromise, shop: Shop) -> str:
    if part.origin == "to_order":
        return "not on order yet"
    if part.arrives is None:
        return f"on {part.order} without a day"
    late = f", which is late by {part.late_days} days" if part.late_days else ""
    return f"expected {written.day(part.arrives, shop.locale)} on {part.order}{late}"


def shown_state(build: Build) -> str:
    """The state in words, a hold before all."""
    if build.on_hold and build.state != BuildState.READY:
        return f"On hold: {build.hold_reason}"
    return build.get_state_display()
