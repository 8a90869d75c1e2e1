"""Small shops planned by hand: who does what, on which bench, from when to when."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from quoting.request import Bench, OpenBuild, Person, ShopState
from quoting.result import BuildPlan
from tests.quoting.promise.shops import at, build, due, march, need, off, plan_of, planned, shop, step, times

TWO_LIFTS = (Bench(name="Lift 1", bench_type="lift"), Bench(name="Lift 2", bench_type="lift"))
ANA = Person(name="Ana", skills=("wiring", "welding"))
BO = Person(name="Bo", skills=("wiring",))


def builds(state: ShopState) -> tuple[BuildPlan, ...]:
    return planned(state).builds


def test_one_bench_and_one_person_take_builds_in_order_of_their_places():
    first, second = builds(shop(builds=(build(2, [step("fit", 6, "lift")]), build(1, [step("fit", 8, "lift")]))))
    assert times(first.steps) == [("fit", at(1, 8), at(1, 17))]
    assert times(second.steps) == [("fit", at(2, 8), at(2, 15))]  # 4 h to noon, 2 h from 13:00
    assert (first.number, first.finish_from, second.finish_from) == ("B1", march(1), march(2))


def test_steps_follow_each_other_over_the_weekend():
    (only,) = builds(shop(builds=(build(1, [step("weld", 37, "lift"), step("wire", 4)]),)))
    # 37 h is Monday to Thursday and 5 h of Friday: until 14:00; wiring takes 3 h on Friday and 1 h on Monday.
    assert times(only.steps) == [("weld", at(1, 8), at(5, 14)), ("wire", at(5, 14), at(8, 9))]
    assert [(each.bench, each.person) for each in only.steps] == [("Lift", "Ana"), ("", "Ana")]


def test_a_later_build_goes_into_the_gap_an_earlier_one_leaves():
    waiting = build(1, [step("strip", 4, "lift"), step("fit", 4, "lift")], [need("motor", "fit")])
    alone = shop(builds=(waiting,), receipts=(due("motor", "1", march(4)),))
    first, second = builds(replace(alone, builds=(waiting, build(2, [step("fit", 20, "lift")]))))
    assert times(first.steps) == [("strip", at(1, 8), at(1, 12)), ("fit", at(4, 8), at(4, 12))]
    assert times(second.steps) == [("fit", at(1, 13), at(3, 17))]  # 4 + 8 + 8 h, just before the motor is here
    assert first == builds(alone)[0]


def test_a_step_too_long_for_the_gap_comes_after():
    waiting = build(1, [step("fit", 4, "lift")], [need("motor", "fit")])
    state = shop(builds=(waiting, build(2, [step("fit", 25, "lift")])), receipts=(due("motor", "1", march(4)),))
    assert times(builds(state)[1].steps) == [("fit", at(4, 13), at(9, 14))]  # 4 + 8 + 8 + 5 h


def test_the_earliest_end_wins_over_every_person_and_bench():
    away = replace(ANA, leave=(off(march(1), march(2)),))
    state = shop(
        benches=TWO_LIFTS, people=(away, BO), builds=tuple(build(n, [step("fit", 8, "lift")]) for n in (1, 2, 3))
    )
    found = [(plan.steps[0].person, plan.steps[0].bench, plan.steps[0].start) for plan in builds(state)]
    # Bo is alone on Monday and Tuesday; on Wednesday Ana is back, and Bo, with fewer skills, is asked first.
    assert found == [("Bo", "Lift 1", at(1, 8)), ("Bo", "Lift 1", at(2, 8)), ("Bo", "Lift 1", at(3, 8))]


def test_on_a_tie_the_one_with_fewer_skills_works_and_then_the_name_decides():
    state = shop(
        people=(Person(name="Cy", skills=("wiring",)), ANA, BO), builds=(build(1, [step("wire", 1, skill="wiring")]),)
    )
    assert builds(state)[0].steps[0].person == "Bo"


def test_only_someone_with_the_skill_works_on_a_step():
    state = shop(
        people=(ANA, BO), builds=(build(1, [step("weld", 8, skill="welding"), step("wire", 8, skill="wiring")]),)
    )
    assert [each.person for each in builds(state)[0].steps] == ["Ana", "Bo"]


def test_work_stands_still_while_its_person_is_away_and_the_bench_stays_occupied():
    state = shop(
        people=(replace(ANA, leave=(off(march(2)),)), replace(BO, leave=(off(march(1)),))),
        builds=(build(1, [step("weld", 12, "lift", "welding")]), build(2, [step("wire", 8, "lift", "wiring")])),
    )
    first, second = builds(state)
    assert times(first.steps) == [("weld", at(1, 8), at(3, 12))]  # 8 h, away on Tuesday, 4 h
    assert times(second.steps) == [("wire", at(3, 13), at(4, 12))]


def test_work_does_not_start_while_its_person_is_away():
    state = shop(
        people=(replace(ANA, leave=(off(march(1)),)),), builds=(build(1, [step("weld", 4, "lift", "welding")]),)
    )
    assert times(builds(state)[0].steps) == [("weld", at(2, 8), at(2, 12))]


def test_work_that_ends_when_leave_begins_is_not_drawn_out():
    state = shop(people=(replace(ANA, leave=(off(march(2)),)),), builds=(build(1, [step("weld", 8, "lift")]),))
    assert times(builds(state)[0].steps) == [("weld", at(1, 8), at(1, 17))]


def test_a_bench_that_is_down_is_not_worked_on_and_its_like_takes_over():
    down = replace(TWO_LIFTS[0], down=(off(march(2), march(3)),))
    long, short = step("fit", 12, "lift"), step("fit", 8, "lift")
    assert builds(shop(benches=(down, TWO_LIFTS[1]), builds=(build(1, [long]),)))[0].steps[0].bench == "Lift 2"
    assert times(builds(shop(benches=(down,), builds=(build(1, [long]),)))[0].steps) == [("fit", at(4, 8), at(5, 12))]
    assert times(builds(shop(benches=(down,), builds=(build(1, [short]),)))[0].steps) == [("fit", at(1, 8), at(1, 17))]


def test_when_the_bench_is_free_its_person_may_be_taken_or_away():
    # B1: Bo has the lift on Monday. B2: Ana takes 8 h without a bench once the gear is here on Tuesday. B3 needs Ana on
    # the lift for 5 h: Monday the lift is Bo's, Tuesday Ana is B2's, so Wednesday; away then, it is Thursday.
    builds_in_line = (
        build(1, [step("wire", 8, "lift", "wiring")]),
        build(2, [step("weld", 8, "", "welding")], [need("gear", "weld")]),
        build(3, [step("weld", 5, "lift", "welding")]),
    )
    state = shop(people=(ANA, BO), builds=builds_in_line, receipts=(due("gear", "1", march(2)),))
    assert builds(state)[2].steps[0].start == at(3, 8)
    away = replace(state, people=(replace(ANA, leave=(off(march(3)),)), BO))
    assert builds(away)[2].steps[0].start == at(4, 8)


def test_two_steps_under_way_on_one_bench_are_done_one_after_the_other():
    later = datetime(2027, 2, 26, 20, tzinfo=UTC)
    second = build(1, [step("fit", 2, "lift", started=later, person="Bo", bench="Lift")])
    line = planned(shop(people=(ANA, BO), builds=(second, started("fit", 3, "Ana", "Lift"))))
    assert [plan_of(line, number).steps[0].end for number in ("B9", "B1")] == [at(1, 11), at(1, 14)]
    third = build(2, [step("x", 1, "lift", "wiring")])
    line = planned(shop(people=(ANA, BO), builds=(second, third, started("fit", 3, "Ana", "Lift"))))
    assert plan_of(line, "B2").steps[0].start == at(1, 14)


def started(code: str, hours: float, person: str, bench: str = "", **fields: Any) -> OpenBuild:
    begun = datetime(2027, 2, 26, 14, tzinfo=UTC)
    return build(9, [step(code, hours, "lift", started=begun, person=person, bench=bench), step("test", 1)], **fields)


def test_work_under_way_keeps_its_start_its_person_and_its_bench_even_against_the_first_in_line():
    state = shop(
        benches=TWO_LIFTS,
        people=(ANA, BO),
        builds=(build(1, [step("fit", 8, "lift", "welding")]), started("fit", 6, "Ana", "Lift 2")),
    )
    first, running = builds(state)
    assert times(running.steps)[0] == ("fit", at(26, 9, month=2), at(1, 15))
    assert (running.steps[0].person, running.steps[0].bench, running.steps[0].waits_for) == (
        "Ana",
        "Lift 2",
        "under way",
    )
    assert times(first.steps) == [("fit", at(1, 15), at(2, 15))]


def test_work_under_way_stands_still_for_leave_and_downtime_and_keeps_its_bench():
    state = shop(
        benches=(replace(TWO_LIFTS[0], name="Lift", down=(off(march(2)),)),),
        people=(replace(ANA, leave=(off(march(1)),)), BO),
        builds=(started("fit", 4, "Ana", "Lift"), replace(build(1, [step("wire", 1, "lift", "wiring")]), place=10)),
    )
    running, other = builds(state)
    assert times(running.steps)[0] == ("fit", at(26, 9, month=2), at(3, 12))
    assert times(other.steps) == [("wire", at(3, 13), at(3, 14))]


def test_two_steps_under_way_with_one_person_are_done_one_after_the_other():
    later = datetime(2027, 2, 26, 20, tzinfo=UTC)
    second = build(1, [step("fit", 2, "lift", started=later, person="Ana", bench="Lift 2")])
    running = started("fit", 3, "Ana", "Lift 1")
    first = build(10, [step("x", 1, "lift", "wiring")], place=0)
    state = shop(benches=TWO_LIFTS, people=(ANA, BO), builds=(second, running, first))
    ends = {plan.number: plan.steps[0].end for plan in builds(state)}
    # B9 was started first: to 11:00; then B1 to 14:00, its lift occupied from the morning on
    assert ends["B9"] == at(1, 11)
    assert ends["B1"] == at(1, 14)
    assert plan_of(planned(state), "B10").steps[0].start == at(1, 11)


def test_someone_who_has_left_is_replaced():
    running = builds(shop(people=(BO,), builds=(started("fit", 4, "Ana", "Lift"),)))[0]
    assert (running.steps[0].person, running.steps[0].end) == ("Bo", at(1, 12))


@pytest.mark.parametrize(
    ("lead_days", "back"),
    [(10, at(12, 8)), (4, at(8, 8)), (21, at(23, 13))],
    ids=["back on a Friday", "back on a Saturday: goes on Monday", "bench taken on Monday"],
)
def test_outside_work_takes_calendar_days_and_nobody(lead_days, back):
    # strip Monday and Tuesday morning; the frame leaves on Tuesday 2 March
    steps = [step("strip", 12, "lift"), step("paint", 0, lead_days=lead_days), step("fit", 4, "lift")]
    blocker = build(2, [step("x", 12, "lift")], [need("gear", "x")], place=0)
    state = shop(builds=(build(1, steps), blocker), receipts=(due("gear", "1", march(22)),))
    plan = plan_of(planned(state), "B1")
    assert [(each.code, each.person, each.bench) for each in plan.steps][1] == ("paint", "", "")
    assert plan.steps[1].start == at(2, 13)
    assert plan.steps[2].start == back


def test_outside_work_under_way_comes_back_on_its_day_and_overdue_on_the_next_working_day():
    def gone(lead_days: int) -> OpenBuild:
        left = datetime(2027, 2, 22, 20, tzinfo=UTC)
        return build(1, [step("paint", 0, lead_days=lead_days, started=left), step("fit", 1, "lift")])

    assert builds(shop(builds=(gone(10),)))[0].steps[1].start == at(4, 8)
    assert builds(shop(builds=(gone(7),)))[0].steps[1].start == at(1, 8)  # due today
    assert builds(shop(builds=(gone(5),)))[0].steps[1].start == at(2, 8)
    at_ten = planned(shop(builds=(gone(7),)), now=datetime(2027, 3, 1, 15, tzinfo=UTC))
    assert at_ten.builds[0].steps[1].start == at(1, 10)  # due today, but this morning is over


def test_a_finish_on_outside_work_is_the_day_it_is_back():
    (plan,) = builds(shop(builds=(build(1, [step("strip", 8, "lift"), step("paint", 0, lead_days=4)]),)))
    # stripped by Monday evening, so it leaves on Tuesday 2 March and is back on Saturday 6: seen on Monday
    assert plan.finish_from == march(8)


def test_rounding_to_quarters_is_carried_and_not_paid_at_every_step():
    (plan,) = builds(shop(builds=(build(1, [step(f"s{n}", "1.1", "lift") for n in range(4)]),)))
    # 4.4, 8.8, 13.2, 17.6 quarters, rounded up 5, 9, 14, 18: steps of 5, 4, 5 and 4 quarters, 4.5 h for 4.4 h
    assert [each.end for each in plan.steps] == [at(1, 9, 15), at(1, 10, 15), at(1, 11, 30), at(1, 13, 30)]


def test_a_step_without_hours_takes_no_time_and_nobody():
    (plan,) = builds(shop(builds=(build(1, [step("strip", 8, "lift"), step("photos", 0, "darkroom", "photos")]),)))
    assert plan.steps[1].start == plan.steps[1].end
    assert (plan.steps[1].person, plan.finish_from) == ("", march(1))


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ([step("weld", 1, "lift", "gilding")], "Nobody has the skill gilding, which the step weld needs."),
        ([step("weld", 1, "spray_booth")], "There is no spray booth bench, which the step weld needs."),
        ([step("paint", 0, lead_days=9000)], "longer than ten years"),
        ([step("weld", 1_000_000)], "ten years"),
    ],
)
def test_what_the_shop_can_never_do_blocks_that_build_alone(steps, said):
    plans = builds(shop(builds=(build(1, [step("strip", 1, "lift"), *steps]), build(2, [step("fit", 1, "lift")]))))
    assert said in plans[0].blocked
    assert (plans[0].finish_from, plans[0].finish_to) == (None, None)
    assert plans[0].reasons[0].text in plans[0].headline
    assert plans[1].finish_from == march(1)


def test_someone_away_for_good_finds_no_time():
    gone = replace(ANA, leave=(off(march(1), date(2099, 1, 1)),))
    plan = builds(shop(people=(gone,), builds=(build(1, [step("weld", 1)]),)))[0]
    assert "finds no free time within ten years" in plan.blocked


def test_a_shop_without_people_says_so():
    assert "Nobody works here" in builds(shop(people=(), builds=(build(1, [step("weld", 1)]),)))[0].blocked


def test_planning_begins_with_the_next_quarter_of_an_hour():
    late = planned(shop(builds=(build(1, [step("fit", 1)]),)), now=datetime(2027, 3, 1, 14, 7, tzinfo=UTC))
    assert late.builds[0].steps[0].start == at(1, 9, 15)
    evening = planned(shop(builds=(build(1, [step("fit", 1)]),)), now=datetime(2027, 3, 1, 23, tzinfo=UTC))
    assert evening.builds[0].steps[0].start == at(2, 8)
    ahead = planned(shop(builds=(build(1, [step("fit", 1)]),)), day=march(4))
    assert ahead.builds[0].steps[0].start == at(4, 8)
