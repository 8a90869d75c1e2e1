"""A running build as a change order would make it: what is done stays done, what is left follows the new option."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from decimal import Decimal

from quoting.promise.work import build_of
from quoting.request import Need, OpenBuild, OpenStep, Option

LEAST_LEFT_H = Decimal("0.25")  # a step under way is never planned shorter than a slot of the plan


def changed_build(
    standing: OpenBuild,
    agreed: Option,
    option: Option,
    job: str,
    *,
    done: Collection[str] = (),
    issued: Mapping[str, Decimal] | None = None,
) -> OpenBuild:
    """What would be left to do and to wait for.

    Parameters: `standing` the build with what is left of it now; `agreed` the option it is made by so far, `option` the
    one it would be made by; `job` kind of job; `done` codes of finished steps; `issued` units at the bench by code.
    Returns: the build in its place. A step under way keeps its person, bench and hours worked: what is left of it
    changes by as much as its estimate does. Steps that are done, and parts that were issued, are asked for no more;
    a step under way that the option no longer has stays until it is finished.
    """
    at_bench = issued or {}
    fresh = build_of(option, job, standing.place, standing.number)
    before = {step.code: step for step in build_of(agreed, job, standing.place, standing.number).steps}
    left = {step.code: step for step in standing.steps}
    steps = [_left(step, before.get(step.code), left.get(step.code)) for step in fresh.steps if step.code not in done]
    wanted = {step.code for step in fresh.steps}
    stay = [step for step in standing.steps if step.started is not None and step.code not in wanted]
    needs = (_less(need, at_bench.get(need.code, Decimal(0))) for need in fresh.needs)
    return replace(standing, steps=(*stay, *steps), needs=tuple(need for need in needs if need.quantity > 0))


def _left(step: OpenStep, before: OpenStep | None, standing: OpenStep | None) -> OpenStep:
    """What is left of a step: its new estimate, less what was worked on the old one."""
    if standing is None or before is None:
        return step
    begun = standing.started is not None or standing.likely_h < before.likely_h
    if not begun:
        return step
    low_h, likely_h, high_h = (
        max(getattr(standing, name) + getattr(step, name) - getattr(before, name), LEAST_LEFT_H)
        for name in ("low_h", "likely_h", "high_h")
    )
    return replace(standing, label=step.label, low_h=low_h, likely_h=likely_h, high_h=high_h)


def _less(need: Need, issued: Decimal) -> Need:
    return replace(need, quantity=need.quantity - issued)
