"""The whole line: what each build waits for, how late it is, the lanes, and what a supplier's delay would do."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from quoting.promise import moves_between, with_receipt_dates
from quoting.request import Bench, Person
from quoting.result import BuildPlan
from tests.quoting.promise.shops import (
    at,
    build,
    due,
    held,
    lead,
    march,
    need,
    off,
    plan_of,
    planned,
    shop,
    step,
    stock,
)

FITTING = [step("fit", 8, "lift")]
MOTOR = [need("motor", "fit")]
BEGUN = datetime(2027, 2, 26, 14, tzinfo=UTC)


def only(**fields: Any) -> BuildPlan:
    (plan,) = planned(shop(**fields)).builds
    return plan


def test_the_line_is_in_order_of_places_with_its_revision():
    line = planned(shop(builds=(build(3, FITTING), build(1, FITTING), build(2, FITTING, on_hold=True)), revision=41))
    assert [plan.number for plan in line.builds] == ["B1", "B2", "B3"]
    assert (line.revision, line.blocked) == (41, "")
    assert plan_of(line, "B3").finish_from == march(2)
    assert line.build("B9") is None


def test_a_build_that_can_start_is_not_held():
    plan = only(builds=(build(1, FITTING),))
    assert (plan.held, plan.late_days) == (None, None)


def test_a_build_is_held_by_its_part_with_order_and_day():
    plan = only(builds=(build(1, FITTING, MOTOR),), receipts=(due("motor", "1", march(9), "PO-3", "Estuary"),))
    assert (held(plan).kind, held(plan).code, held(plan).until) == ("part", "motor", march(9))
    assert held(plan).text == "The motor on order PO-3 arrives March 9; fit waits for it."
    (part,) = plan.parts
    assert (part.origin, part.order, part.supplier, part.ready, part.short_by) == (
        "order",
        "PO-3",
        "Estuary",
        march(9),
        Decimal(1),
    )


def test_a_part_that_comes_before_its_step_is_reached_holds_nothing():
    plan = only(
        builds=(build(1, [step("strip", 8, "lift"), *FITTING], MOTOR),), receipts=(due("motor", "1", march(2)),)
    )
    assert plan.held is None
    assert plan.reasons[0].kind == "start"


def test_a_build_is_held_by_a_bench_or_by_a_person():
    state = shop(
        benches=(Bench(name="Lift", bench_type="lift"), Bench(name="Press", bench_type="press")),
        people=(Person(name="Ana", skills=("weld",)), Person(name="Bo", skills=("wire",))),
        builds=(
            build(1, [step("weld", 8, "lift", "weld")]),
            build(2, [step("wire", 4, "lift", "wire")]),
            build(3, [step("weld", 4, "press", "weld")]),
        ),
    )
    first, second, third = planned(state).builds
    assert first.held is None
    assert (held(second).kind, held(second).code, held(second).until) == ("bench", "Lift", march(2))
    assert held(second).text == "Wire waits for the lift bench until March 2; build B1 is first."
    assert (held(third).kind, held(third).code) == ("person", "Ana")
    assert held(third).text == "Weld waits for Ana until March 2; build B1 is first."


def test_a_build_away_for_outside_work_is_held_by_it():
    plan = only(builds=(build(1, [step("paint", 0, lead_days=10, started=BEGUN), *FITTING]),))
    assert (held(plan).kind, held(plan).until) == ("lead", march(8))
    assert held(plan).text == "Paint is outside work of 10 days, back March 8."


def test_a_build_on_the_bench_is_held_by_nothing():
    running = build(1, [step("fit", 3, "lift", started=BEGUN, person="Ana", bench="Lift")])
    plan = only(builds=(running,))
    assert (plan.held, plan.headline) == (None, "March 1 because fit is under way with 3 hours left.")


def test_a_part_missing_from_the_last_step_under_way_holds_up_the_finish():
    running = build(1, [step("fit", 3, "lift", started=BEGUN, person="Ana", bench="Lift")], MOTOR)
    plan = only(builds=(running,), receipts=(due("motor", "1", march(9)),))
    assert (plan.finish_from, plan.parts[0].step) == (march(9), "")
    assert plan.headline == "March 9 because the motor arrives March 9."


def test_a_build_with_nothing_left_is_finished_today():
    plan = only(builds=(build(1, []),))
    assert (plan.finish_from, plan.headline) == (march(1), "March 1 because nothing is left to do.")


def test_how_late_a_build_is_counts_from_its_promise_to_its_slow_finish():
    plan = only(
        builds=(build(1, FITTING, MOTOR, promised_from=march(3), promised_to=march(10)),),
        supplies=(lead("motor", 7, 14),),
    )
    assert (plan.finish_from, plan.finish_to, plan.late_days) == (march(8), march(15), 5)
    assert (plan.promised_from, plan.promised_to) == (march(3), march(10))
    in_time = only(builds=(build(1, FITTING, promised_to=march(10)),))
    assert in_time.late_days == 0


def test_a_build_on_hold_shows_its_parts_and_no_day():
    plan = only(builds=(build(1, FITTING, MOTOR, on_hold=True, promised_to=march(10)),), stock=(stock("motor", "1"),))
    assert (plan.on_hold, plan.finish_from, plan.finish_to, plan.late_days) == (True, None, None, None)
    assert [part.origin for part in plan.parts] == ["stock"]
    assert "On hold" in plan.headline


def test_every_lane_is_shown_with_what_is_on_it_on_a_day():
    running = build(2, [step("fit", 3, "lift", started=BEGUN, person="Ana", bench="Lift")])
    line = planned(
        shop(
            benches=(Bench(name="Lift", bench_type="lift"), Bench(name="Spare", bench_type="press")),
            builds=(build(1, [step("weld", 9, "lift")]), running),
        )
    )
    lift, spare = line.benches
    assert [(each.build, each.start, each.end, each.under_way) for each in lift.bookings] == [
        ("B2", at(26, 9, month=2), at(1, 11), True),
        ("B1", at(1, 11), at(2, 12), False),
    ]
    assert (lift.group, spare.name, spare.bookings) == ("lift", "Spare", ())
    assert [each.build for each in lift.on(march(1))] == ["B2", "B1"]
    assert [each.build for each in lift.on(march(2))] == ["B1"]
    assert lift.on(march(3)) == ()
    (ana,) = line.people
    assert ana.bookings == lift.bookings


def test_a_booking_that_ends_at_midnight_is_not_on_the_next_day():
    state = shop(builds=(build(1, [step("fit", 4, "lift")]),))
    late = replace(
        state,
        openings=tuple(
            replace(each, start=each.start.replace(hour=20), end=each.end.replace(hour=0))
            for each in state.openings[:1]
        ),
    )
    lane = planned(late).benches[0]
    assert lane.bookings[0].end == at(2, 0)
    assert (len(lane.on(march(1))), len(lane.on(march(2)))) == (1, 0)


def test_a_suppliers_delay_entered_once_shows_every_build_it_moves():
    state = shop(
        builds=(
            build(1, FITTING, promised_to=march(2)),
            build(2, FITTING, MOTOR, promised_to=march(12)),
            build(3, FITTING, MOTOR, promised_to=date(2027, 6, 1)),
        ),
        receipts=(due("motor", "2", march(9), "PO-3"), due("gear", "1", march(9), "PO-4")),
    )
    before = planned(state)
    after = planned(with_receipt_dates(state, {"PO-3": date(2027, 4, 20)}))
    assert [(move.number, move.from_before, move.from_after, move.breaks) for move in moves_between(before, after)] == [
        ("B2", march(9), date(2027, 4, 20), True),
        ("B3", march(10), date(2027, 4, 21), False),
    ]
    assert moves_between(before, before) == ()
    assert with_receipt_dates(state, {"PO-4": None}).receipts[1].expected is None


def test_the_shop_that_is_never_open_blocks_every_build_with_the_remedy():
    line = planned(shop(openings=(), builds=(build(2, FITTING), build(1, FITTING))))
    assert "Enter opening hours" in line.blocked
    assert [(plan.number, plan.finish_from, plan.blocked) for plan in line.builds] == [
        ("B1", None, line.blocked),
        ("B2", None, line.blocked),
    ]


def test_leave_and_downtime_that_run_backward_are_named():
    state = shop(people=(Person(name="Ana", leave=(off(march(5), march(4)),)),), builds=(build(1, FITTING),))
    assert planned(state).blocked.startswith("Ana, leave: 2027-03-05 to 2027-03-04 ends before it starts.")
