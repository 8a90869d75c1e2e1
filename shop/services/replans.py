"""Re-planning the open builds, and keeping what was found for a person to follow. Nothing is moved here.

Loads the re-planner, so only commands import it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import combinations, pairwise

from django.db import transaction

from quoting.promise import PlannedShop, prepare_shop
from quoting.replanning import Limits, Rebooked, Replanned, replan
from quoting.request import Policies, ShopState, Turn
from shop.models import Replan
from shop.selectors.plan import plan_basis

LATENESS_SHARE, FLOW_SHARE, CHANGE_SHARE = 0.2, 0.7, 0.1  # of the seconds: flow takes longest to prove (our own choice)
Score = tuple[float, float]
NEVER: Score = (math.inf, math.inf)
LOOKED_AT = Limits(tries=1, lateness=None, flow=None, change=None)  # a plan measured as it stands, nothing searched
KEPT = 10  # re-plans that stay, the newest: a fortnight of nights is enough to look back (our own choice)


@dataclass(frozen=True, kw_only=True)
class Found:
    """What re-planning found: the plan, the turns by which the shop's own plan follows it, and that plan measured.

    `turns` empty when no turns make the shop's own plan better; then there is nothing to follow.
    """

    plan: Replanned
    turns: tuple[Turn, ...]
    followed_lateness_h: float
    followed_flow_h: float


def replan_find(*, seconds: float, tries: int = Limits().tries) -> Found:
    """Plan what is open anew, in so many seconds at most. Raises CalendarError when the shop has no open time."""
    state, now, policies = plan_basis()
    usual = Limits(tries=tries)
    limits = replace(
        usual,
        lateness=usual.lateness and replace(usual.lateness, seconds=seconds * LATENESS_SHARE),
        flow=usual.flow and replace(usual.flow, seconds=seconds * FLOW_SHARE),
        change=usual.change and replace(usual.change, seconds=seconds * CHANGE_SHARE),
    )
    shop = Measured(state, now, policies)
    found = replan(shop.prepared, limits)
    best: Score = (found.lateness_before_h, found.flow_before_h)
    turns: tuple[Turn, ...] = ()
    ways = tuple(_ways(found, state))
    for tried in (*ways, *(_picked(way, best, shop) for way in ways[:1])):
        score = shop.score(tried)
        if score < best:
            best, turns = score, tried
    turns = _fewest(turns, best, shop)
    return Found(plan=found, turns=turns, followed_lateness_h=best[0], followed_flow_h=best[1])


class Measured:
    """The shop's own plan with some more turns, measured: lateness, then flow [h].

    A plan that makes any build later against its promise, by the likely or the slow finish, counts as worse than all.
    """

    def __init__(self, state: ShopState, now: datetime, policies: Policies) -> None:
        self.state, self.now, self.policies = state, now, policies
        self.prepared = prepare_shop(state, now, now.date(), policies)
        self.late = _late_days(self.prepared)

    def score(self, turns: Iterable[Turn]) -> Score:
        """Of the plan with these turns beside those taken already."""
        state = replace(self.state, turns=(*self.state.turns, *turns))
        prepared = prepare_shop(state, self.now, self.now.date(), self.policies)
        late = _late_days(prepared)
        if any(late.get(about, 0) > days for about, days in self.late.items()):
            return NEVER
        looked = replan(prepared, LOOKED_AT)
        return looked.lateness_before_h, looked.flow_before_h


def _late_days(prepared: PlannedShop) -> dict[tuple[str, str], int]:
    """By build and pace."""
    return {
        (each.build.number, pace): max((finish - each.build.promised_to).days, 0)
        for each in prepared.outlooks
        for pace, finish in (("likely", each.finish_from), ("slow", each.finish_to))
        if finish and each.build.promised_to
    }


def _picked(turns: tuple[Turn, ...], best: Score, shop: Measured) -> tuple[Turn, ...]:
    """Turn by turn those that make the plan better: all of them together may make a promise later where some do not."""
    kept: tuple[Turn, ...] = ()
    for turn in turns:
        score = shop.score((*kept, turn))
        if score < best:
            best, kept = score, (*kept, turn)
    return kept


def _fewest(turns: tuple[Turn, ...], best: Score, shop: Measured) -> tuple[Turn, ...]:
    """Without the turns that make no difference: whoever is asked to follow them has fewer to read."""
    kept = turns
    for turn in turns:
        fewer = tuple(each for each in kept if each != turn)
        if fewer and shop.score(fewer) <= best:
            kept = fewer
    return kept


def _ways(found: Replanned, state: ShopState) -> Iterator[tuple[Turn, ...]]:
    """Turns that lead to a plan: where neighbors on a lane are out of the order of the line, or any two on a lane."""
    if found.flow_h >= found.flow_before_h and found.lateness_h >= found.lateness_before_h:
        return
    place = {build.number: build.place for build in state.builds}
    to_do = {(build.number, step.code) for build in state.builds for step in build.steps if step.started is None}
    lanes: dict[str, list[Rebooked]] = {}
    for step in sorted(found.steps, key=lambda step: (step.start, place[step.build])):
        if (step.build, step.step) in to_do:
            for lane in filter(None, (step.person and f"person {step.person}", step.bench and f"bench {step.bench}")):
                lanes.setdefault(lane, []).append(step)
    said = {(turn.then_build, turn.then_step, turn.build, turn.step) for turn in state.turns}
    for pairs in (pairwise, lambda works: combinations(works, 2)):
        made = (_turn(a, b) for works in lanes.values() for a, b in pairs(works) if place[a.build] > place[b.build])
        yield tuple(dict.fromkeys(turn for turn in made if _spot(turn) not in said and turn not in state.turns))


def _turn(first: Rebooked, then: Rebooked) -> Turn:
    return Turn(build=first.build, step=first.step, then_build=then.build, then_step=then.step)


def _spot(turn: Turn) -> tuple[str, str, str, str]:
    return turn.build, turn.step, turn.then_build, turn.then_step


@transaction.atomic
def replan_keep(*, found: Found) -> Replan:
    """Keep a re-plan for the owner to look at. Only the newest stay."""
    plan = found.plan
    hours = ("lateness_before_h", "lateness_h", "lateness_bound_h", "flow_before_h", "flow_h", "flow_bound_h")
    row = Replan(
        revision=plan.revision,
        method=plan.method,
        ended_lateness=plan.ended[0],
        ended_flow=plan.ended[1],
        **{name: getattr(plan, name) for name in hours},
        builds=_builds(plan),
        steps=[_row(step) for step in plan.steps],
        turns=[list(_spot(turn)) for turn in found.turns],
    )
    row.full_clean(exclude=["builds", "steps", "turns"])
    row.save(force_insert=True)
    _forget(Replan.objects.order_by("-made_at", "-pk").values_list("pk", flat=True)[KEPT:])
    return row


def _forget(keys: Iterable[int]) -> None:
    Replan.objects.filter(pk__in=list(keys), followed_at__isnull=True).delete()


def _builds(plan: Replanned) -> list[list[object]]:
    why = {binding.number: binding.text for binding in plan.bindings}
    rows: list[list[object]] = [[*build, why.pop(build[0], "")] for build in plan.builds]
    rows += [[number, None, None, None, text] for number, text in why.items()]
    return rows


def _row(step: Rebooked) -> list[object]:
    return [step.build, step.step, step.start, step.end, step.person, step.bench]
