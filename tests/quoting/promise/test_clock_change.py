"""Hours are exact over nights, weekends and the change of clocks: an oracle counts quarter hours of real time."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.request import Opening, OpenStep, ShopState
from tests.quoting.promise.shops import ZONE, build, planned, shop, step

QUARTER = timedelta(minutes=15)
# The clocks go from 2:00 to 3:00 on Sunday 14 March 2027, 15 U.S.C. 260a(a): open through that night.
NIGHTS = (
    Opening(weekday=5, start=time(20), end=time(0)),
    Opening(weekday=6, start=time(0), end=time(6)),
    Opening(weekday=0, start=time(22), end=time(0)),
    Opening(weekday=1, start=time(0), end=time(2, 30)),
)


def within(opening: Opening, clock: time) -> bool:
    return opening.start <= clock and (clock < opening.end or opening.end == time(0))


def quarters_worked(state: ShopState, start: datetime, end: datetime) -> int:
    """Quarter hours of real time between two moments in which the shop's clock shows an opening."""
    zone, count, moment = ZoneInfo(state.zone), 0, start.astimezone(UTC)
    while moment < end:
        local = moment.astimezone(zone)
        count += any(opening.weekday == local.weekday() and within(opening, local.time()) for opening in state.openings)
        moment += QUARTER
    return count


def work_of(quarters: list[int]) -> tuple[OpenStep, ...]:
    return tuple(replace(step(f"s{at}", 1, "lift"), likely_h=Decimal(each) / 4) for at, each in enumerate(quarters))


@settings(max_examples=15, deadline=None)
@given(st.lists(st.integers(1, 40), min_size=1, max_size=4))
def test_every_step_has_its_hours_whatever_nights_and_clocks_it_runs_over(quarters: list[int]):
    state = replace(shop(builds=(replace(build(1, []), steps=work_of(quarters)),)), openings=NIGHTS)
    assert state.zone == ZONE
    plan = planned(state).build("B1")
    assert plan is not None
    assert [quarters_worked(state, each.start, each.end) for each in plan.steps] == quarters
    assert all(before.end <= after.start for before, after in zip(plan.steps, plan.steps[1:], strict=False))


def test_the_oracle_and_the_plan_lose_the_hour_that_night():
    # From Monday 1 March: 2 h, then 2.5 on Tuesday, 4 + 6 at the weekend, 2 + 2.5 the next Monday night, 4 on Saturday
    # the 13th: 23 h end at midnight. 5 h more end at 6:00, as 2:00 to 3:00 does not exist.
    state = replace(shop(builds=(replace(build(1, []), steps=work_of([92, 20])),)), openings=NIGHTS)
    plan = planned(state).build("B1")
    assert plan is not None
    ends = [each.end.astimezone(ZoneInfo(ZONE)) for each in plan.steps]
    assert [(each.day, each.hour) for each in ends] == [(14, 0), (14, 6)]
    assert ends[1].astimezone(UTC) - ends[0].astimezone(UTC) == timedelta(hours=5)
