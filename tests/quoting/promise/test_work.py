"""A build's steps as tasks at both paces, and an option seen as a build."""

from dataclasses import replace
from decimal import Decimal

import pytest

from quoting.promise.work import KIT, Pace, build_of, step_hours, tasks_of, wanting_step
from tests.quoting.promise.shops import NOW, build, need, option, part, step, work

D = Decimal


def test_likely_hours_are_the_likely_ones_and_slow_ones_lie_at_the_80th_percentile():
    asked = step("fit", 4, low_h=D(4), high_h=D(10))
    assert step_hours(asked, Pace.LIKELY) == 4
    # PERT with the mode at the low end is the beta distribution (1, 5): 1 - (1 - x)^5 = 0.8, x = 1 - 0.2^(1/5)
    assert float(step_hours(asked, Pace.SLOW)) == pytest.approx(4 + 6 * (1 - 0.2**0.2), abs=1e-4)


def test_one_figure_alone_is_the_same_at_both_paces():
    assert [step_hours(step("fit", 4), pace) for pace in Pace] == [4, 4]


def test_slow_is_never_below_likely():
    # the mode at the high end: the 80th percentile of (5, 1) is 10 * 0.8^(1/5) = 9.56, below the likely 10
    assert step_hours(step("fit", 10, low_h=D(0), high_h=D(10)), Pace.SLOW) == 10


@pytest.mark.parametrize(("low", "likely", "high"), [(9, 4, 6), (5, 4, 3), (-2, 0, 1), (0, -4, 0)])
def test_an_estimate_out_of_order_is_widened_and_never_negative(low, likely, high):
    asked = step("fit", likely, low_h=D(low), high_h=D(high))
    assert 0 <= step_hours(asked, Pace.LIKELY) <= step_hours(asked, Pace.SLOW)


def test_quarters_are_rounded_up_once_for_the_build_and_no_step_is_off_by_a_whole_one():
    tiny = build(1, [*(step(f"s{n}", "0.1") for n in range(4)), step("fit", 2), step("test", "1.1")])
    # least 1 each for 0.1 h; 2 h stays 8; up to the end 3.5 h is 14 quarters, 12 given: but 1.1 h has at least 4
    assert [task.slots for task in tasks_of(tiny, Pace.LIKELY)] == [1, 1, 1, 1, 8, 4]


def test_outside_work_and_steps_without_hours_take_no_slots():
    tasks = tasks_of(build(1, [step("paint", 8, lead_days=5), step("photos", 0)]), Pace.SLOW)
    assert [(task.slots, task.outside) for task in tasks] == [(0, True), (0, False)]


def test_a_part_is_wanted_by_the_first_step_that_names_its_kind():
    asked = option(
        part("M1"),
        part("C1", "controller"),
        part("T1", "tire"),
        work("paint", 0, lead_days=3),
        work("talk", 1),
        work("fit", 1, "lift", needs=("motor",)),
        work("wire", 1, "lift", needs=("controller", "motor")),
    )
    made = build_of(asked, "conversion", 4)
    assert [(each.code, each.step) for each in made.needs] == [("M1", "fit"), ("C1", "wire"), ("T1", "")]
    # nobody names the tire: the careful reading is the first step on a bench
    assert [wanting_step(made, each) for each in made.needs] == [2, 3, 2]
    assert (made.place, made.number) == (4, "")


def test_hours_set_by_hand_are_the_likely_ones_and_the_spread_goes_with_them():
    line = replace(work("fit", 4, low_h=D(2), high_h=D(10)), hours=D(6))
    (made,) = build_of(option(line), "conversion", 1).steps
    assert (made.low_h, made.likely_h, made.high_h) == (D(3), D(6), D(15))
    (bare,) = build_of(option(replace(line, low_h=D(0), likely_h=D(0), high_h=D(0))), "conversion", 1).steps
    assert (bare.low_h, bare.likely_h, bare.high_h) == (D(0), D(6), D(0))


def test_a_parts_kit_has_no_steps():
    made = build_of(option(part("M1"), work("fit", 1)), KIT, 1)
    assert made.steps == ()
    assert wanting_step(made, made.needs[0]) == 0


def test_what_a_step_under_way_still_lacks_holds_up_what_comes_after():
    running = build(1, [step("fit", 1, "lift", started=NOW), step("wire", 1, "lift")], [need("motor", "fit")])
    assert wanting_step(running, running.needs[0]) == 1
    last = replace(running, steps=running.steps[:1])
    assert wanting_step(last, last.needs[0]) == 1  # past the last step: it holds up the finish
