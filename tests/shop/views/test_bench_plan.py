from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from shop.charts.lanes import WIDTH, lanes_drawing
from shop.models import Bench, BenchDowntime, BuildStep, ClosedDays, Leave, Person
from shop.selectors.bench_plan import PlanFilter, bench_plan
from shop.services.builds import build_hold
from tests.shop.made_builds import make_build, make_day_build
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import EVERYONE, assert_guarded

PLAN = reverse("bench-plan")
MONDAY = date(2026, 3, 2)


def test_who_may_see_the_bench_plan(day: Day, client_as):
    assert_guarded(client_as, "bench-plan", roles=EVERYONE)


def lane_of(by: str, build: Any, **asked: Any) -> Any:
    plan = bench_plan(PlanFilter(by=by, **asked))
    return next(lane for lane in plan.lanes if any(work.build == build for work in lane.works))


def test_a_step_stands_on_its_bench_and_with_its_person(shop, morning, client_as):
    build = make_day_build()
    bench, person = lane_of("bench", build), lane_of("person", build)
    (work,) = bench.works
    assert (work.booking.bench, work.booking.person) == (bench.name, person.name)
    page = text(client_as("builder").get(PLAN))
    assert f'<a href="{reverse("build", args=[build.public_id])}"' in page
    assert f"{build.number} Wire and set up" in page
    assert person.name in page  # in the table, beside the step
    assert bench.name in text(client_as("builder").get(PLAN, {"by": "person"}))


def test_nobody_reads_money_or_how_to_reach_a_customer(day: Day, client_as):
    for by in ("bench", "person"):
        page = text(client_as("builder").get(PLAN, {"by": by, "span": "quarter"}))
        for private in (day.customer.email, day.customer.phone, f"{day.build.total:,.2f}"):
            assert not private or private not in page


def test_two_weeks_and_a_quarter_from_a_monday_on(shop, morning, client_as):
    client = client_as("counter")
    plan = client.get(PLAN).context["plan"]
    assert (plan.first, plan.last, plan.earlier) == (MONDAY, date(2026, 3, 15), None)
    quarter = client.get(PLAN, {"span": "quarter"}).context["plan"]
    assert (len(quarter.days), quarter.later) == (91, date(2026, 6, 1))
    later = client.get(PLAN, {"first": "2026-03-18"}).context["plan"]  # a Wednesday
    assert (later.first, later.earlier, later.later) == (date(2026, 3, 16), MONDAY, date(2026, 3, 30))


@pytest.mark.parametrize(
    "asked",
    [
        {"by": "moon"},
        {"span": "aeon"},
        {"first": "yesterday"},
        {"first": "2001-01-01"},
        {"by": "", "span": "", "first": ""},
    ],
)
def test_filters_that_cannot_be_read_count_as_not_given(asked: dict[str, str], shop, morning, client_as):
    plan = client_as("counter").get(PLAN, asked).context["plan"]
    assert (plan.by, plan.span, plan.first) == ("bench", "fortnight", MONDAY)


def test_a_day_past_the_plans_horizon_is_brought_back_to_it(shop, morning, client_as):
    page = client_as("counter").get(PLAN, {"first": "9999-12-31"})
    assert page.status_code == 200
    assert page.context["plan"].later is None


def test_closed_days_leave_and_downtime_are_seen(shop, morning, client_as):
    ClosedDays.objects.create(first=date(2026, 3, 4), last=date(2026, 3, 4), reason="Stocktaking")
    bench, person = Bench.objects.all()[0], Person.objects.all()[0]
    BenchDowntime.objects.create(bench=bench, first=date(2026, 3, 5), last=date(2026, 3, 6), reason="New lift")
    Leave.objects.create(person=person, first=date(2026, 3, 9), last=date(2026, 3, 10), reason="Private matter")
    client = client_as("builder")
    page = client.get(PLAN)
    closed = {each.day for each in page.context["plan"].days if each.closed}
    assert date(2026, 3, 4) in closed
    assert date(2026, 3, 8) in closed  # a Sunday
    assert "Stocktaking" in text(page)
    assert f"{bench.name} down: New lift" in text(page)
    people = text(client.get(PLAN, {"by": "person"}))
    assert f"{person.name} away" in people
    assert "Private matter" not in people  # why somebody is away is nobody's business


def test_a_step_over_its_persons_leave_is_paused_and_keeps_its_bench(shop, morning, set_clock, client_as):
    """Six hours under way since nine on Monday, the person away on Tuesday and Wednesday: it ends after them."""
    build = make_day_build()
    person, bench = Person.objects.filter(skills__code="electric")[0], Bench.objects.filter(bench_type__code="pack")[0]
    BuildStep.objects.filter(build=build).update(
        state="doing", started_at=morning, person=person, bench=bench, likely_h=Decimal(14), high_h=Decimal(14)
    )
    Leave.objects.create(person=person, first=date(2026, 3, 3), last=date(2026, 3, 4))
    (work,) = lane_of("bench", build).works
    assert work.paused == (date(2026, 3, 3), date(2026, 3, 4))
    assert work.booking.end.date() > date(2026, 3, 4)
    page = text(client_as("builder").get(PLAN))
    assert "under way" in page
    assert "paused on" in page
    row = next(row for row in lanes_drawing(bench_plan(PlanFilter())).rows if row.bars)
    (bar,) = row.bars
    assert "paused 2 days" in bar.told
    # Two of fourteen columns: the paused piece is one, the worked ones lie on either side of it.
    (pause,) = bar.paused
    assert pause.width == pytest.approx(2 * WIDTH / 14, abs=0.2)
    before, after = bar.worked
    assert before.x + before.width == pytest.approx(pause.x, abs=0.2)
    assert after.x == pytest.approx(pause.x + pause.width, abs=0.2)


def test_a_bar_lies_where_its_hours_are(shop, morning, client_as):
    """A day is as wide as its opening hours: noon of a day from 8 to 16 is its middle."""
    drawing_plan = bench_plan(PlanFilter())
    monday = drawing_plan.days[0]
    assert monday.opens is not None
    assert monday.closes is not None
    build = make_day_build()
    (work,) = lane_of("bench", build).works
    (bar,) = next(row for row in lanes_drawing(bench_plan(PlanFilter())).rows if row.bars).bars
    open_min = (monday.closes.hour - monday.opens.hour) * 60 + monday.closes.minute - monday.opens.minute
    gone_min = (work.booking.start.hour - monday.opens.hour) * 60 + work.booking.start.minute - monday.opens.minute
    assert work.booking.start.date() == MONDAY
    assert bar.x == pytest.approx(gone_min / open_min * WIDTH / 14, abs=0.1)


def test_a_build_on_no_bench_says_why(shop, morning, boss, client_as):
    build = make_build(1, steps=True)
    build_hold(build=build, reason="Title missing", person=boss)
    page = text(client_as("builder").get(PLAN))
    assert "On no bench" in page
    assert "On hold: Title missing" in page


def test_a_shop_without_benches_or_people_says_what_is_missing(shop, morning, client_as):
    Bench.objects.update(active=False)
    Person.objects.update(active=False)
    client = client_as("owner")
    assert "There is no bench yet" in text(client.get(PLAN))
    assert "Nobody works here yet" in text(client.get(PLAN, {"by": "person"}))


def test_queries_stay_flat_from_one_build_to_fifty(shop, morning: datetime, client_as):
    client = client_as("builder")
    make_build(1, steps=True)
    client.get(PLAN)
    one = queries_of(lambda: client.get(PLAN, {"span": "quarter"}))
    for place in range(2, 51):
        make_build(place, steps=True)
    assert queries_of(lambda: client.get(PLAN, {"span": "quarter"})) == one
