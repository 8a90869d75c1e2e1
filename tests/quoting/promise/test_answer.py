"""The counter's answer: every kind of job, what blocks it, both days, and the alternatives."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quoting.errors import CalendarError
from quoting.promise import prepare, work_out_promise
from quoting.promise.answer import outlook_of
from quoting.promise.work import Pace
from quoting.request import Bench, Option, Person, Policies, ShopState
from quoting.result import Promise
from tests.quoting.promise.shops import (
    DAY,
    NO_HANDLING,
    build,
    due,
    lead,
    march,
    need,
    off,
    option,
    part,
    request,
    shop,
    step,
    stock,
    work,
)


def answer(state: ShopState, *lines, policies: Policies = NO_HANDLING, job: str = "conversion") -> Promise:
    asked = option(*lines)
    return work_out_promise(request(state, asked, policies=policies, job=job), asked)


def said(promise: Promise) -> list[str]:
    return [each.text for each in promise.alternatives]


def test_an_empty_shop_starts_today():
    promise = answer(shop(), work("fit", 12, "lift"))
    assert (promise.place, promise.finish_from, promise.finish_to) == (1, march(2), march(2))
    assert promise.headline == "March 2 because the work takes 12 hours from March 1."
    assert [reason.text for reason in promise.reasons] == [
        "Everything is here; work can start March 1.",
        "Then 12 hours of work, fit, to March 2.",
    ]
    assert promise.alternatives == ()


def test_its_place_is_behind_every_build_not_handed_over_also_those_on_hold():
    state = shop(
        builds=(build(3, [step("fit", 8, "lift")]), build(7, [step("fit", 8, "lift")], on_hold=True)), revision=12
    )
    promise = answer(state, work("fit", 8, "lift"))
    assert (promise.place, promise.finish_from, promise.revision) == (8, march(2), 12)


def test_the_last_day_takes_slow_hours_and_slow_parts_of_every_build():
    # Likely: B1 8 h, then ours 8 h on Tuesday. Slow: (8, 8, 16) at the 80th percentile is 8 + 8 (1 - 0.2^0.2) = 10.2
    # hours, 41 quarters or 10.25 h: B1 to Tuesday 10:15, ours from the slow motor (Friday 5, 8:00) to Monday 10:15.
    spread: dict[str, Any] = {"low_h": Decimal(8), "high_h": Decimal(16)}
    state = shop(builds=(build(1, [step("fit", 8, "lift", **spread)]),), supplies=(lead("motor", 1, 4),))
    promise = answer(state, part("motor"), work("fit", 8, "lift", needs=("motor",), **spread))
    assert (promise.finish_from, promise.finish_to) == (march(2), march(8))
    assert promise.headline.endswith("With slow parts and slow hours March 8.")
    assert "slow parts and slow hours" in promise.method
    assert "80th percentile of its own estimate" in promise.method
    assert "behind 1 open build that" in promise.method


def test_the_last_day_is_never_before_the_first_though_slow_work_ahead_may_leave_a_better_gap():
    # Likely: B1 strips 4 h and has the press from noon on, so our 5 h on it come after its 8 h: from Tuesday noon to
    # Wednesday. Slow: it strips 4 + 15.23 (1 - 0.2^0.2) = 8.2 h, so our 5 h fit before it on Monday: Graham's anomaly.
    strip = step("strip", 4, "lift", low_h=Decimal(4), high_h=Decimal("19.23"))
    state = shop(
        benches=(Bench(name="Lift", bench_type="lift"), Bench(name="Press", bench_type="press")),
        people=(Person(name="Ana"), Person(name="Bo")),
        builds=(build(1, [strip, step("bend", 8, "press")]),),
    )
    asked = option(work("bend", 5, "press"))
    laid = outlook_of(prepare(request(state, asked)), asked).laid
    assert (laid[Pace.LIKELY].finish, laid[Pace.SLOW].finish) == (march(3), march(1))
    promise = work_out_promise(request(state, asked), asked)
    assert (promise.finish_from, promise.finish_to) == (march(3), march(3))


def test_the_motor_and_then_the_bench_decide():
    first = build(1, [step("wire", 20, "electric")], [need("gear", "wire")])
    state = shop(
        benches=(Bench(name="Electric bench", bench_type="electric"),),
        people=(Person(name="Ana"), Person(name="Bo")),
        builds=(first,),
        receipts=(due("gear", "1", march(18)),),
        supplies=(lead("Hub motor", 17),),
    )
    promise = answer(state, part("Hub motor"), work("Wiring", 12, "electric", needs=("motor",)))
    # Motor: 1 + 17 = 18 March, Thursday. B1 has the bench for 20 h: Thursday, Friday, Monday to 12:00. Wiring 4 h on
    # Monday 22, 8 h on Tuesday.
    assert promise.headline == (
        "March 23 because the hub motor arrives March 18, then wiring waits for the electric bench until March 22."
    )
    assert [(reason.kind, reason.code, reason.until) for reason in promise.reasons] == [
        ("lead", "Hub motor", march(18)),
        ("part", "Hub motor", march(18)),
        ("bench", "Electric bench", march(22)),
        ("step", "Wiring", march(23)),
    ]
    assert promise.reasons[2].text == "Wiring waits for the electric bench until March 22; build B1 is first."
    assert promise.steps[0].waits_for == "the electric bench until March 22"
    assert said(promise) == [
        "With the hub motor on the shelf: March 2, 21 days earlier.",
        "With one more electric bench: March 19, 4 days earlier.",
    ]


def test_one_of_two_parts_on_the_shelf_may_not_help_and_both_do():
    state = shop(supplies=(lead("motor", 10), lead("bms", 10)))
    promise = answer(state, part("motor"), part("bms", "bms"), work("fit", 4, "lift", needs=("motor", "bms")))
    assert promise.finish_from == march(11)
    assert said(promise) == [
        "With the motor on the shelf: still March 11.",
        "With every part on the shelf: March 1, 10 days earlier.",
    ]
    assert [each.days_earlier for each in promise.alternatives] == [0, 10]


def test_someone_away_decides():
    away = Person(name="Ana", skills=("wiring",), leave=(off(march(1), march(5)),))
    promise = answer(shop(people=(away,)), work("wire", 4, "lift", "wiring"))
    assert promise.headline == "March 8 because wire waits for Ana, who is away, until March 8."
    assert said(promise) == ["With one more person for wiring: March 1, 7 days earlier."]


def test_leave_in_the_middle_of_a_step_decides():
    away = Person(name="Ana", skills=("wiring",), leave=(off(march(2), march(5)),))
    promise = answer(shop(people=(away,)), work("wire", 12, "lift", "wiring"))
    assert promise.headline == "March 8 because wire stands still while Ana is away until March 8."
    assert said(promise) == ["With one more person for wiring: March 2, 6 days earlier."]


def test_bench_and_person_busy_at_once_are_named_together():
    state = shop(builds=(build(1, [step("weld", 16, "lift")]),))
    promise = answer(state, work("fit", 4, "lift"))
    assert promise.headline == "March 3 because fit waits for the lift bench and Ana until March 3."
    assert said(promise) == ["With one more lift bench and one more person: March 1, 2 days earlier."]


def test_a_bench_that_is_down_decides():
    state = shop(benches=(Bench(name="Lift", bench_type="lift", down=(off(march(1), march(3)),)),))
    promise = answer(state, work("fit", 4, "lift"))
    assert promise.reasons[0].text == "Fit waits for the lift bench until March 4; Lift is down."


def test_closed_days_on_the_way_are_told():
    state = shop(closed_days=(off(march(2), march(4), "stocktaking"), off(march(6), march(7)), off(march(9))))
    promise = answer(state, work("fit", 12, "lift"))
    assert promise.finish_from == march(5)
    assert [reason.text for reason in promise.reasons if reason.kind == "closed"] == [
        "The shop is closed March 2 to March 4 (stocktaking)."
    ]


def test_outside_work_decides():
    promise = answer(shop(), work("strip", 4, "lift"), work("paint", 0, lead_days=14), work("fit", 4, "lift"))
    assert promise.finish_from == march(15)
    assert promise.headline == "March 15 because paint is away until March 15."
    assert promise.reasons[0].text == "Paint is outside work of 14 days, back March 15."


def test_a_late_order_is_told_as_late():
    state = shop(receipts=(due("motor", "1", date(2027, 2, 22), "PO-7"),))
    promise = answer(state, part("motor"), work("fit", 4, "lift", needs=("motor",)))
    assert "its order is late" in promise.headline
    assert promise.reasons[0].text == "The motor on order PO-7 is 7 days late, not before March 2; fit waits for it."


def test_an_order_without_a_day_is_told_as_such():
    state = shop(receipts=(due("motor", "1", None, "PO-7"),), supplies=(lead("motor", 8),))
    promise = answer(state, part("motor"), work("fit", 4, "lift", needs=("motor",)))
    assert "the supplier gave no day, so 8 days from today" in promise.reasons[0].text


def test_a_parts_kit_is_ready_when_the_last_part_is_here_and_handled():
    state = shop(stock=(stock("motor", "1"),), supplies=(lead("bms", 9),))
    handling = Policies(handling_days=2)
    promise = answer(state, part("motor"), part("bms", "bms"), policies=handling, job="parts_kit")
    # 10 March + 2 days is Friday the 12th
    assert (promise.finish_from, promise.finish_to, promise.steps) == (march(12), march(12), ())
    assert promise.headline == "March 12 because the bms arrives March 10."
    assert said(promise)[0] == "With the bms on the shelf: March 3, 9 days earlier."
    assert [each.order_by for each in promise.parts] == [None, DAY]
    shelf = answer(state, part("motor"), policies=handling, job="parts_kit")
    assert (shelf.finish_from, shelf.headline) == (march(3), "March 3 because every part is on the shelf.")


def test_a_parts_kit_waits_for_no_bench_and_takes_none():
    busy = shop(builds=(build(1, [step("fit", 80, "lift")]),), stock=(stock("motor", "1"),))
    assert answer(busy, part("motor"), work("fit", 8, "lift"), job="parts_kit").finish_from == DAY


def test_a_service_is_its_steps():
    promise = answer(shop(), work("brakes", 2, "lift"), job="service")
    assert (promise.finish_from, promise.parts) == (DAY, ())


def test_a_part_that_cannot_be_had_blocks_with_the_reason_and_what_it_would_be_without():
    promise = answer(shop(), part("Hub motor"), work("fit", 4, "lift", needs=("motor",)))
    assert (promise.finish_from, promise.finish_to) == (None, None)
    assert promise.blocked == (
        "Hub motor is not on the shelf, not on order, and has no lead time within ten years. "
        "Enter a supplier with a lead time."
    )
    assert promise.headline == f"No date yet. {promise.blocked}"
    assert [(reason.kind, reason.code) for reason in promise.reasons] == [("part", "Hub motor")]
    assert said(promise) == ["With the hub motor on the shelf: March 1."]
    assert promise.alternatives[0].days_earlier is None


def test_everything_that_blocks_is_named_at_once():
    promise = answer(shop(), part("motor"), work("gild", 1, "", "gilding"), work("fit", 4, "press", needs=("motor",)))
    assert [(reason.kind, reason.code) for reason in promise.reasons] == [
        ("person", "gilding"),
        ("bench", "press"),
        ("part", "motor"),
    ]
    assert promise.alternatives == ()


def test_an_empty_option_asks_for_parts_or_steps():
    promise = answer(shop())
    assert promise.blocked == "There is nothing to plan yet. Add parts or steps."
    assert (promise.finish_from, promise.reasons) == (None, ())


def test_a_shop_that_is_never_open_says_what_to_enter():
    never = shop(openings=(), builds=(build(4, [step("fit", 1)]),))
    promise = answer(never, work("fit", 1))
    assert (promise.place, promise.finish_from) == (5, None)
    assert promise.blocked == "The shop has no open time. Enter opening hours, and check the closed days."
    with pytest.raises(CalendarError, match="opening hours"):
        prepare(request(never, Option(key="a", label="A")))


def test_blocked_builds_ahead_do_not_block_what_comes_after():
    stuck = build(1, [step("strip", 4, "lift"), step("fit", 4, "lift")], [need("motor", "fit")])
    assert answer(shop(builds=(stuck,)), work("fit", 4, "lift")).finish_from == DAY


def test_dates_far_away_carry_their_year():
    state = shop(supplies=(lead("motor", 400),))
    promise = answer(state, part("motor"), work("fit", 4, "lift", needs=("motor",)))
    assert promise.headline == "April 4, 2028 because the motor arrives April 4, 2028."  # 2028 has February 29


def test_a_long_chain_is_cut_to_the_cause_and_the_two_longest_waits():
    steps = [step(f"s{at}", hours, f"bench{at}") for at, hours in enumerate((8, 40, 8, 32))]
    benches = tuple(Bench(name=f"Bench {at}", bench_type=f"bench{at}") for at in range(4))
    people = tuple(Person(name=f"Person {at}") for at in range(9))
    state = shop(
        benches=benches, people=people, builds=tuple(build(n, steps[at : at + 1]) for at, n in enumerate((1, 2, 3, 4)))
    )
    promise = answer(state, *(work(f"s{at}", 4, f"bench{at}") for at in range(4)))
    # own: s0 after 8 h, s1 after 40 h, s2 at once, s3 at once (32 h are over): waits of 8 and 28 hours
    assert promise.headline.count("waits for") == 2
    crowded = replace(state, builds=(*state.builds, build(5, [step("s2", 60, "bench2")])))
    longer = answer(crowded, *(work(f"s{at}", 4, f"bench{at}") for at in range(4)))
    assert [reason.kind for reason in longer.reasons] == ["bench", "bench", "bench", "step"]
    assert longer.headline.count("waits for") == 2
    assert "s0 waits" not in longer.headline
