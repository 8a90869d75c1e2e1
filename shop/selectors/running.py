"""A draft that changes a running build: the shop as it would be with it, and what stands in its way."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from quoting import QuoteRequest, QuoteResult, from_json
from quoting.promise import changed_build
from quoting.request import Option, ShopState
from quoting.result import OptionResult
from shop.models import BuildState, BuildStep, ChangeOrder, EntryKind, PartNeed, QuoteVersion, StepState
from shop.selectors.balances import issued_by_need

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Base:
    """What a build was agreed at before the change: the option as asked, and what it came to."""

    request: QuoteRequest
    option: Option
    result: OptionResult


def change_of(version: QuoteVersion) -> ChangeOrder | None:
    """The change order a version stands for; None for a version that starts a build, which the row then remembers."""
    if not hasattr(version, "change"):
        return None
    rows = ChangeOrder.objects.select_related("build__customer", "base__quote", "version__quote")
    return rows.get(version=version)


def base_of(change: ChangeOrder) -> Base:
    """The frozen option the build is made by until the change is accepted."""
    request, result = from_json(QuoteRequest, change.base.request), from_json(QuoteResult, change.base.result)
    key = _key(change, request)
    return Base(
        request=request,
        option=next(each for each in request.options if each.key == key),
        result=next(each for each in result.options if each.key == key),
    )


def with_change(change: ChangeOrder, state: ShopState, option: Option) -> tuple[ShopState, str]:
    """The shop with the build as the option would make it, and its number; as it was once the build is closed."""
    build = change.build
    standing = next((each for each in state.builds if each.number == build.number), None)
    if standing is None:
        return state, ""
    done = set(build.steps.filter(state=StepState.DONE).values_list("code", flat=True))
    needs = needs_of(change)
    issued = issued_by_need()
    made = changed_build(
        standing,
        base_of(change).option,
        option,
        build.job,
        done=done,
        issued={code: issued.get(need.pk, NONE) for code, need in needs.items()},
    )
    used = {code: need.component for code, need in needs.items() if need.instead_of_id}
    made = replace(
        made,
        needs=tuple(
            replace(need, code=used[need.code].code, name=used[need.code].name) if need.code in used else need
            for need in made.needs
        ),
    )
    builds = tuple(made if each.number == build.number else each for each in state.builds)
    return replace(state, builds=builds), build.number


def needs_of(change: ChangeOrder) -> Mapping[str, PartNeed]:
    """What the build needs, by the code that was quoted: something else may be fitted in its place."""
    rows = change.build.needs.select_related("component", "instead_of").order_by("pk")
    return {(need.instead_of or need.component).code: need for need in rows}


def refusals_of(change: ChangeOrder, option: Option) -> tuple[str, ...]:
    """Why the build cannot be changed so, each with the remedy; none when it can."""
    build = change.build
    if not build.is_open or build.state == BuildState.READY:
        return (f"{build} is {build.get_state_display().lower()}. Quote what is still wanted as a new job.",)
    found = []
    if build.version_id != change.base_id and change.accepted_at is None:
        found.append(f"{build} was changed since {change} was begun. Drop this one and begin a new one.")
    if build.entries.filter(kind=EntryKind.INVOICE, reversed_by__isnull=True).exists():
        found.append(f"{build} is invoiced. Quote what is still wanted as a new job.")
    return (*found, *_steps_in_the_way(change, option), *_parts_in_the_way(change, option))


def _steps_in_the_way(change: ChangeOrder, option: Option) -> list[str]:
    kept = {step.code for step in option.steps}
    return [
        f"{step.label} has begun, so it stays. Put it back on the change order; a discount can make up for it."
        for step in change.build.steps.order_by("position")
        if begun(step) and step.code not in kept
    ]


def _parts_in_the_way(change: ChangeOrder, option: Option) -> list[str]:
    wanted: dict[str, Decimal] = {}
    for part in option.parts:
        wanted[part.code] = wanted.get(part.code, NONE) + part.quantity
    issued = issued_by_need()
    found = []
    for code, need in needs_of(change).items():
        at_bench, left = issued.get(need.pk, NONE), wanted.get(code, NONE)
        if at_bench > left:
            found.append(
                f"{at_bench.normalize():f} of {need.component.name} went to the bench, and the change order keeps "
                f"{left.normalize():f}. Return {(at_bench - left).normalize():f} to the shelf first, or keep it."
            )
    return found


def begun(step: BuildStep) -> bool:
    """Whether somebody has worked on a step."""
    return step.state != StepState.TODO or step.actual_h is not None


def _key(change: ChangeOrder, request: QuoteRequest) -> str:
    """The option that was chosen: while the base counts, the build names it; afterwards it is the change's own key."""
    keys = {option.key for option in request.options}
    own = change.version.options.values_list("key", flat=True).first()
    return own if own in keys else change.build.option_key
