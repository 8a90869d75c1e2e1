"""Steps and part needs of a running build made to follow a changed option. Called under the line's lock."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quoting.price import quoted_h
from quoting.request import Option, Policies, StepLine
from shop.models import BenchType, Build, BuildStep, Job, PartNeed, Skill, StepState
from shop.selectors.balances import issued_by_need
from shop.selectors.running import begun
from shop.services.builds_make import estimate, named, need_quantities, step_of
from shop.services.errors import Refused

NONE = Decimal(0)
ASIDE = 10_000  # positions out of the way while steps change places: each is there once


def steps_follow(*, build: Build, steps: Sequence[StepLine], policies: Policies) -> None:
    """New steps come, steps nobody has begun go or take their new hours, all stand in the option's order.

    A finished step stays as it is; one under way keeps its person, bench and hours worked, and takes its new estimate.
    """
    if build.job == Job.PARTS_KIT:
        return
    skills = named(Skill.objects.all(), {step.skill for step in steps}, "skill")
    bench_types = named(BenchType.objects.all(), {step.bench_type for step in steps}, "bench type")
    present = {step.code: step for step in build.steps.order_by("position")}
    wanted = {step.code for step in steps}
    for code, step in present.items():
        if code not in wanted:
            if begun(step):
                raise Refused(f"{step.label} has begun and stays. Put it back on the change order.")
            step.delete()
    for number, row in enumerate(build.steps.order_by("position"), start=ASIDE):
        BuildStep.objects.filter(pk=row.pk).update(position=number)
    for position, line in enumerate(steps, start=1):
        row = present.get(line.code) or BuildStep(build=build, code=line.code)
        row.position = position
        if row.state != StepState.DONE:
            row.low_h, row.likely_h, row.high_h = estimate(line)
            row.quoted_h, row.label, row.lead_days = quoted_h(line, policies), line.label, line.lead_days
            row.learned_factor = line.learned_factor
        if row.pk is None or not begun(row):
            row.skill, row.bench_type = skills.get(line.skill), bench_types.get(line.bench_type)
        row.full_clean(exclude=["build", "skill", "bench_type", "person", "bench"], validate_unique=False)
        row.save()


def needs_follow(*, build: Build, option: Option) -> None:
    """Each component as often as the option has it. One that is off stays at zero while moves of the stock name it:
    what was kept for it is free with the next allotment.
    """
    wanted, found = need_quantities(option)
    lines = {part.code: part for part in option.parts}
    issued = issued_by_need()
    present = {
        (need.instead_of or need.component).code: need
        for need in build.needs.select_related("component", "instead_of").order_by("pk")
    }
    for code, need in present.items():
        quantity = wanted.get(code, NONE)
        if issued.get(need.pk, NONE) > quantity:
            raise Refused(f"{need.component.name} is at the bench. Return it to the shelf first, or keep it.")
        if not quantity and not (need.moves.exists() or need.lent.exists() or need.borrowed.exists()):
            need.delete()
        elif need.quantity != quantity:
            need.quantity = quantity
            need.save(update_fields=["quantity"])
    for code, quantity in wanted.items():
        if code not in present:
            _need_add(build, option, found[code].pk, quantity, step_of(lines[code], option.steps))


def _need_add(build: Build, option: Option, component_id: int, quantity: Decimal, step_code: str) -> None:
    """A need of a component the build did not have; one that stands in for another already takes the sum."""
    other = build.needs.filter(component_id=component_id).first()
    if other is not None:
        other.quantity += quantity
        other.save(update_fields=["quantity"])
        return
    PartNeed.objects.create(build=build, component_id=component_id, quantity=quantity, step_code=step_code)
