"""Who gets which units: shelf, then orders by their day, then what has to be ordered, in the order of the line."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting.promise import work_out_promise
from quoting.promise.calendar import Calendar
from quoting.promise.supply import Peg, Shelf
from quoting.request import OpenBuild, Policies, ShopState
from quoting.result import PartPromise
from tests.quoting.promise.shops import (
    DAY,
    build,
    due,
    lead,
    march,
    need,
    off,
    option,
    part,
    planned,
    request,
    shop,
    step,
    stock,
    work,
)

FITTING = [step("fit", 8, "lift")]
MOTOR = [need("motor", "fit")]


def three(**fields: Any) -> ShopState:
    return shop(builds=tuple(build(number, FITTING, MOTOR) for number in (1, 2, 3)), **fields)


def origins(state: ShopState) -> list[list[tuple[str, str]]]:
    return [[(each.origin, each.order) for each in plan.parts] for plan in planned(state).builds]


def only_part(state: ShopState, number: str = "B1", **fields: Any) -> PartPromise:
    plan = planned(state, **fields).build(number)
    assert plan is not None
    (found,) = plan.parts
    return found


def test_one_motor_on_the_shelf_goes_to_the_first_in_line_and_the_others_wait_for_the_lead_time():
    # Common practice, no source: one motor, three builds, 45 days: 1 March + 45 days is 15 April, a Thursday. B1 has
    # Monday; B2 the 15th, B3 the 16th.
    line = planned(three(stock=(stock("motor", "1"),), supplies=(lead("motor", 45),)))
    assert [[each.origin for each in plan.parts] for plan in line.builds] == [["stock"], ["to_order"], ["to_order"]]
    assert [plan.finish_from for plan in line.builds] == [DAY, date(2027, 4, 15), date(2027, 4, 16)]
    assert [plan.parts[0].arrives for plan in line.builds[1:]] == [date(2027, 4, 15)] * 2
    assert "the motor arrives April 15" in line.builds[2].headline
    assert line.builds[2].reasons[0].text == "The motor on the shelf is for build B1, ahead in line."
    assert line.builds[2].reasons[1].text == "A new motor takes 45 days from Estuary Supply, ordered March 1."


def test_order_of_the_line_decides_and_not_the_order_of_the_records():
    state = three(stock=(stock("motor", "1"),), supplies=(lead("motor", 45),))
    assert origins(replace(state, builds=state.builds[::-1])) == [
        [("stock", "")],
        [("to_order", "")],
        [("to_order", "")],
    ]


def test_a_delivery_is_split_across_builds_and_the_earliest_comes_first():
    state = three(
        receipts=(due("motor", "2", march(20), "PO-2"), due("motor", "1", march(10), "PO-1")),
        supplies=(lead("motor", 45),),
    )
    assert origins(state) == [[("order", "PO-1")], [("order", "PO-2")], [("order", "PO-2")]]


def test_a_need_may_be_met_from_three_places():
    state = shop(
        builds=(build(1, FITTING, [need("cell", "fit", "10")]),),
        stock=(stock("cell", "4"),),
        receipts=(due("cell", "3", march(9)),),
        supplies=(lead("cell", 21),),
    )
    parts = planned(state).builds[0].parts
    assert [(each.origin, each.quantity, each.arrives) for each in parts] == [
        ("stock", Decimal(4), None),
        ("order", Decimal(3), march(9)),
        ("to_order", Decimal(3), march(22)),
    ]
    assert sum(each.short_by for each in parts) == 6


def test_meters_of_cable_are_shared_to_the_inch():
    cable = [need("cable", "fit", "2.75")]
    state = shop(
        builds=(build(1, FITTING, cable), build(2, FITTING, cable)),
        stock=(stock("cable", "4.5"),),
        supplies=(lead("cable", 7),),
    )
    assert [[each.quantity for each in plan.parts] for plan in planned(state).builds] == [
        [Decimal("2.75")],
        [Decimal("1.75"), Decimal("1.00")],
    ]


def test_within_a_build_the_step_that_comes_first_is_served_first():
    steps = [step("weld", 1, "lift"), step("wire", 1, "lift")]
    state = shop(
        builds=(build(1, steps, [need("bolt", "wire"), need("bolt", "weld")]),),
        stock=(stock("bolt", "1"),),
        supplies=(lead("bolt", 7),),
    )
    assert [(each.step, each.origin) for each in planned(state).builds[0].parts] == [
        ("weld", "stock"),
        ("wire", "to_order"),
    ]


def test_a_build_on_hold_keeps_its_parts():
    state = three(stock=(stock("motor", "1"),), supplies=(lead("motor", 45),))
    held = replace(state, builds=(replace(state.builds[0], on_hold=True), *state.builds[1:]))
    first, second, _ = planned(held).builds
    assert (first.on_hold, first.finish_from, first.parts[0].origin) == (True, None, "stock")
    assert second.parts[0].origin == "to_order"


def test_a_new_option_is_served_last():
    state = three(stock=(stock("motor", "4"),), supplies=(lead("motor", 45),))
    assert origins(state) == [[("stock", "")]] * 3
    asked = option(part("motor", quantity="2"), work("fit", 8, "lift", needs=("motor",)))
    promise = work_out_promise(request(state, asked), asked)
    assert [(each.origin, each.quantity) for each in promise.parts] == [("stock", Decimal(1)), ("to_order", Decimal(1))]


def test_an_overdue_order_is_not_here_yet_and_never_arrives_in_the_past():
    # Expected Monday 22 February, today is Monday 1 March: 7 days late, next working day is Tuesday.
    found = only_part(three(receipts=(due("motor", "3", date(2027, 2, 22)),)))
    assert (found.arrives, found.ready, found.late_days) == (march(2), march(2), 7)
    overdue = three(receipts=(due("motor", "3", march(4)),))
    on_friday = only_part(overdue, day=march(5), now=datetime(2027, 3, 5, 13, tzinfo=UTC))
    assert on_friday.arrives == march(8)


def test_an_order_expected_today_is_not_overdue():
    found = only_part(three(receipts=(due("motor", "3", DAY),)))
    assert (found.arrives, found.late_days) == (DAY, 0)


def test_an_order_without_a_day_takes_the_suppliers_lead_time_from_today():
    receipts = (due("motor", "3", None),)
    found = only_part(three(receipts=receipts, supplies=(lead("motor", 20, 30),)))
    assert (found.arrives, found.ready_slow) == (march(21), march(31))
    blocked = planned(three(receipts=receipts)).builds[0]
    assert (blocked.finish_from, blocked.finish_to) == (None, None)
    assert "PO-1" in blocked.blocked
    assert "Enter the day the supplier gives." in blocked.blocked


def test_slow_parts_take_the_high_lead_time_and_orders_slip_by_the_difference():
    ordered = only_part(three(receipts=(due("motor", "3", march(10)),), supplies=(lead("motor", 30, 42),)))
    assert (ordered.ready, ordered.ready_slow) == (march(10), march(22))
    to_order = only_part(three(supplies=(lead("motor", 30, 42),)))
    assert (to_order.ready, to_order.ready_slow) == (march(31), date(2027, 4, 12))
    overdue = only_part(three(receipts=(due("motor", "3", date(2027, 2, 22)),), supplies=(lead("motor", 30, 42),)))
    assert (overdue.ready, overdue.ready_slow) == (march(2), march(6))  # 22 February + 12 days


def test_goods_in_handling_comes_after_the_arrival_and_not_for_the_shelf():
    two_days = Policies(handling_days=2)
    found = only_part(three(receipts=(due("motor", "3", march(10)),)), policies=two_days)
    assert (found.arrives, found.ready) == (march(10), march(12))
    assert only_part(three(stock=(stock("motor", "3"),)), policies=two_days).ready == DAY


def test_suppliers_closed_weeks_do_not_count():
    state = three(supplies=(lead("motor", 10, closed=(off(march(6), march(12)),)),))
    assert only_part(state).arrives == march(18)  # 2 to 5 March are four days, 13 to 18 March six


def test_the_first_supplier_listed_is_asked_and_an_order_keeps_its_own():
    supplies = (lead("motor", 10), replace(lead("motor", 5), supplier="Harbor"))
    assert only_part(three(supplies=supplies)).supplier == "Estuary Supply"
    found = only_part(three(supplies=supplies, receipts=(due("motor", "3", None, supplier="Harbor"),)))
    assert (found.supplier, found.arrives) == ("Harbor", march(6))


def test_a_part_nobody_supplies_blocks_its_build_and_the_rest_is_planned():
    steps = [step("strip", 4, "lift"), step("fit", 4, "lift")]
    state = shop(builds=(build(1, steps, [need("motor", "fit")]), build(2, FITTING)))
    first, second = planned(state).builds
    assert first.blocked.startswith("motor is not on the shelf, not on order, and has no lead time")
    assert [each.code for each in first.steps] == ["strip"]
    assert first.reasons[0].kind == "part"
    assert first.parts[0].note == first.reasons[0].text
    assert second.finish_from == march(2)  # four hours of B1's strip come first


@pytest.mark.parametrize("supply", [lead("motor", 5000), lead("motor", 5, closed=(off(march(2), date(2090, 1, 1)),))])
def test_a_part_that_takes_more_than_ten_years_blocks(supply):
    assert "ten years" in planned(three(supplies=(supply,))).builds[0].blocked


small = st.integers(0, 4)


@given(
    st.lists(st.tuples(small, st.booleans()), min_size=1, max_size=5),
    small,
    st.lists(st.tuples(st.integers(1, 4), st.one_of(st.none(), st.integers(-10, 30))), max_size=4),
)
def test_no_unit_is_given_twice_and_nobody_is_served_before_those_ahead(wanted, on_hand, orders):
    builds = [
        build(number, FITTING, [need("motor", "fit", str(count))], on_hold=on_hold)
        for number, (count, on_hold) in enumerate(wanted, start=1)
    ]
    receipts = tuple(
        due("motor", str(count), None if days is None else DAY + timedelta(days=days), f"PO-{number}")
        for number, (count, days) in enumerate(orders)
    )
    state = shop(
        stock=(stock("motor", str(on_hand)),), receipts=receipts, supplies=(lead("motor", 45),), builds=tuple(builds)
    )
    shelf = Shelf.of(state, Calendar.of(state, DAY), DAY, 0)
    given_out = [(each, peg) for each in builds for peg in shelf.peg(each)]
    check_quantities(builds, given_out, on_hand, orders)
    ranks = [
        (("stock", "order", "to_order").index(peg.origin), peg.arrives or DAY) for _, peg in given_out if peg.quantity
    ]
    assert ranks == sorted(ranks)


def check_quantities(
    builds: list[OpenBuild], given_out: list[tuple[OpenBuild, Peg]], on_hand: int, orders: list[Any]
) -> None:
    for each in builds:
        assert sum(peg.quantity for owner, peg in given_out if owner is each) == each.needs[0].quantity
    assert sum(peg.quantity for _, peg in given_out if peg.origin == "stock") <= on_hand
    for number, (count, _) in enumerate(orders):
        used = [peg for _, peg in given_out if peg.incoming and peg.incoming.receipt.order == f"PO-{number}"]
        assert sum(peg.quantity for peg in used) <= count
    total = sum(peg.quantity for _, peg in given_out if peg.origin != "to_order")
    everything = on_hand + sum(count for count, _ in orders)
    assert total == min(everything, sum(each.needs[0].quantity for each in builds))
