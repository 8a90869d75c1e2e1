"""Steps of work and extra lines on an option of a draft."""

from __future__ import annotations

from decimal import Decimal
from typing import TypedDict, Unpack

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Max
from django.utils.text import slugify

from shop.models import BenchType, OptionExtra, OptionStep, QuoteOption, Skill
from shop.services.errors import Refused
from shop.services.quotes.draft import draft_edited, locked_draft, still_there

LONGEST_CODE = 30  # OptionStep.code


class StepValues(TypedDict, total=False):
    """`hours` set by hand; None takes the estimate again. `lead_days` above zero: outside work, no bench."""

    label: str
    skill: Skill | None
    bench_type: BenchType | None
    low_h: Decimal
    likely_h: Decimal
    high_h: Decimal
    hours: Decimal | None
    lead_days: int
    needs_kinds: list[str]


class ExtraValues(TypedDict, total=False):
    kind: str
    label: str
    amount: Decimal
    cost: Decimal | None
    tax_class: str


@transaction.atomic
def step_add(*, option: QuoteOption, person: User | None, **values: Unpack[StepValues]) -> OptionStep:
    """One more step, after the others."""
    version = locked_draft(option.version)
    last = option.steps.aggregate(last=Max("position"))["last"] or 0
    step = OptionStep(option=option, position=last + 1, **values)
    step.code = _free_code(option, step.label)
    _checked(step)
    step.full_clean(exclude=["option"])
    step.save()
    draft_edited(version, person, "step added", after=_said(step))
    return step


@transaction.atomic
def step_change(*, step: OptionStep, person: User | None, **values: Unpack[StepValues]) -> OptionStep:
    """Its hours by hand, its estimate, or what it is."""
    version = locked_draft(step.option.version)
    row = still_there(step.option, step)
    before = _said(row)
    for name, value in values.items():
        if name not in StepValues.__annotations__:
            raise TypeError(f"step_change: no value is called {name}")
        setattr(row, name, value)
    _checked(row)
    row.full_clean(exclude=["option"], validate_unique=False)
    row.save(update_fields=list(values))
    draft_edited(version, person, "step changed", before=before, after=_said(row))
    return row


@transaction.atomic
def step_remove(*, step: OptionStep, person: User | None) -> QuoteOption:
    """Take a step off. Safe to repeat."""
    version = locked_draft(step.option.version)
    row = OptionStep.objects.select_related("option").filter(pk=step.pk).first()
    if row is not None:
        before = _said(row)
        row.delete()
        draft_edited(version, person, "step removed", before=before)
    return step.option


@transaction.atomic
def extra_add(*, option: QuoteOption, person: User | None, **values: Unpack[ExtraValues]) -> OptionExtra:
    """Outside work, consumables, freight or a fee."""
    version = locked_draft(option.version)
    extra = OptionExtra(option=option, **values)
    _refuse_extra(extra)
    extra.full_clean(exclude=["option"])
    extra.save()
    draft_edited(version, person, "extra added", after=_extra_said(extra))
    return extra


@transaction.atomic
def extra_change(*, extra: OptionExtra, person: User | None, **values: Unpack[ExtraValues]) -> OptionExtra:
    """Any of its values."""
    version = locked_draft(extra.option.version)
    row = still_there(extra.option, extra)
    before = _extra_said(row)
    for name, value in values.items():
        if name not in ExtraValues.__annotations__:
            raise TypeError(f"extra_change: no value is called {name}")
        setattr(row, name, value)
    _refuse_extra(row)
    row.full_clean(exclude=["option"])
    row.save(update_fields=list(values))
    draft_edited(version, person, "extra changed", before=before, after=_extra_said(row))
    return row


@transaction.atomic
def extra_remove(*, extra: OptionExtra, person: User | None) -> QuoteOption:
    """Take an extra off. Safe to repeat."""
    version = locked_draft(extra.option.version)
    row = OptionExtra.objects.select_related("option").filter(pk=extra.pk).first()
    if row is not None:
        before = _extra_said(row)
        row.delete()
        draft_edited(version, person, "extra removed", before=before)
    return extra.option


def _checked(step: OptionStep) -> None:
    if not step.label.strip():
        raise Refused("Say what is done.", "label")
    if not 0 <= step.low_h <= step.likely_h <= step.high_h:
        raise Refused("Hours must rise from low over likely to high, none below zero.", "likely_h")
    if step.hours is not None and step.hours < 0:
        raise Refused("Hours are not negative. Leave them empty for the estimate.", "hours")


def _refuse_extra(extra: OptionExtra) -> None:
    if extra.amount is None or extra.amount < 0:
        raise Refused("Enter zero or more; take something off with a discount.", "amount")
    if extra.cost is not None and extra.cost < 0:
        raise Refused("A cost is not negative. Leave it empty when it is not known.", "cost")


def _free_code(option: QuoteOption, label: str) -> str:
    """A code made of the label, numbered when it is taken."""
    taken = set(option.steps.values_list("code", flat=True))
    plain = slugify(label)[: LONGEST_CODE - 3].strip("-") or "step"
    numbered = (plain if number == 1 else f"{plain}-{number}" for number in range(1, len(taken) + 2))
    return next(code for code in numbered if code not in taken)


def _said(step: OptionStep) -> str:
    hours = f"{step.hours} h by hand" if step.hours is not None else f"{step.low_h}/{step.likely_h}/{step.high_h} h"
    return f"{step.option.key}: {step.label} {hours}"


def _extra_said(extra: OptionExtra) -> str:
    return f"{extra.option.key}: {extra.label} {extra.amount}"
