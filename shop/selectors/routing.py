"""The steps of a kind of job, their estimates shifted by what finished builds took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from quoting.price import LearnedHours, learned_hours, pert_mean_h
from shop.models import BuildState, BuildStep, Donor, RoutingStep, StepState
from shop.selectors.shop import the_shop

FINISHED = (BuildState.READY, BuildState.HANDED_OVER)
PLACES = Decimal("0.0001")  # as a RateField keeps it


@dataclass(frozen=True, kw_only=True)
class RoutedStep:
    """A step of the routing as a new quote takes it. `how` says what finished builds made of the estimate."""

    code: str
    label: str
    skill_id: int | None
    bench_type_id: int | None
    low_h: Decimal
    likely_h: Decimal
    high_h: Decimal
    lead_days: int
    needs_kinds: list[str]
    learned_factor: Decimal = Decimal(1)
    learned_builds: int = 0
    how: str = ""


Routing = Mapping[str, RoutedStep]


def routing_for(job: str, donor: Donor | None) -> Routing:
    """The steps of a job for the bike's family, by code in order; the general ones where the family has none."""
    steps = RoutingStep.objects.filter(job=job).order_by("position", "pk")
    own = list(steps.filter(family=donor.family_id)) if donor else []
    rows = own or list(steps.filter(family=None))
    taught = _taught(job, donor if own else None, rows) if the_shop().learn_hours else {}
    return {step.code: _routed(step, taught.get(step.code)) for step in rows}


def _taught(job: str, donor: Donor | None, rows: Iterable[RoutingStep]) -> Mapping[str, LearnedHours]:
    """What each step took on finished builds of the job, of the same family where it has a routing of its own.

    Held against the estimate those builds had before any shift, so that a lesson is not learned twice.
    """
    done = BuildStep.objects.filter(
        build__job=job, build__state__in=FINISHED, state=StepState.DONE, actual_h__isnull=False, actual_h__gt=0
    )
    if donor is not None:
        done = done.filter(build__donor__family=donor.family_id)
    names = ("code", "low_h", "likely_h", "high_h", "learned_factor", "actual_h")
    pairs: dict[str, list[tuple[Decimal, Decimal]]] = {}
    for code, low_h, likely_h, high_h, factor, actual_h in done.order_by("pk").values_list(*names):
        estimated_h = (pert_mean_h(low_h, likely_h, high_h) if high_h else likely_h) / (factor or 1)
        pairs.setdefault(code, []).append((estimated_h, actual_h))
    return {
        step.code: learned_hours(step.low_h, step.likely_h, step.high_h, pairs[step.code])
        for step in rows
        if step.code in pairs and step.likely_h
    }


def _routed(step: RoutingStep, learned: LearnedHours | None) -> RoutedStep:
    return RoutedStep(
        code=step.code,
        label=step.label,
        skill_id=step.skill_id,
        bench_type_id=step.bench_type_id,
        low_h=learned.low_h if learned else step.low_h,
        likely_h=learned.likely_h if learned else step.likely_h,
        high_h=learned.high_h if learned else step.high_h,
        lead_days=step.lead_days,
        needs_kinds=list(step.needs_kinds),
        learned_factor=learned.factor.quantize(PLACES) if learned else Decimal(1),
        learned_builds=learned.builds if learned else 0,
        how=learned.how if learned else "",
    )
