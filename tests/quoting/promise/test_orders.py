"""Order-by days: by hand, and against trying every day."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.promise import prepare, work_out_promise
from quoting.promise.answer import outlook_of
from quoting.promise.lanes import Floor
from quoting.promise.orders import latest_ready
from quoting.promise.place import Gates, lay
from quoting.promise.plan import Outlook, PlannedShop
from quoting.promise.spans import closed_ordinals
from quoting.promise.work import Pace
from quoting.request import Option, Policies, QuoteRequest, ShopState, Supply
from quoting.result import PartPromise
from tests.quoting.promise.random_shops import options, shops
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
    work,
)

ONE_DAY = timedelta(days=1)


def parts_of(state: ShopState, number: str = "B1", policies: Policies | None = None) -> dict[str, PartPromise]:
    plan = planned(state, policies=policies or Policies(handling_days=0)).build(number)
    assert plan is not None
    return {each.code: each for each in plan.parts}


def test_counted_back_from_the_promise_to_the_step_and_then_to_the_order():
    # Promised Friday 26 March. wire 8 h and test 8 h: wire starts on Thursday 25 at the latest, so the controller is
    # here by then: 25 March - 10 days is the 15th. The motor, for fit (8 h) on Wednesday 24: - 14 days is the 10th.
    # The gauge, for the last step on Friday 26: - 3 days is the 23rd.
    state = shop(
        builds=(
            build(
                1,
                [step("fit", 8, "lift"), step("wire", 8, "lift"), step("test", 8, "lift")],
                [need("motor", "fit"), need("controller", "wire"), need("gauge", "test")],
                promised_to=march(26),
            ),
        ),
        supplies=(lead("motor", 14), lead("controller", 10), lead("gauge", 3)),
    )
    by = {code: each.order_by for code, each in parts_of(state).items()}
    assert by == {"motor": march(10), "controller": march(15), "gauge": march(23)}


def test_the_plan_and_the_promise_have_a_day_each():
    # Planned: motor on Monday 15 March + fit 8 h: done that day. Promised Friday 26 March with a slow lead of 20 days.
    state = shop(
        builds=(build(1, [step("fit", 8, "lift")], [need("motor", "fit")], promised_to=march(26)),),
        supplies=(lead("motor", 14, 20),),
    )
    found = parts_of(state)["motor"]
    assert found.order_by_plan == DAY
    assert found.order_by == march(6)  # 26 - 20


def test_handling_and_the_suppliers_closed_week_are_taken_off():
    # Needed on Friday 26, two days of handling: here on the 24th. Six open days back from it around 15 to 21 March are
    # 24, 23, 22, 14, 13 and 12: order on the 11th.
    state = shop(
        builds=(build(1, [step("fit", 8, "lift")], [need("motor", "fit")], promised_to=march(26)),),
        supplies=(lead("motor", 6, closed=(off(march(15), march(21)),)),),
    )
    assert parts_of(state, policies=Policies(handling_days=2))["motor"].order_by == march(11)


def test_a_day_others_have_taken_cannot_be_counted_on():
    # B2 is promised for Friday 19 March and the lift is B1's from Wednesday 17 (its gear comes then) to Friday.
    first = build(1, [step("x", 24, "lift")], [need("gear", "x")])
    second = build(2, [step("fit", 8, "lift")], [need("motor", "fit")], promised_to=march(19))
    state = shop(builds=(first, second), receipts=(due("gear", "1", march(17)),), supplies=(lead("motor", 7),))
    assert parts_of(state, "B2")["motor"].order_by == march(9)  # Tuesday 16 - 7


def test_a_promise_that_cannot_hold_any_more_shows_how_late_the_order_is():
    # Promised for yesterday: even with the motor here today it is too late, so it was due 14 days ago at the latest.
    state = shop(
        builds=(build(1, [step("fit", 8, "lift")], [need("motor", "fit")], promised_to=date(2027, 2, 28)),),
        supplies=(lead("motor", 14),),
    )
    assert parts_of(state)["motor"].order_by == date(2027, 2, 15)


def test_nothing_to_order_no_day():
    state = shop(
        builds=(
            build(1, [step("fit", 8, "lift")], [need("motor", "fit")], promised_to=march(26)),
            build(2, [step("fit", 8, "lift")], [need("motor", "fit")], on_hold=True),
        ),
        receipts=(due("motor", "1", march(9)),),
        supplies=(lead("motor", 14),),
    )
    assert parts_of(state)["motor"].order_by is None
    assert parts_of(state, "B2")["motor"].order_by is None  # on hold: no finish to count back from


def test_the_part_that_decides_a_new_promise_is_ordered_today():
    asked = option(
        part("motor"),
        part("bms", "bms"),
        work("fit", 8, "lift", needs=("motor",)),
        work("wire", 8, "lift", needs=("bms",)),
    )
    promise = work_out_promise(request(shop(supplies=(lead("motor", 30), lead("bms", 30))), asked), asked)
    # 31 March is a Wednesday: fit then, wire on Thursday 1 April, when the bms has to be here: 30 days earlier
    assert promise.finish_to == date(2027, 4, 1)
    assert [(each.code, each.order_by) for each in promise.parts] == [("motor", DAY), ("bms", march(2))]


def slow_finish(asked: QuoteRequest, line: Option, code: str, ordered: date) -> date | None:
    """The slow finish when one part is ordered on a later day: its lead time from today is longer by the wait."""
    supply = next(each for each in asked.shop.supplies if each.code == code)
    closed = closed_ordinals(supply.closed)
    waited = sum(
        closed.covering((DAY + timedelta(days=number)).toordinal()) is None
        for number in range(1, (ordered - DAY).days + 1)
    )
    late = Supply(
        code="late",
        supplier=supply.supplier,
        likely_days=supply.likely_days + waited,
        high_days=max(supply.high_days or 0, supply.likely_days) + waited,
        closed=supply.closed,
    )
    parts = tuple(replace(each, code="late") if each.code == code else each for each in line.parts)
    state = replace(asked.shop, supplies=(*asked.shop.supplies, late))
    return outlook_of(prepare(replace(asked, shop=state)), replace(line, parts=parts)).laid[Pace.SLOW].finish


@settings(max_examples=60, deadline=None)
@given(shops(most_builds=3), options(), st.integers(0, 2))
def test_ordered_on_its_day_the_promise_holds_and_a_day_later_it_does_not(
    state: ShopState, line: Option, handling: int
):
    asked = request(state, line, policies=Policies(handling_days=handling))
    promise = work_out_promise(asked, line)
    for found in promise.parts:
        alone = sum(other.code == found.code for other in promise.parts) == 1
        if found.origin != "to_order" or not alone:
            continue
        assert found.order_by is not None
        assert promise.finish_to is not None
        assert found.order_by >= DAY
        on_the_day = slow_finish(asked, line, found.code, found.order_by)
        assert on_the_day is not None
        assert on_the_day <= promise.finish_to
        supply = next(each for each in state.supplies if each.code == found.code)
        later = found.order_by + ONE_DAY
        while any(span.first <= later <= span.last for span in supply.closed):
            later += ONE_DAY
        too_late = slow_finish(asked, line, found.code, later)
        assert too_late is not None
        assert too_late > promise.finish_to


def finish_when_ready(shop: PlannedShop, outlook: Outlook, pace: Pace, index: int, ready: date) -> date | None:
    """Plan a build's steps from `index` on anew, with a part ready on a day, among all the others where they are."""
    calendar = shop.bearings.calendar
    floor = Floor(shop.shop, calendar)
    for other in shop.outlooks:
        if other is not outlook:
            for lane in (*shop.floors[pace].benches.values(), *shop.floors[pace].people.values()):
                for booking in lane.bookings:
                    if booking.build == other.build.number:
                        (floor.benches if lane.group else floor.people)[lane.name].book(booking)
    begun = {step.task.index: step for step in outlook.laid[pace].placed if step.task.step.started is not None}
    tasks = [task for task in outlook.tasks[pace] if task.index >= index or task.index in begun]
    starts = [0] * len(outlook.tasks[pace])
    starts[index] = calendar.slot_of_day(ready)
    return lay(
        floor, calendar, outlook.build.number, tasks, Gates(tuple(starts), 0, {}), begun, shop.bearings.now
    ).finish


@settings(max_examples=80, deadline=None)
@given(shops(most_builds=4), st.integers(-3, 50))
def test_the_latest_ready_day_of_each_step_is_exact_for_builds_in_the_middle_of_the_line(
    state: ShopState, in_days: int
):
    shop = prepare(request(state))
    promised = DAY + timedelta(days=in_days)
    for outlook in shop.outlooks:
        for pace in Pace:
            days = latest_ready(shop.floors[pace], shop.bearings, outlook, pace, promised)
            for task in outlook.tasks[pace]:
                if task.step.started is not None:
                    continue
                latest = days[task.index]
                finish = finish_when_ready(shop, outlook, pace, task.index, latest)
                assert finish is not None
                if finish > promised:  # out of reach even with the part on the shelf
                    assert latest == DAY
                    continue
                later = finish_when_ready(shop, outlook, pace, task.index, latest + ONE_DAY)
                assert later is not None
                assert later > promised
