"""A plan drawn anew keeps the turns people have taken, in the loops, in the solver and in the eyes of the checker."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.promise import PlannedShop, prepare_shop
from quoting.promise.odds import PLAIN
from quoting.promise.odds.engine import load_compiled
from quoting.promise.replan.check import faults
from quoting.promise.replan.floor import problem_of
from quoting.promise.replan.lists import Laying, search_orders
from quoting.promise.replan.problem import Before
from quoting.promise.replan.run import replan
from quoting.promise.replan.solve import Effort, least_flow
from quoting.promise.replan.windows import windows_of
from quoting.replanning import Limits, Replanned
from quoting.request import ShopState, Turn
from tests.quoting.promise.random_shops import shops
from tests.quoting.promise.shops import DAY, NO_HANDLING, NOW, at, build, due, march, need, shop, step

SHORT = Effort(seconds=20, work=2)
LISTS = Limits(tries=40, lateness=None, flow=None, change=None, frozen_days=0)
ALL = Limits(tries=40, lateness=SHORT, flow=SHORT, change=SHORT, frozen_days=0)
SOLVER = replace(ALL, tries=1)
LONG_FIRST = Turn(build="B2", step="fit", then_build="B1", then_step="fit")


def planned_of(state: ShopState) -> PlannedShop:
    return prepare_shop(state, NOW, DAY, NO_HANDLING)


def starts(found: Replanned) -> dict[str, object]:
    return {f"{each.build}.{each.step}": each.start for each in found.steps}


@pytest.mark.parametrize("limits", [LISTS, SOLVER, ALL], ids=["lists", "solver", "all"])
def test_a_turn_is_kept_though_the_other_way_round_would_be_sooner(limits: Limits):
    """One lift: 4 h of B1 and 8 h of B2. Short one first they are done after 4 and 12 open hours, 16 in all; somebody
    has said B2 goes first, and then it is 8 and 12, 20 in all, which the solver proves for plans that keep the turn."""
    builds = (build(1, [step("fit", 4, "lift")]), build(2, [step("fit", 8, "lift")]))
    free = replan(planned_of(shop(builds=builds)), limits, PLAIN)
    kept = replan(planned_of(shop(builds=builds, turns=(LONG_FIRST,))), limits, PLAIN)
    assert (free.flow_h, free.kept_turns) == (16, 0)
    assert (kept.flow_h, kept.kept_turns) == (20, 1)
    assert starts(kept) == {"B2.fit": at(1, 8), "B1.fit": at(2, 8)}
    if limits.flow is not None:
        assert (kept.flow_bound_h, kept.ended[1]) == (20, "proved")


def test_who_waits_for_a_part_lets_the_other_go_on_and_is_put_off_no_further():
    """B2 has its turn before B1, but its motor comes on 9 March, and then it takes 4 h. B1 goes on the lift on Monday
    meanwhile. B3 and B4 have no part to wait for; 8 and 20 h: neither may push B2's fitting past the 9th, nor may B1.
    """
    builds = (
        build(1, [step("fit", 8, "lift")]),
        build(2, [step("fit", 4, "lift")], [need("motor", "fit")]),
        build(3, [step("fit", 8, "lift")]),
        build(4, [step("fit", 20, "lift")]),
    )
    state = shop(builds=builds, receipts=(due("motor", "1", march(9)),), turns=(LONG_FIRST,))
    floor = problem_of(planned_of(state))
    nine = floor.standing.start[1]
    assert floor.problem.turns == (Before(1, 0, nine),)
    found = replan(planned_of(state), ALL, PLAIN)
    assert starts(found)["B1.fit"] == at(1, 8)
    assert starts(found)["B2.fit"] == at(9, 8)
    later = replace(floor.standing, start=(0, nine + 32, *floor.standing.start[2:]))
    assert any("turn" in fault for fault in faults(floor.problem, later))


def test_whoever_looks_at_a_plan_afterwards_sees_a_turn_that_is_not_kept():
    builds = (build(1, [step("fit", 8, "lift")]), build(2, [step("fit", 8, "lift")]))
    floor = problem_of(planned_of(shop(builds=builds, turns=(LONG_FIRST,))))
    assert faults(floor.problem, floor.standing) == []
    first, then = floor.standing.start
    swapped = replace(floor.standing, start=(then, first), end=(then + 32, first + 32))
    assert faults(floor.problem, swapped) == ["task 1 has its turn before task 0 and starts after it"]


def test_a_turn_in_the_middle_of_a_build_and_one_that_closes_a_ring():
    """B2's fitting before B1's wiring, which leaves B1's fitting where it is; B1's wiring before B2's fitting as well
    would close a ring: the plan cuts it, and what it does instead is what a new plan may not make worse."""
    builds = (
        build(1, [step("fit", 8, "lift"), step("wire", 4, "lift")]),
        build(2, [step("fit", 8, "lift"), step("wire", 4, "lift")]),
    )
    ring = (
        Turn(build="B2", step="fit", then_build="B1", then_step="wire"),
        Turn(build="B1", step="wire", then_build="B2", then_step="fit"),
    )
    for turns in (ring[:1], ring):
        planned = planned_of(shop(builds=builds, turns=turns))
        floor = problem_of(planned)
        line = Laying(planned, floor, PLAIN).plan((0, 1))
        assert (line.start, line.end) == (floor.standing.start, floor.standing.end)
        assert faults(floor.problem, line) == []
        assert replan(planned, ALL, PLAIN).flow_h <= floor.standing.score(floor.problem)[1] / 4


@st.composite
def turned_shops(draw: st.DrawFn) -> ShopState:
    state = draw(shops(most_builds=4))
    spots = [(each.number, one.code) for each in state.builds for one in each.steps]
    if not spots:
        return state
    pairs = draw(st.lists(st.tuples(st.sampled_from(spots), st.sampled_from(spots)), max_size=4))
    turns = tuple(Turn(build=a, step=b, then_build=c, then_step=d) for (a, b), (c, d) in pairs)
    return replace(state, turns=turns)


@given(state=turned_shops(), frozen_days=st.integers(0, 2))
@settings(max_examples=25)
def test_any_turns_in_any_shop_are_kept_and_lists_begin_with_the_plan_there_is(state: ShopState, frozen_days: int):
    planned = planned_of(state)
    floor = problem_of(planned, frozen_days)
    problem, standing = floor.problem, floor.standing
    assert faults(problem, standing) == []
    if len(floor.chains) < len(planned.outlooks):  # blocked builds hold lanes in the plan and are left out here
        return
    caps = standing.lateness(problem)
    listed = search_orders(planned, floor, caps, 30, PLAIN).plan
    assert faults(problem, listed) == []
    assert listed.score(problem) <= standing.score(problem)
    if problem.tasks:
        windows = windows_of(problem, max(standing.end) + 100)
        solved = least_flow(problem, windows, caps, sum(caps), standing, Effort(seconds=5, work=0.2))
        assert solved.plan is None or faults(problem, solved.plan) == []


@pytest.mark.slow  # it compiles the loops first, where nobody has
def test_compiled_loops_keep_turns_as_the_plain_ones_do():
    loops = load_compiled()
    if loops is None:
        pytest.skip("numba is not installed")
    builds = tuple(build(number, [step("fit", number, "lift"), step("wire", 2)]) for number in range(1, 5))
    turns = (LONG_FIRST, Turn(build="B4", step="fit", then_build="B1", then_step="wire"))
    planned = planned_of(shop(builds=builds, turns=turns))
    floor = problem_of(planned)
    for order in ((0, 1, 2, 3), (3, 1, 0, 2), (2, 0, 1, 3)):
        plain, fast = (Laying(planned, floor, each).plan(order) for each in (PLAIN, loops))
        assert plain == fast
