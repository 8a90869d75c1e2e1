"""A build out of an accepted version: steps, part needs, place in line, first promise."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import TypeVar

from django.contrib.auth.models import User
from django.db.models import Max

from quoting.price import quoted_h
from quoting.request import Option, PartLine, QuoteRequest, StepLine
from quoting.result import PriceSheet, Promise
from shop.models import (
    BenchType,
    Build,
    BuildStep,
    Component,
    Job,
    LineLock,
    PartNeed,
    PromiseEntry,
    QuoteVersion,
    Skill,
)
from shop.services.errors import Refused
from shop.services.numbers import number_take
from shop.services.promise_basis import promise_basis

Coded = TypeVar("Coded", Skill, BenchType)


def build_make(
    *, version: QuoteVersion, request: QuoteRequest, option: Option, price: PriceSheet, lock: LineLock, now: datetime
) -> Build:
    """Make the build last in line, with its steps and part needs. Call it under the line's lock."""
    quote = version.quote
    if quote.customer is None:
        raise Refused("The quote has no customer. Revise it and add one.", "customer")
    last = Build.objects.aggregate(last=Max("place"))["last"] or 0
    bike = request.donor.label if request.donor else quote.get_job_display()
    build = Build(
        number=number_take("build"),
        version=version,
        option_key=option.key,
        customer=quote.customer,
        donor=quote.donor,
        job=quote.job,
        title=f"{bike}, {option.label}"[:160] if option.label else bike[:160],
        place=last + 1,
        total=price.due,
        accepted_at=now,
    )
    build.full_clean(exclude=["version", "customer", "donor"])
    build.save(force_insert=True)
    _steps_make(build, option.steps, request)
    _needs_make(build, option)
    return build


def promise_write(*, build: Build, promise: Promise, person: User | None, lock: LineLock) -> PromiseEntry:
    """Give the first promise. Refused when there is no date."""
    if promise.finish_from is None or promise.finish_to is None:
        raise Refused(f"There is no finish date to promise. {promise.blocked}")
    build.promised_from, build.promised_to = promise.finish_from, promise.finish_to
    build.save(update_fields=["promised_from", "promised_to"])
    entry = PromiseEntry(
        build=build,
        kind=PromiseEntry.Kind.FIRST,
        finish_from=promise.finish_from,
        finish_to=promise.finish_to,
        revision=lock.revision,
        person=person,
        **promise_basis(promise),
    )
    entry.clean_fields(exclude=["build", "person"])
    entry.save(force_insert=True)
    return entry


def _steps_make(build: Build, steps: Sequence[StepLine], request: QuoteRequest) -> None:
    """The steps as quoted. A parts kit has none: the plan takes it for a parcel."""
    if build.job == Job.PARTS_KIT:
        return
    skills = named(Skill.objects.all(), {step.skill for step in steps}, "skill")
    bench_types = named(BenchType.objects.all(), {step.bench_type for step in steps}, "bench type")
    rows = []
    for position, step in enumerate(steps, start=1):
        low_h, likely_h, high_h = estimate(step)
        rows.append(
            BuildStep(
                build=build,
                position=position,
                code=step.code,
                label=step.label,
                skill=skills.get(step.skill),
                bench_type=bench_types.get(step.bench_type),
                low_h=low_h,
                likely_h=likely_h,
                high_h=high_h,
                quoted_h=quoted_h(step, request.policies),
                lead_days=step.lead_days,
                learned_factor=step.learned_factor,
            )
        )
    BuildStep.objects.bulk_create(rows)


def estimate(step: StepLine) -> tuple[Decimal, Decimal, Decimal]:
    """Low, likely and high hours, to the hundredth. Hours set by hand are the likely ones; the spread is kept in
    proportion, as the promise was worked out.
    """
    if step.hours is None:
        return step.low_h, step.likely_h, step.high_h
    share = step.hours / step.likely_h if step.likely_h else Decimal(0)
    likely_h = round(step.hours, 2)
    return min(round(step.low_h * share, 2), likely_h), likely_h, max(round(step.high_h * share, 2), likely_h)


def named(rows: Iterable[Coded], codes: set[str], what: str) -> dict[str, Coded]:
    """Rows by code. Refused when one that is asked for is gone."""
    found = {row.code: row for row in rows}
    gone = sorted(codes - set(found) - {""})
    if gone:
        raise Refused(f"The shop no longer has the {what} {', '.join(gone)}. Revise the quote.")
    return found


def _needs_make(build: Build, option: Option) -> None:
    """One need per component, for the first step that waits for its kind. One that no step names is left to the plan,
    which takes it for the first step on a bench.
    """
    wanted, found = need_quantities(option)
    lines = {part.code: part for part in option.parts}
    PartNeed.objects.bulk_create(
        PartNeed(build=build, component=found[code], quantity=quantity, step_code=step_of(lines[code], option.steps))
        for code, quantity in wanted.items()
    )


def need_quantities(option: Option) -> tuple[dict[str, Decimal], dict[str, Component]]:
    """Units of each component an option asks for, and the components, by code. Refused for one that is gone."""
    wanted: dict[str, Decimal] = {}
    for part in option.parts:
        wanted[part.code] = wanted.get(part.code, Decimal(0)) + part.quantity
    found = {component.code: component for component in Component.objects.filter(code__in=wanted)}
    gone = sorted(set(wanted) - set(found))
    if gone:
        raise Refused(f"No longer in the catalogue: {', '.join(gone)}. Revise the quote.")
    return wanted, found


def step_of(part: PartLine, steps: Sequence[StepLine]) -> str:
    """The code of the first step that waits for the part's kind; empty when none does."""
    return next((step.code for step in steps if part.kind in step.needs), "")
