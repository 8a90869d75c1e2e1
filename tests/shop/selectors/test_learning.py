"""What finished builds teach the steps of new quotes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from quoting import QuoteRequest, from_json
from shop.models import Build, BuildStep, Quote, Shop
from shop.selectors.requests import quote_request
from shop.selectors.routing import routing_for
from shop.services.quotes import quote_set_donor, quote_start
from tests.shop.made_builds import make_build
from tests.shop.made_changes import make_running
from tests.shop.made_parts import make_donor
from tests.shop.queries import queries_of

D = Decimal


def finish(build: Build, code: str, actual_h: str, morning: datetime, **changed: object) -> None:
    """A step done in so many hours, its build handed over."""
    values = {
        "state": "done",
        "started_at": morning,
        "finished_at": morning + timedelta(hours=9),
        "actual_h": D(actual_h),
        **changed,
    }
    BuildStep.objects.filter(build=build, code=code).update(**values)
    Build.objects.filter(pk=build.pk).update(state="handed_over", place=None, handed_over_at=morning)


@pytest.fixture
def taught(shop: Shop, morning: datetime) -> Shop:
    """Teardown is 4, 6, 9 h: (4 + 24 + 9)/6 = 6.1667 h on average. Two builds took twice and three times as long."""
    for place, hours in ((1, "12.33"), (2, "18.5")):
        finish(make_build(place, steps=True), "teardown", hours, morning)
    return shop


def test_the_estimate_is_shifted_with_the_count_of_builds(taught: Shop) -> None:
    # Factor (3 + 2 + 3)/(3 + 2) = 1.6: 4 -> 6.4, 6 -> 9.6, 9 -> 14.4. The first estimate counts as three builds.
    step = routing_for("conversion", None)["teardown"]
    assert (step.low_h, step.likely_h, step.high_h) == (D("6.4"), D("9.6"), D("14.4"))
    assert float(step.learned_factor) == pytest.approx(1.6, abs=1e-3)
    assert step.learned_builds == 2
    assert step.how == (
        "Estimate × 1.60: 2 finished builds took × 2.50 on average; the estimate itself counts as 3 builds."
    )


def test_steps_nobody_has_finished_stay_as_they_were_estimated(taught: Shop) -> None:
    step = routing_for("conversion", None)["pack"]
    assert (step.likely_h, step.learned_factor, step.learned_builds, step.how) == (D(14), D(1), 0, "")


def test_builds_of_another_job_and_builds_still_running_teach_nothing(taught: Shop, morning: datetime) -> None:
    finish(make_build(3, steps=True, job="service"), "teardown", "40", morning)
    running = make_build(4, steps=True)
    BuildStep.objects.filter(build=running, code="teardown").update(actual_h=D(40))
    assert routing_for("conversion", None)["teardown"].learned_builds == 2


def test_a_lesson_is_not_learned_twice(shop: Shop, morning: datetime) -> None:
    """A build quoted at 1.6 times the estimate that took exactly that teaches 1.6 again, not 1."""
    build = make_build(1, steps=True)
    shifted = {"low_h": D("6.4"), "likely_h": D("9.6"), "high_h": D("14.4"), "learned_factor": D("1.6")}
    finish(build, "teardown", "9.87", morning, **shifted)
    # (6.4 + 38.4 + 14.4)/6 = 9.8667 h on average, about as long as it took: 1.6 times the routing. (3 + 1.6)/4 = 1.15.
    assert float(routing_for("conversion", None)["teardown"].learned_factor) == pytest.approx(1.15, abs=1e-3)


def test_the_shop_may_leave_it(taught: Shop) -> None:
    taught.learn_hours = False
    taught.save()
    assert routing_for("conversion", None)["teardown"].likely_h == D(6)


def test_a_new_quote_takes_and_says_it(taught: Shop) -> None:
    quote = quote_start(person=None)
    step = quote.versions.get().options.get().steps.get(code="teardown")
    assert (step.likely_h, step.learned_builds) == (D("9.6"), 2)
    line = next(line for line in quote_request(quote.versions.get()).options[0].steps if line.code == "teardown")
    assert (line.likely_h, line.learned_builds) == (D("9.6"), 2)


def test_choosing_the_bike_later_changes_no_hours(taught: Shop) -> None:
    quote = quote_start(person=None)
    quote_set_donor(quote=quote, donor=make_donor(), person=None)
    step = Quote.objects.get(pk=quote.pk).versions.get().options.get().steps.get(code="teardown")
    assert (step.likely_h, step.learned_builds) == (D("9.6"), 2)


def test_a_build_keeps_what_its_estimate_was_shifted_by(
    shop: Shop, morning: datetime, person: Callable[[str], User]
) -> None:
    build = make_running(shop, person("owner"))
    request = from_json(QuoteRequest, build.version.request)
    assert {step.learned_factor for step in request.options[0].steps} == {D(1)}
    assert set(build.steps.values_list("learned_factor", flat=True)) == {D(1)}


def test_queries_do_not_grow_with_the_builds(taught: Shop, morning: datetime) -> None:
    few = queries_of(lambda: routing_for("conversion", None))
    for place in range(3, 8):
        finish(make_build(place, steps=True), "teardown", "8", morning)
    assert queries_of(lambda: routing_for("conversion", None)) == few
