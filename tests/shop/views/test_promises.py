from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.urls import reverse

from shop.models import Build, PromiseEntry
from shop.services.builds import build_promise_change
from tests.shop.made_builds import make_build
from tests.shop.made_counter import text
from tests.shop.made_day import Day
from tests.shop.queries import queries_of
from tests.shop.views.guards import OWNER_ONLY, assert_guarded

LOG = reverse("promise-log")


def give(build: Build, last: date, kind: str = "first", reason: str = "") -> PromiseEntry:
    first = date(2026, 3, 1)
    return PromiseEntry.objects.create(
        build=build, kind=kind, finish_from=first, finish_to=last, reason=reason, revision=1
    )


def finish(build: Build, moment: datetime) -> None:
    Build.objects.filter(pk=build.pk).update(state="handed_over", place=None, finished_at=moment, handed_over_at=moment)


@pytest.fixture
def three(shop, morning) -> list[Build]:
    """One kept on its last day, one missed by six days and kept by its second window, one being built.

    Half past eleven in the evening of the 10th in New York is the 11th in UTC: the shop's day counts.
    """
    builds = [make_build(place) for place in (1, 2, 3)]
    give(builds[0], date(2026, 3, 10))
    finish(builds[0], datetime(2026, 3, 11, 3, 30, tzinfo=UTC))
    give(builds[1], date(2026, 3, 4))
    give(builds[1], date(2026, 3, 20), "changed", "Motor late")
    finish(builds[1], datetime(2026, 3, 10, 16, 0, tzinfo=UTC))
    give(builds[2], date(2026, 3, 30))
    return builds


def shown(client: Any, **query: str) -> list[tuple[str, str, int | None]]:
    rows = client.get(LOG, query).context["log"].found.rows
    return sorted((row.entry.build.number, row.outcome, row.late_days) for row in rows)


def test_who_may_see_the_promise_log(day: Day, client_as):
    assert_guarded(client_as, "promise-log", roles=OWNER_ONLY)


def test_each_window_with_how_it_came_out(three, client_as):
    client = client_as("owner")
    assert shown(client) == [
        ("B-1001", "kept", 0),
        ("B-1002", "kept", 0),
        ("B-1002", "missed", 6),
        ("B-1003", "open", None),
    ]
    page = text(client.get(LOG))
    assert "missed, late by 6 days" in page
    assert "Motor late" in page
    assert "replaced later" in page
    assert three[1].customer.name in page


def test_kept_and_missed_are_counted_of_finished_builds(three, client_as):
    """Three windows of finished builds, two kept; of two first windows one, of two last windows both."""
    page = client_as("owner").get(LOG)
    log = page.context["log"]
    assert (log.every.windows, log.every.kept) == (3, 2)
    assert [(tally.windows, tally.kept, tally.missed) for tally in log.tallies] == [(2, 1, 1), (2, 2, 0)]
    assert "first window given: 1 of 2 kept; last window given: 2 of 2 kept" in text(page)
    kept = [group.bars[1].width for group in page.context["chart"].groups]
    assert kept[1] == pytest.approx(2 * kept[0], abs=0.2)


def test_a_cancelled_build_kept_and_missed_nothing(three, client_as):
    Build.objects.filter(pk=three[2].pk).update(state="cancelled", place=None)
    client = client_as("owner")
    assert shown(client, show="cancelled") == [("B-1003", "cancelled", None)]
    assert client.get(LOG).context["log"].every.windows == 3


def test_filters_stand_in_the_address(three, client_as):
    client = client_as("owner")
    assert shown(client, show="missed") == [("B-1002", "missed", 6)]
    assert shown(client, kind="changed") == [("B-1002", "kept", 0)]
    assert shown(client, q="customer 3") == [("B-1003", "open", None)]
    assert shown(client, q="motor") == [("B-1002", "kept", 0)]
    assert shown(client, q="nobody") == []
    assert len(shown(client, show="moon", kind="moon", page="x")) == 4
    assert "No window fits" in text(client.get(LOG, {"q": "nobody"}))


def test_an_act_at_the_build_stands_in_the_log_with_who_and_why(day: Day, boss, client_as):
    first, last = date(2026, 9, 1), date(2026, 9, 20)
    build_promise_change(build=day.build, finish_from=first, finish_to=last, reason="Paint shop closed", person=boss)
    page = client_as("owner").get(LOG)
    newest = page.context["log"].found.rows[0]
    assert (newest.entry.finish_to, newest.standing) == (date(2026, 9, 20), True)
    assert [row.standing for row in page.context["log"].found.rows] == [True, False]
    assert boss.get_username() in text(page)
    assert "Paint shop closed" in text(page)


def test_an_empty_log_says_when_the_first_window_is_written(shop, client_as):
    page = client_as("owner").get(LOG)
    assert "No window was given yet" in text(page)
    assert page.context["chart"] is None


def test_queries_stay_flat_from_one_window_to_fifty(shop, morning, client_as):
    client = client_as("owner")
    give(make_build(1), date(2026, 3, 10))
    client.get(LOG)
    one = queries_of(lambda: client.get(LOG))
    for place in range(2, 51):
        give(make_build(place), date(2026, 3, 10))
    assert queries_of(lambda: client.get(LOG)) == one
