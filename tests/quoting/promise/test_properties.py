"""What must hold in every shop: nothing twice, in order, for the hours, in opening hours, after the parts; and a new
build moves nobody."""

import math
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.promise import insert, line_of, prepare, work_out_promise
from quoting.promise.work import build_of
from quoting.request import DaySpan, OpenBuild, Option, ShopState
from quoting.result import BuildPlan, LinePlan
from tests.quoting.promise.random_shops import options, shops
from tests.quoting.promise.shops import DAY, NOW, WEEK, open_minutes, planned, request

SHOPS = settings(max_examples=30, deadline=None)


def working(line: LinePlan) -> list[BuildPlan]:
    return [plan for plan in line.builds if not plan.on_hold]


def leave_of(state: ShopState, name: str) -> tuple[DaySpan, ...]:
    return next((person.leave for person in state.people if person.name == name), ())


def down_of(state: ShopState, name: str) -> tuple[DaySpan, ...]:
    return next((bench.down for bench in state.benches if bench.name == name), ())


@SHOPS
@given(shops())
def test_no_bench_and_no_person_is_booked_twice(state: ShopState):
    line = planned(state)
    for lane in (*line.benches, *line.people):
        for before, after in pairwise(sorted(lane.bookings, key=lambda booking: (booking.start, booking.end))):
            assert before.end <= after.start, (lane.name, before, after)


@SHOPS
@given(shops())
def test_every_step_is_planned_once_and_after_the_step_before(state: ShopState):
    line = planned(state)
    for plan in working(line):
        build = next(build for build in state.builds if build.number == plan.number)
        assert plan.blocked == ""
        assert [step.code for step in plan.steps] == [step.code for step in build.steps]
        for before, after in pairwise(plan.steps):
            assert before.end <= after.start
    booked = [(booking.build, booking.step) for lane in line.people for booking in lane.bookings]
    assert sorted(booked) == sorted(
        (plan.number, step.code) for plan in working(line) for step in plan.steps if step.person
    )


@SHOPS
@given(shops())
def test_each_step_has_its_hours_in_opening_hours_while_its_person_is_there(state: ShopState):
    for plan in working(planned(state)):
        build = next(build for build in state.builds if build.number == plan.number)
        quarters, hours = 0, Decimal(0)
        for step, asked in zip(plan.steps, build.steps, strict=True):
            if asked.lead_days:
                continue
            begin = NOW.astimezone(step.start.tzinfo) if asked.started else step.start
            away = [*leave_of(state, step.person), *(down_of(state, step.bench) if asked.started else ())]
            worked = open_minutes(state, begin, step.end, away)
            assert worked % 15 == 0
            assert abs(worked - float(asked.likely_h) * 60) < 15
            quarters += worked // 15
            hours += asked.likely_h
        assert quarters >= math.ceil(hours * 4)
        if all(asked.likely_h % Decimal("0.25") == 0 for asked in build.steps):
            assert quarters == hours * 4


@SHOPS
@given(shops())
def test_work_begins_and_ends_in_opening_hours_and_not_in_leave_or_downtime(state: ShopState):
    for plan in working(planned(state)):
        for step in plan.steps:
            if step.person and step.waits_for != "under way":
                assert (
                    open_minutes(state, step.start, step.start + timedelta(minutes=15), leave_of(state, step.person))
                    == 15
                )
                assert (
                    open_minutes(state, step.end - timedelta(minutes=15), step.end, leave_of(state, step.person)) == 15
                )
                whole = open_minutes(state, step.start, step.end)
                assert open_minutes(state, step.start, step.end, down_of(state, step.bench)) == whole
                assert step.start >= NOW


@SHOPS
@given(shops())
def test_no_step_begins_before_its_parts_are_here(state: ShopState):
    for plan in working(planned(state)):
        starts = {step.code: step for step in plan.steps}
        for part in plan.parts:
            if part.origin != "stock" and part.step and part.ready:
                assert starts[part.step].start.date() >= part.ready
                assert part.ready >= DAY


@SHOPS
@given(shops())
def test_the_finish_is_the_last_end_and_the_slow_one_is_never_earlier(state: ShopState):
    for plan in working(planned(state)):
        last = max(step.end.date() for step in plan.steps)
        parts = [part.ready for part in plan.parts if part.ready and not part.step]
        assert plan.finish_from is not None
        assert plan.finish_to is not None
        assert plan.finish_from == last or (parts and max(parts) > last)
        assert plan.finish_to >= plan.finish_from


def positions(line: LinePlan, builds: tuple[OpenBuild, ...]) -> list[tuple[object, ...]]:
    known = {build.number for build in builds}
    return [
        (plan.number, plan.finish_from, plan.finish_to, plan.steps, plan.reasons, plan.held)
        for plan in line.builds
        if plan.number in known
    ]


@SHOPS
@given(shops(), options())
def test_one_more_build_moves_nobody_and_gets_what_it_was_told(state: ShopState, asked: Option):
    promise = work_out_promise(request(state, asked), asked)
    accepted = build_of(asked, "conversion", promise.place, "new")
    before, after = planned(state), planned(replace(state, builds=(*state.builds, accepted)))
    assert positions(after, state.builds) == positions(before, state.builds)
    plan = after.build("new")
    assert plan is not None
    assert (plan.place, plan.finish_from, plan.finish_to) == (promise.place, promise.finish_from, promise.finish_to)
    assert (plan.steps, plan.reasons, plan.headline, plan.parts) == (
        promise.steps,
        promise.reasons,
        promise.headline,
        promise.parts,
    )


@SHOPS
@given(shops(most_builds=4), options(), options())
def test_trying_options_leaves_no_trace(state: ShopState, first: Option, second: Option):
    shop = prepare(request(state, first, second))
    line = line_of(shop)
    answers = [insert(shop, first), insert(shop, second), insert(shop, first)]
    assert answers[0] == answers[2] == work_out_promise(request(state, first), first)
    assert answers[1] == work_out_promise(request(state, second), second)
    assert line_of(shop) == line == planned(state)


@SHOPS
@given(shops(), options())
def test_a_build_taken_off_again_leaves_every_lane_as_it_was(state: ShopState, asked: Option):
    before = prepare(request(state, asked))
    promise = insert(before, asked)
    accepted = build_of(asked, "conversion", promise.place, "new")
    after = prepare(request(replace(state, builds=(*state.builds, accepted)), asked))
    for pace, floor in before.floors.items():
        for name in ("people", "benches"):
            lanes, now = getattr(floor, name), getattr(after.floors[pace], name)
            assert [list(now[each].without("new")) for each in lanes] == [list(lanes[each].taken) for each in lanes]


@SHOPS
@given(shops(), options(), st.randoms(use_true_random=False))
def test_the_order_of_the_records_changes_nothing(state: ShopState, asked: Option, random):
    mixed: dict[str, Any] = {}
    for name in ("people", "benches", "builds", "receipts", "stock", "supplies"):
        rows = list(getattr(state, name))
        random.shuffle(rows)
        mixed[name] = tuple(rows)
    shuffled = replace(state, **mixed)
    assert planned(shuffled).builds == planned(state).builds
    assert work_out_promise(request(shuffled, asked), asked) == work_out_promise(request(state, asked), asked)


@SHOPS
@given(shops(), options())
def test_no_alternative_is_later_than_the_promise_and_reasons_end_at_the_finish(state: ShopState, asked: Option):
    promise = work_out_promise(request(state, asked), asked)
    assert promise.finish_from is not None
    for alternative in promise.alternatives:
        assert alternative.finish <= promise.finish_from
        assert alternative.days_earlier == (promise.finish_from - alternative.finish).days
    days = [reason.until for reason in promise.reasons if reason.until and reason.kind != "closed"]
    assert days == sorted(days)
    assert all(day <= promise.finish_from for day in days)


def test_the_oracle_of_open_time_is_right_itself():
    # Monday 10:00 to Tuesday 9:30 is 2 + 4 + 1.5 hours; without Tuesday it is 6
    state = ShopState(zone="UTC", openings=WEEK)
    begin, end = datetime(2027, 3, 1, 10), datetime(2027, 3, 2, 9, 30)  # noqa: DTZ001
    assert open_minutes(state, begin, end) == 450
    assert open_minutes(state, begin, end, [DaySpan(first=end.date(), last=end.date())]) == 360
