"""A plan drawn anew keeps every rule, is never worse, never below its bound, and the best where all can be tried."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings

from quoting.promise.odds import PLAIN
from quoting.promise.plan import PlannedShop, prepare_shop
from quoting.promise.replan.bounds import flow_bound, lateness_bound, shortest_first
from quoting.promise.replan.check import faults
from quoting.promise.replan.floor import problem_of
from quoting.promise.replan.lists import Laying, search_orders
from quoting.promise.replan.run import replan
from quoting.promise.replan.solve import Effort, least_flow, least_lateness
from quoting.promise.replan.windows import windows_of
from quoting.replanning import Limits
from quoting.request import Policies, ShopState
from tests.quoting.promise.odds.calibration_shops import DAY, calibration_shop
from tests.quoting.promise.random_shops import shops

NOW = datetime(2027, 3, 1, 13, tzinfo=UTC)
LISTS_ONLY = Limits(tries=40, lateness=None, flow=None)
SHORT = Effort(seconds=20, work=2)


def planned_of(shop: ShopState) -> PlannedShop:
    return prepare_shop(shop, NOW, DAY, Policies())


@given(shop=shops())
@settings(max_examples=40)
def test_plans_keep_every_rule_and_the_loops_lay_as_the_plan_does(shop: ShopState):
    planned = planned_of(shop)
    floor = problem_of(planned)
    assert faults(floor.problem, floor.standing) == []
    line = Laying(planned, floor, PLAIN).plan(range(len(floor.chains)))
    # Blocked builds hold lanes in the plan and are left out here; a list lays builds whole, whatever the turns.
    if len(floor.chains) == len(planned.outlooks) and not shop.turns:
        assert (line.start, line.end) == (floor.standing.start, floor.standing.end)
    caps = floor.standing.lateness(floor.problem)
    listed = search_orders(planned, floor, caps, 30, PLAIN)
    assert faults(floor.problem, listed.plan) == []
    assert lateness_bound(floor.problem) <= floor.standing.score(floor.problem)[0]
    for plan in (floor.standing, listed.plan):
        assert flow_bound(floor.problem) <= sum(plan.finish(floor.problem))


@given(shop=shops(most_builds=3))
@settings(max_examples=12)
def test_solved_plans_keep_every_rule_and_are_not_worse(shop: ShopState):
    planned = planned_of(shop)
    floor = problem_of(planned)
    problem, standing = floor.problem, floor.standing
    if not problem.tasks:
        return
    last = max((*standing.end, problem.now)) + 200
    caps = standing.lateness(problem)
    late = least_lateness(problem, windows_of(problem, last), caps, standing, SHORT)
    assert late.plan is not None
    assert faults(problem, late.plan) == []
    assert lateness_bound(problem) <= late.bound <= sum(late.plan.lateness(problem)) <= sum(caps)
    flow = least_flow(problem, windows_of(problem, last), caps, sum(caps), late.plan, SHORT)
    assert flow.plan is not None
    assert faults(problem, flow.plan) == []
    assert flow_bound(problem) <= sum(flow.plan.finish(problem))
    assert all(now <= cap for now, cap in zip(flow.plan.lateness(problem), caps, strict=True))


def test_three_builds_reach_the_best_of_all_orders():
    shop = calibration_shop(6, 3)
    builds = tuple(replace(build, steps=build.steps[:3], needs=build.needs[:1]) for build in shop.builds)
    planned = planned_of(replace(shop, builds=builds))
    floor = problem_of(planned)
    laying = Laying(planned, floor, PLAIN)
    flows = [laying.plan(order).score(floor.problem) for order in permutations(range(3))]
    listed = search_orders(planned, floor, floor.standing.lateness(floor.problem), 60, PLAIN)
    assert listed.plan.score(floor.problem) == min(flows)
    found = replan(planned, Limits(tries=60, lateness=SHORT, flow=Effort(seconds=60, work=20)), PLAIN)
    assert found.ended[1] == "proved"
    assert found.flow_h * 4 <= min(flows)[1]
    assert found.flow_h == pytest.approx(found.flow_bound_h)


def test_nobodys_promise_is_traded_and_the_result_says_what_won():
    shop = calibration_shop(1, 8)
    builds = tuple(
        replace(build, promised_to=DAY + timedelta(days=45 + 3 * at)) for at, build in enumerate(shop.builds)
    )
    planned = planned_of(replace(shop, builds=builds))
    found = replan(planned, LISTS_ONLY, PLAIN)
    assert found.method in {"standing plan", "list search"}
    assert found.lateness_bound_h <= found.lateness_h <= found.lateness_before_h
    assert (found.lateness_h, found.flow_h) <= (found.lateness_before_h, found.flow_before_h)
    assert found.flow_bound_h <= found.flow_h
    late = {number: (before, after, promised) for number, before, after, promised in found.builds}
    assert all(after <= max(promised, before) for before, after, promised in late.values() if promised)
    assert found == replan(planned, LISTS_ONLY, PLAIN)


def test_shortest_remaining_first_by_hand():
    # Work 5 from 0 and 1 from 2: the short one breaks in, ends 3, the long one 6: together 9.
    assert shortest_first([(0, 5), (2, 1)]) == 9
