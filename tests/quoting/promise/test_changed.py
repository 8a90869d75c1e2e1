"""A running build as a change order would make it, and when it is then finished."""

from dataclasses import replace
from decimal import Decimal

import pytest

from quoting.errors import RequestError
from quoting.promise import changed_build, prepare, standing, work_out_promise
from tests.quoting.promise.shops import (
    NO_HANDLING,
    NOW,
    build,
    lead,
    march,
    need,
    option,
    part,
    request,
    shop,
    step,
    work,
)

D = Decimal
AGREED = option(part("M1"), work("strip", 8, "lift", needs=()), work("fit", 8, "lift", needs=("motor",)))


def test_steps_that_are_done_and_parts_that_were_issued_are_asked_for_no_more():
    left = build(1, [step("fit", 8, "lift")])
    made = changed_build(left, AGREED, AGREED, "conversion", done={"strip"}, issued={"M1": D(1)})
    assert (made.steps, made.needs, made.place) == (left.steps, (), 1)


def test_a_new_step_and_a_new_part_are_asked_for():
    wanted = option(*AGREED.parts, part("C1", "charger", "2"), *AGREED.steps, work("paint", 4, needs=("charger",)))
    made = changed_build(build(1, AGREED_STEPS), AGREED, wanted, "conversion")
    assert [each.code for each in made.steps] == ["strip", "fit", "paint"]
    assert [(each.code, each.quantity, each.step) for each in made.needs] == [
        ("M1", D(1), "fit"),
        ("C1", D(2), "paint"),
    ]


AGREED_STEPS = [step("strip", 8, "lift"), step("fit", 8, "lift")]


def test_what_is_left_of_a_step_under_way_changes_by_as_much_as_its_estimate():
    # Fit was 8 h, 5 are left; now it is 12: 4 more, 9 left. At 2 it would be less than nothing: a quarter of an hour.
    running = build(1, [step("fit", 5, "lift", started=NOW, person="Ana", bench="Lift")])
    for hours, left in ((12, D(9)), (2, D("0.25"))):
        wanted = option(*AGREED.parts, AGREED.steps[0], work("fit", hours, "lift", needs=("motor",)))
        (made,) = changed_build(running, AGREED, wanted, "conversion", done={"strip"}).steps
        assert (made.likely_h, made.started, made.person) == (left, NOW, "Ana")


def test_a_paused_step_keeps_the_hours_it_has_had():
    paused = build(1, [step("fit", 3, "lift")])
    wanted = option(*AGREED.parts, AGREED.steps[0], work("fit", 10, "lift", needs=("motor",)))
    (made,) = changed_build(paused, AGREED, wanted, "conversion", done={"strip"}).steps
    assert made.likely_h == D(5)  # 3 left of 8, and 2 more


def test_a_step_under_way_that_is_taken_off_stays_until_it_is_finished():
    running = build(1, [step("strip", 2, "lift", started=NOW, person="Ana", bench="Lift"), step("fit", 8, "lift")])
    made = changed_build(running, AGREED, option(*AGREED.parts, AGREED.steps[1]), "conversion")
    assert [each.code for each in made.steps] == ["strip", "fit"]


def test_a_changed_build_is_finished_from_its_own_place():
    """One bench, 8 h a day. B1 has 8 h, B2 8 h, B3 8 h: B2 is done on Tuesday the 2nd. With 8 h more it is the 3rd."""
    others = [build(1, [step("fit", 8, "lift")]), build(3, [step("fit", 8, "lift")])]
    for hours, day in ((8, 2), (16, 3)):
        asked = option(work("fit", hours, "lift"))
        state = shop(builds=(others[0], build(2, [step("fit", hours, "lift")]), others[1]))
        promise = work_out_promise(replace(request(state, asked, policies=NO_HANDLING), changes="B2"), asked)
        assert (promise.place, promise.finish_from) == (2, march(day))
        assert promise.alternatives == ()


def test_a_part_to_order_holds_it_up():
    state = shop(builds=(build(1, [step("fit", 8, "lift")], [need("M1", "fit")]),), supplies=(lead("M1", 7),))
    asked = option(part("M1"), work("fit", 8, "lift"))
    promise = standing(prepare(replace(request(state, asked, policies=NO_HANDLING), changes="B1")), "B1")
    assert promise.finish_from == march(8)  # a week from Monday the 1st, done the same day
    assert [each.origin for each in promise.parts] == ["to_order"]


def test_a_build_on_hold_has_no_date_and_an_unknown_one_is_refused():
    state = shop(builds=(build(1, [step("fit", 8, "lift")], on_hold=True),))
    planned = prepare(request(state, option(work("fit", 8, "lift")), policies=NO_HANDLING))
    assert "on hold" in standing(planned, "B1").blocked
    with pytest.raises(RequestError, match="not in line"):
        standing(planned, "B9")
