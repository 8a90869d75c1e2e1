"""A plan drawn anew keeps every rule, is never worse, never below its bound, and the best where all can be tried."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.promise.odds import PLAIN
from quoting.promise.plan import PlannedShop, prepare_shop
from quoting.promise.replan.bounds import flow_bound, lateness_bound, shortest_first
from quoting.promise.replan.capacity import Capacity
from quoting.promise.replan.check import faults
from quoting.promise.replan.floor import problem_of
from quoting.promise.replan.lists import Laying, search_orders
from quoting.promise.replan.run import replan
from quoting.promise.replan.solve import Effort, least_change, least_flow, least_lateness
from quoting.promise.replan.windows import windows_of
from quoting.replanning import Limits
from quoting.request import Policies, ShopState
from tests.quoting.promise.odds.calibration_shops import DAY, calibration_shop
from tests.quoting.promise.random_shops import shops

NOW = datetime(2027, 3, 1, 13, tzinfo=UTC)
LISTS_ONLY = Limits(tries=40, lateness=None, flow=None, change=None)
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
    if len(floor.chains) == len(planned.outlooks):  # blocked builds hold lanes in the plan and are left out here
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
    limits = Limits(tries=60, lateness=SHORT, flow=Effort(seconds=60, work=20), change=SHORT, frozen_days=0)
    found = replan(planned, limits, PLAIN)
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


@given(shop=shops(), frozen_days=st.integers(0, 4))
@settings(max_examples=25)
def test_what_starts_within_the_frozen_days_keeps_its_person_bench_and_time(shop: ShopState, frozen_days: int):
    planned = planned_of(shop)
    floor = problem_of(planned, frozen_days)
    problem, standing = floor.problem, floor.standing
    assert faults(problem, standing) == []
    day = planned.bearings.today
    for _ in range(frozen_days):
        day = planned.bearings.calendar.next_working_day(day)
    fence = planned.bearings.calendar.slot_of_day(day)
    waiting = [at for at, task in enumerate(problem_of(planned).problem.tasks) if task.fixed is None]
    assert floor.frozen == {at for at in waiting if frozen_days and standing.start[at] < fence}
    listed = search_orders(planned, floor, standing.lateness(problem), 30, PLAIN).plan
    assert faults(problem, listed) == []
    for at in floor.frozen:
        assert all(getattr(listed, each)[at] == getattr(standing, each)[at] for each in ("start", "person", "bench"))
    for plan in (standing, listed):
        assert flow_bound(problem) <= sum(plan.finish(problem))


def test_a_plan_as_good_that_changes_less_is_preferred():
    shop = calibration_shop(6, 2)
    planned = planned_of(replace(shop, builds=tuple(replace(build, steps=build.steps[:2]) for build in shop.builds)))
    floor = problem_of(planned)
    problem, standing = floor.problem, floor.standing
    solved = least_flow(problem, windows_of(problem, 400), standing.lateness(problem), 0, standing, SHORT)
    assert solved.plan is not None
    score = max(solved.plan.score(problem), standing.score(problem))
    last = max((*solved.plan.end, *standing.end)) + 8
    found = least_change(
        problem, windows_of(problem, last), standing.lateness(problem), score, standing, solved.plan, SHORT
    )
    assert (found.value, found.proved) == (0, True)  # the standing plan is within the score, and changes nothing


@given(shop=shops(most_builds=3))
@settings(max_examples=15)
def test_nothing_that_can_be_tried_beats_the_bounds(shop: ShopState):
    planned = planned_of(shop)
    floor = problem_of(planned)
    problem = floor.problem
    laying = Laying(planned, floor, PLAIN)
    plans = [laying.plan(order) for order in permutations(range(len(floor.chains)))]
    assert all(flow_bound(problem) <= sum(plan.finish(problem)) for plan in plans)
    assert all(lateness_bound(problem) <= sum(plan.lateness(problem)) for plan in plans)


def test_a_group_that_is_partly_away_does_less():
    # Two lanes from slot 10, one of them away from 20 to 30.
    capacity = Capacity.of_lanes(10, (0, 1), ((), ((12, 14),)), (((20, 30),), ()))
    # The second is held from 12 to 14: 4 by 12, 6 by 14, 18 by 20, 28 by 30, 38 by 35.
    assert [capacity.done_by(slot) for slot in (5, 12, 14, 20, 30, 35)] == [0, 4, 6, 18, 28, 38]
    assert [capacity.reaches(work) for work in (4, 5, 18, 19, 38)] == [12, 13, 20, 21, 35]


def test_shortest_remaining_first_by_hand():
    # Work 5 from 0 and 1 from 2: the short one breaks in, ends 3, the long one 6: together 9.
    assert shortest_first([(0, 5), (2, 1)]) == [3, 6]
