"""A step somebody has put before another build's step, whatever their places in line."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quoting.promise import prepare_shop
from quoting.promise.odds import Dice, simulate_line
from quoting.promise.odds.engine import PLAIN
from quoting.promise.turns import laying_order
from quoting.request import OpenBuild, Turn
from tests.quoting.promise.shops import DAY, NO_HANDLING, NOW, at, build, due, march, need, plan_of, planned, shop, step

FIT, WIRE = step("fit", 8, "lift"), step("wire", 8, "lift")


def turn(first: str, then: str) -> Turn:
    """turn("B2.fit", "B1.wire"): B2's fit before B1's wire."""
    return Turn(
        **dict(zip(("build", "step", "then_build", "then_step"), [*first.split("."), *then.split(".")], strict=True))
    )


def pieces(builds: list[OpenBuild], *turns: Turn) -> list[tuple[str, int]]:
    return [(each.number, upto) for each, upto in laying_order(builds, turns)]


def test_without_turns_builds_are_laid_whole_in_order_of_the_line():
    line = [build(1, [FIT, WIRE]), build(2, [FIT]), build(3, [])]
    assert pieces(line) == [("B1", 2), ("B2", 1), ("B3", 0)]


def test_a_turn_brings_its_step_and_those_that_lead_to_it_before_the_other_step_only():
    line = [build(1, [FIT, WIRE]), build(2, [FIT]), build(3, [FIT, WIRE])]
    assert pieces(line, turn("B3.fit", "B1.wire")) == [("B1", 1), ("B3", 1), ("B1", 2), ("B2", 1), ("B3", 2)]
    assert pieces(line, turn("B3.wire", "B2.fit")) == [("B1", 2), ("B3", 2), ("B2", 1)]


def test_a_ring_of_turns_is_cut_and_every_build_is_laid_once_whole():
    line = [build(1, [FIT, WIRE]), build(2, [FIT, WIRE])]
    made = pieces(line, turn("B2.fit", "B1.fit"), turn("B1.wire", "B2.fit"))
    assert made == [("B2", 1), ("B1", 2), ("B2", 2)]  # the second turn would close the ring


@pytest.mark.parametrize("said", ["B1.fit B1.wire", "B9.fit B1.fit", "B2.weld B1.fit"])
def test_a_turn_of_one_build_or_of_a_step_that_is_gone_counts_for_nothing(said: str):
    line = [build(1, [FIT, WIRE]), build(2, [FIT])]
    assert pieces(line, turn(*said.split())) == pieces(line)


def test_a_turn_counts_for_nothing_once_either_step_has_started():
    begun = replace(FIT, started=NOW)
    turns = turn("B2.fit", "B1.fit")
    for line in ([build(1, [begun, WIRE]), build(2, [FIT])], [build(1, [FIT, WIRE]), build(2, [begun])]):
        assert pieces(line, turns) == pieces(line)


def test_the_second_build_goes_first_when_it_has_its_turn():
    """One lift, eight hours each, from Monday 1 March 8:00: B2 is done on Monday, B1 on Tuesday; by the line it is the
    other way round."""
    builds = (build(1, [FIT]), build(2, [FIT]))
    before, after = planned(shop(builds=builds)), planned(shop(builds=builds, turns=(turn("B2.fit", "B1.fit"),)))
    assert [plan_of(before, number).finish_from for number in ("B1", "B2")] == [march(1), march(2)]
    assert [plan_of(after, number).finish_from for number in ("B1", "B2")] == [march(2), march(1)]
    assert [plan.number for plan in after.builds] == ["B1", "B2"]  # places stay
    (lift,) = after.benches
    assert [(each.build, each.start) for each in lift.bookings] == [("B2", at(1, 8)), ("B1", at(2, 8))]


def test_parts_stay_pegged_in_order_of_the_line():
    """One motor comes on 9 March. It is B1's, whatever turn B2's fitting has."""
    motor = [need("motor", "fit")]
    builds = (build(1, [FIT], motor), build(2, [FIT]))
    state = shop(builds=builds, receipts=(due("motor", "1", march(9), "PO-3"),), turns=(turn("B2.fit", "B1.fit"),))
    (part,) = plan_of(planned(state), "B1").parts
    assert part.order == "PO-3"


def test_a_step_that_waits_does_not_stop_the_bench_for_its_turn():
    """B2's fitting waits for a motor until 9 March: B1 goes on to the lift on Monday all the same."""
    builds = (build(1, [FIT]), build(2, [FIT], [need("motor", "fit")]))
    state = shop(builds=builds, receipts=(due("motor", "1", march(9), "PO-3"),), turns=(turn("B2.fit", "B1.fit"),))
    assert plan_of(planned(state), "B1").finish_from == march(1)


def test_one_step_of_a_build_in_the_middle_is_put_off():
    """B1 fits on Monday and wires on Wednesday: B2's fitting has its turn on Tuesday, between them."""
    builds = (build(1, [FIT, WIRE]), build(2, [FIT]))
    line = planned(shop(builds=builds, turns=(turn("B2.fit", "B1.wire"),)))
    (lift,) = line.benches
    assert [(each.build, each.step) for each in lift.bookings] == [("B1", "fit"), ("B2", "fit"), ("B1", "wire")]
    assert (plan_of(line, "B1").finish_from, plan_of(line, "B2").finish_from) == (march(3), march(2))


def test_the_simulated_shop_keeps_turns_too():
    """Hours without spread: each run is the plan, B2 on Monday and B1 on Tuesday; without the turn the reverse."""
    dice = Dice(4, hours_spread=0.0)
    builds = (build(1, [FIT]), build(2, [FIT]))
    found = []
    for turns in ((), (turn("B2.fit", "B1.fit"),)):
        state = shop(builds=builds, turns=turns)
        odds = simulate_line(prepare_shop(state, NOW, DAY, NO_HANDLING), dice, PLAIN)
        found.append([odds[number].p80 for number in ("B1", "B2")])
    assert found == [[march(1), march(2)], [march(2), march(1)]]
