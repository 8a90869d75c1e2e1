"""Reading kept odds: what a page gets, when it is stale, and that reading writes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from quoting.odds import Dice, from_bytes, to_bytes
from shop.models import Build, PlanOdds
from shop.selectors import odds as module
from shop.selectors.line import line_rows
from shop.selectors.odds import kept_timelines, line_odds, simulated
from shop.selectors.today import today_page
from shop.selectors.waiting import waiting_needs
from shop.services.line_lock import line_lock
from tests.shop.made_builds import make_day_build, make_need
from tests.shop.made_odds import draw, keep_line, made_odds
from tests.shop.made_parts import make_component
from tests.shop.queries import queries_of


@pytest.fixture(autouse=True)
def nothing_read_before() -> Iterator[None]:
    kept_timelines.cache_clear()
    yield
    kept_timelines.cache_clear()


@pytest.fixture
def build(shop, morning) -> Build:
    return make_day_build(promised_from=date(2026, 3, 10), promised_to=date(2026, 3, 16))


def test_before_the_worker_kept_any_there_are_none(build):
    assert line_odds() is None
    assert simulated() is None
    (row,) = line_rows()
    assert (row.odds, row.chance, row.chance_words, row.decides) == (None, None, "", "")


def test_they_are_stale_after_a_change_and_after_midnight(build, morning, set_clock):
    draw()
    fresh = line_odds()
    assert fresh is not None
    assert not fresh.stale
    with line_lock():
        pass
    changed = line_odds()
    assert changed is not None
    assert changed.stale
    draw()
    set_clock(morning + timedelta(days=1))
    yesterdays = line_odds()
    assert yesterdays is not None
    assert yesterdays.stale


def test_timelines_are_read_once_and_those_drawn_since_are_met(build):
    draw()
    first = simulated()
    assert first is not None
    assert queries_of(simulated) == 1
    with line_lock():
        pass
    draw()
    second = simulated()
    assert second is not None
    assert (first.timelines.revision, second.timelines.revision) == (0, 1)


@pytest.mark.parametrize("kept", [b"", b"nothing of ours"])
def test_what_cannot_be_read_counts_as_none(build, kept: bytes):
    row = draw()
    PlanOdds.objects.filter(pk=row.pk).update(timelines=kept)
    assert simulated() is None


def test_a_process_without_the_fast_loops_reads_the_shorter_set_and_begins_to_load_them(build, monkeypatch):
    row = draw()
    long = from_bytes(bytes(row.timelines))
    short = to_bytes(replace(long, dice=Dice(7)))
    PlanOdds.objects.filter(pk=row.pk).update(compiled=True, few_timelines=short)
    begun: list[bool] = []
    monkeypatch.setattr(module, "warm_in_background", lambda: begun.append(True))
    runs = simulated()
    assert runs is not None
    assert (runs.timelines.samples, begun) == (7, [True])


def test_a_row_shows_the_simulated_window_and_how_the_promise_stands(build):
    """Done by the 10th in half of the runs, by the 16th in four of five: promised until the 16th, nothing to spare."""
    keep_line({build.number: made_odds()})
    (row,) = line_rows()
    assert (row.finish_from, row.finish_to) == (date(2026, 3, 10), date(2026, 3, 16))
    assert (row.chance, row.chance_words, row.late_days, row.is_tight) == (0.8, "kept in 8 of 10 runs", 0, False)
    assert (row.slack_days, row.slack_words) == (0, "nothing to spare")


@pytest.mark.parametrize(
    ("last", "words", "late", "tight", "slack"),
    [
        (date(2026, 4, 1), "kept in nearly every run", 0, False, "16 days to spare"),
        (date(2026, 3, 15), "kept in 5 of 10 runs", 0, True, "1 day over"),
        (date(2026, 3, 9), "kept in 1 of 10 runs", 1, False, "7 days over"),
        (date(2026, 3, 3), "kept in hardly any run", 7, False, "13 days over"),
    ],
)
def test_a_promise_is_late_when_fewer_than_half_of_the_runs_keep_it(
    build, last: date, words: str, late: int, tight: bool, slack: str
):
    Build.objects.update(promised_from=last, promised_to=last)
    keep_line({build.number: made_odds()})
    (row,) = line_rows()
    assert (row.chance_words, row.late_days, row.is_tight, row.slack_words) == (words, late, tight, slack)


def test_a_build_the_odds_do_not_know_keeps_its_planned_window(build):
    keep_line({"B-9": made_odds()})
    (row,) = line_rows()
    assert row.odds is None
    assert row.finish_from == date(2026, 3, 2)  # six hours from nine on Monday


def test_what_is_in_danger_stands_on_today_the_least_likely_first(build):
    """The 15th is tight, the 3rd is lost, the 1st of April holds."""
    lost = make_day_build(2, promised_from=date(2026, 3, 3), promised_to=date(2026, 3, 3))
    safe = make_day_build(3, promised_from=date(2026, 4, 1), promised_to=date(2026, 4, 1))
    Build.objects.filter(pk=build.pk).update(promised_to=date(2026, 3, 15))
    keep_line({each.number: made_odds() for each in (build, lost, safe)})
    assert [row.build for row in today_page({"owner"}).endangered] == [lost, build]


def test_reading_writes_nothing_and_draws_nothing(build):
    make_need(build, make_component("MOT-1"), 1, "wiring")
    draw()
    with line_lock():
        pass
    with CaptureQueriesContext(connection) as seen:
        line_odds()
        simulated()
        line_rows()
        waiting_needs()
        today_page({"owner"})
    acts = {query["sql"].split()[0].upper() for query in seen.captured_queries}
    assert acts == {"SELECT"}
    assert PlanOdds.objects.get().revision == 0


def test_the_line_takes_as_many_queries_for_twenty_builds_with_odds_as_for_one(build):
    draw()
    one = queries_of(line_rows)
    for place in range(2, 20):
        make_day_build(place)
    with line_lock():
        pass
    draw()
    assert queries_of(line_rows) == one
