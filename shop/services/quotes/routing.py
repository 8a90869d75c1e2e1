"""The steps of a job copied onto an option, and copied again when the job or the bike changes."""

from __future__ import annotations

from shop.models import OptionStep, QuoteOption
from shop.selectors.routing import RoutedStep, Routing

COPIED = (
    "label",
    "skill_id",
    "bench_type_id",
    "low_h",
    "likely_h",
    "high_h",
    "lead_days",
    "needs_kinds",
    "learned_factor",
    "learned_builds",
)


def steps_load(option: QuoteOption, routing: Routing) -> None:
    """Copy a routing onto an option that has no steps."""
    OptionStep.objects.bulk_create(
        _copied(option, step, position) for position, step in enumerate(routing.values(), start=1)
    )


def steps_reload(option: QuoteOption, old: Routing, new: Routing) -> None:
    """Exchange the steps that came from `old` for those of `new`.

    Hours set by hand stay with the step of the same code. Steps that were added, or whose estimate was changed by
    hand, stay as they are; steps that were taken off by hand stay off.
    """
    present = {step.code: step for step in option.steps.order_by("position", "pk")}
    by_hand = {code: step for code, step in present.items() if code not in old or _changed(step, old[code])}
    taken_off = set(old) - set(present)
    option.steps.exclude(pk__in=[step.pk for step in by_hand.values()]).delete()
    fresh, position = [], 0
    for position, (code, step) in enumerate(new.items(), start=1):
        if code in by_hand:
            by_hand.pop(code)
            option.steps.filter(code=code).update(position=position)
        elif code not in taken_off:
            made = _copied(option, step, position)
            made.hours = present[code].hours if code in present else None
            fresh.append(made)
    OptionStep.objects.bulk_create(fresh)
    for number, code in enumerate(by_hand, start=position + 1):
        option.steps.filter(code=code).update(position=number)


def _copied(option: QuoteOption, step: RoutedStep, position: int) -> OptionStep:
    values = {name: getattr(step, name) for name in COPIED}
    return OptionStep(option=option, code=step.code, position=position, **values)


def _changed(step: OptionStep, source: RoutedStep) -> bool:
    return any(getattr(step, name) != getattr(source, name) for name in COPIED)
