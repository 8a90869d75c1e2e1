"""What the simulated runs are drawn from: the shop at one revision, hours that were really worked, promises kept."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from quoting import from_json
from quoting.odds import Kept, bias_from
from quoting.request import Policies, ShopState
from quoting.result import Odds
from shop.models import (
    CLOSED_STATES,
    BenchType,
    Build,
    BuildState,
    BuildStep,
    LineLock,
    PromiseEntry,
    Shop,
    Skill,
    StepState,
)
from shop.selectors.plan import plan_basis
from shop.selectors.shop import the_shop

TRIES = (
    5  # a shop that changes under each of five readings is drawn as it was read last, and marked by its older number
)
STEPS_LOOKED_AT = 400  # finished steps, newest first: about fifty builds (our own choice)


@dataclass(frozen=True, kw_only=True)
class OddsBasis:
    """The shop as read at `now`, with the codes of skills and benches an option may ask for."""

    state: ShopState
    now: datetime
    policies: Policies
    skills: tuple[str, ...]
    bench_types: tuple[str, ...]


def odds_basis() -> OddsBasis:
    """Read the shop so that everything belongs to the revision it names.

    On PostgreSQL a change may be committed between two of the queries; then the number has moved on and it is read
    again. Should that go on, the older number is kept: runs that are marked stale are drawn anew.
    """
    for _ in range(TRIES):
        before = current_revision()
        state, now, policies = plan_basis(codes=None)
        if current_revision() == before == state.revision:
            break
    return OddsBasis(
        state=replace(state, revision=before),
        now=now,
        policies=policies,
        skills=tuple(Skill.objects.order_by("code").values_list("code", flat=True)),
        bench_types=tuple(BenchType.objects.order_by("code").values_list("code", flat=True)),
    )


def current_revision() -> int:
    """Of the plan; 0 in a shop where nothing was planned yet."""
    return LineLock.objects.filter(pk=1).values_list("revision", flat=True).first() or 0


def hours_error() -> tuple[float, float]:
    """Center and spread of the log of true over estimated hours, for what is still to be done.

    What finished builds taught is in newer estimates already (their learned factor): finished hours are compared with
    the estimate before it, and the average factor of the steps to do is taken off again.
    """
    rows = BuildStep.objects.filter(state=StepState.DONE, actual_h__gt=0, high_h__gt=0).order_by("-finished_at", "-pk")
    names = ("actual_h", "low_h", "likely_h", "high_h", "learned_factor")
    pairs = [
        (float(actual), _mean_h(low, likely, high) / float(factor))
        for actual, low, likely, high, factor in rows.values_list(*names)[:STEPS_LOOKED_AT]
    ]
    center, spread = bias_from(pairs)
    return (center - _learned_already() if pairs else center), spread


def _mean_h(low_h: Decimal, likely_h: Decimal, high_h: Decimal) -> float:
    """PERT mean, (low + 4 likely + high) / 6 (Malcolm et al., 1959)."""
    return float(low_h + 4 * likely_h + high_h) / 6


def _learned_already() -> float:
    """Mean log of the learned factor over steps to do."""
    rows = BuildStep.objects.exclude(state=StepState.DONE).exclude(build__state__in=CLOSED_STATES)
    factors = list(rows.filter(high_h__gt=0).values_list("learned_factor", flat=True))
    return sum(math.log(factor) for factor in factors if factor > 0) / len(factors) if factors else 0.0


def promises_come_due(shop: Shop | None = None) -> Sequence[Kept]:
    """Promises given from fresh simulated runs whose build is finished, with the day it was.

    One for each build: the first, or that of its last change order, as other work was promised then. A window that was
    moved for any other reason does not take the place of the one that was missed.
    """
    zone = ZoneInfo((shop or the_shop()).zone)
    rows = PromiseEntry.objects.filter(build__state__in=(BuildState.READY, BuildState.HANDED_OVER)).exclude(
        kind=PromiseEntry.Kind.CHANGED
    )
    agreed = {entry.build_id: entry for entry in rows.select_related("build").order_by("pk")}
    due = []
    for entry in agreed.values():
        moment = finished_at(entry.build)
        if moment is not None and entry.basis == PromiseEntry.Basis.ODDS:
            due.append(Kept(odds=from_json(Odds, entry.odds), finished=moment.astimezone(zone).date()))
    return due


def finished_at(build: Build) -> datetime | None:
    """When it was ready; a build that was cancelled kept and missed nothing."""
    if build.state not in (BuildState.READY, BuildState.HANDED_OVER):
        return None
    return build.finished_at or build.handed_over_at
