"""Odds are drawn by the worker and kept whole: one row, never older than the one before."""

from __future__ import annotations

import importlib
import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from quoting.odds import engine, from_bytes, warm_up
from shop.models import Build, BuildStep, LineLock, OpeningHours, PlanOdds
from shop.selectors import odds_basis as reading
from shop.selectors.odds_basis import hours_error, odds_basis, promises_come_due
from shop.selectors.plan import plan_basis
from shop.services import odds as service
from shop.services.line_lock import line_lock
from shop.services.odds import odds_draw
from tests.shop.made_builds import make_build, make_day_build
from tests.shop.made_odds import draw, give_from_odds, made_odds
from tests.shop.made_shop import make_whole_shop
from tests.shop.queries import queries_of

DAY = date(2026, 3, 2)


def change_the_plan() -> None:
    with line_lock():
        pass


@pytest.fixture
def builds(shop, morning) -> list[Build]:
    return [make_day_build(place) for place in (1, 2)]


def test_the_line_and_timelines_are_kept_with_what_they_rest_on(builds):
    change_the_plan()
    row = draw()
    assert (row.revision, row.day, row.samples, row.compiled) == (1, DAY, 40, False)
    assert (row.from_level, row.to_level) == (50.0, 80.0)  # nothing has come due: as meant
    assert set(row.line) == {"B-1001", "B-1002"}
    assert row.line["B-1001"]["levels"][0] == 5
    timelines = from_bytes(bytes(PlanOdds.objects.get().timelines))
    assert (timelines.revision, timelines.samples) == (1, 40)


def test_the_same_plan_is_drawn_once_and_a_new_one_takes_its_place(builds):
    draw()
    assert odds_draw() is None
    change_the_plan()
    draw()
    assert [row.revision for row in PlanOdds.objects.all()] == [1]


def test_what_one_more_build_needs_is_drawn_alone_and_the_line_when_it_is_asked_for(builds):
    row = odds_draw(line=False)
    assert row is not None
    assert (row.line, from_bytes(bytes(row.timelines)).samples) == ({}, 40)
    assert odds_draw(line=False) is None
    assert set(draw().line) == {"B-1001", "B-1002"}
    assert odds_draw(line=False) is None


def test_a_new_day_is_drawn_anew(builds, morning, set_clock):
    draw()
    set_clock(morning + timedelta(days=1))
    draw()
    assert [row.day for row in PlanOdds.objects.all()] == [DAY + timedelta(days=1)]


def test_what_was_read_earlier_never_takes_the_place_of_what_is_newer(builds, monkeypatch):
    """A slow worker: it read the shop, then another one read a newer plan and was done first."""
    slow = odds_basis()
    change_the_plan()
    newer = draw()
    monkeypatch.setattr(service, "odds_basis", lambda: slow)
    assert odds_draw() is None
    assert PlanOdds.objects.get() == newer


def test_more_runs_take_the_place_of_fewer_and_not_the_reverse(builds, monkeypatch):
    few = draw()
    monkeypatch.setattr(service, "samples_for", lambda _: 60)
    more = draw()
    assert (few.samples, more.samples) == (40, 60)
    monkeypatch.setattr(service, "samples_for", lambda _: 40)
    assert odds_draw() is None
    assert PlanOdds.objects.get().samples == 60


def test_odds_of_a_history_that_a_backup_undid_are_dropped(builds):
    change_the_plan()
    draw()
    LineLock.objects.update(revision=0)
    assert draw().revision == 0
    assert [row.revision for row in PlanOdds.objects.all()] == [0]


def test_a_worker_killed_while_it_keeps_them_leaves_the_old_ones(builds, monkeypatch):
    old = draw()
    change_the_plan()

    def killed(*_: Any, **__: Any) -> None:
        raise SystemExit(1)  # what a worker told twice to stop raises, after the old row is gone

    monkeypatch.setattr(PlanOdds, "save", killed)
    with pytest.raises(SystemExit):
        odds_draw()
    monkeypatch.undo()
    assert PlanOdds.objects.get() == old


def test_a_shop_that_is_never_open_has_no_odds(builds):
    OpeningHours.objects.all().delete()
    assert odds_draw() is None
    assert not PlanOdds.objects.exists()


def test_an_empty_line_still_has_timelines_for_the_first_quote(shop, morning):
    row = draw()
    assert row.line == {}
    assert from_bytes(bytes(row.timelines)).samples == 40


def test_without_numba_fewer_runs_are_drawn_and_that_is_said(builds, monkeypatch):
    real = importlib.import_module

    def missing(name: str, *given: Any) -> Any:
        if name == "numba":
            raise ImportError(name)
        return real(name, *given)

    monkeypatch.setattr(importlib, "import_module", missing)
    assert warm_up() is False
    assert not engine().compiled
    row = draw()
    assert (row.samples, row.compiled, bytes(row.few_timelines)) == (40, False, b"")
    assert row.line["B-1001"]["few"] is True
    assert "Fewer runs than usual" in row.line["B-1001"]["note"]


def test_a_change_while_the_shop_is_read_has_it_read_again(builds, monkeypatch):
    real, readings = plan_basis, []

    def changing(**asked: Any) -> Any:
        found = real(**asked)
        readings.append(found)
        if len(readings) == 1:
            change_the_plan()
        return found

    monkeypatch.setattr(reading, "plan_basis", changing)
    assert odds_basis().state.revision == 1
    assert len(readings) == 2


def test_two_workers_at_once_keep_one_row(threads, morning):
    make_whole_shop()
    make_day_build()
    workers = threads()
    both = workers.run([odds_draw, odds_draw, odds_draw])
    assert not [answer for answer in both if isinstance(answer, Exception)]
    assert any(both)
    assert workers.look(lambda: [row.revision for row in PlanOdds.objects.all()]) == [0]


def test_a_change_in_the_midst_of_two_workers_ends_with_the_newer_plan(threads, morning):
    make_whole_shop()
    make_day_build()
    workers = threads()

    def change_and_draw() -> None:
        change_the_plan()
        odds_draw()

    answers = workers.run([odds_draw, change_and_draw, odds_draw])
    assert not [answer for answer in answers if isinstance(answer, Exception)]
    assert workers.look(lambda: [row.revision for row in PlanOdds.objects.all()]) == [1]


def test_drawing_takes_as_many_queries_for_a_long_line_as_for_a_short_one(shop, morning, monkeypatch):
    monkeypatch.setattr(service, "samples_for", lambda _: 2)
    make_day_build(1)
    one = queries_of(draw)
    for place in range(2, 12):
        make_day_build(place)
    change_the_plan()
    assert queries_of(draw) <= one  # the first made the lock's row


# What finished work and finished promises teach


def worked(build: Build, actual: str, factor: str = "1") -> BuildStep:
    """A finished step estimated at 10 hours (low, likely and high alike)."""
    ten = Decimal(10)
    return BuildStep.objects.create(
        build=build,
        position=9,
        code="done",
        label="Done",
        low_h=ten,
        likely_h=ten,
        high_h=ten,
        learned_factor=Decimal(factor),
        state="done",
        started_at=datetime(2026, 2, 3, 14, tzinfo=UTC),
        finished_at=datetime(2026, 2, 4, 14, tzinfo=UTC),
        actual_h=Decimal(actual),
    )


def test_hours_that_were_worked_shift_the_simulated_ones(shop, morning):
    """One step of 10 h that took 12: ln 1.2 = 0.1823. Prior 1/0.10² = 100, the step 1/0.30² = 11.1 (bias_from):
    center = 0.1823 × 11.1 / 111.1 = 0.0182."""
    assert hours_error() == (0.0, 0.10)
    worked(make_build(), "12")
    center, _ = hours_error()
    assert center == pytest.approx(0.0182, abs=0.0001)
    assert draw().hours_center == pytest.approx(center)


def test_what_the_estimates_have_learned_already_is_not_added_twice(shop, morning):
    """The step took 12 h where 10 h were estimated before and after learning 1.25: so the estimate before was 8 h, and
    12/8 = 1.5, ln 1.5 × 0.1 = 0.0405. Half of what is to do was learned at 1.25: ln 1.25 / 2 = 0.1116 is off again."""
    build = make_day_build()
    build.steps.create(position=2, code="b", label="B", low_h=1, likely_h=1, high_h=1, learned_factor=Decimal("1.25"))
    worked(build, "12", factor="1.25")
    assert hours_error()[0] == pytest.approx(0.1 * math.log(1.5) - math.log(1.25) / 2, abs=0.0001)


def finish(build: Build, day: int) -> None:
    moment = datetime(2026, 3, day, 17, tzinfo=UTC)
    Build.objects.filter(pk=build.pk).update(state="handed_over", place=None, finished_at=moment, handed_over_at=moment)


def test_only_fresh_simulated_promises_of_finished_builds_are_counted(shop, morning):
    builds = [make_build(place) for place in (1, 2, 3, 4)]
    give_from_odds(builds[0])
    give_from_odds(builds[1], basis="old_odds")  # its runs missed the last change
    give_from_odds(builds[2])  # being built
    give_from_odds(builds[3])
    Build.objects.filter(pk=builds[3].pk).update(state="cancelled", place=None)
    finish(builds[0], 12)
    finish(builds[1], 12)
    (kept,) = promises_come_due()
    assert (kept.odds, kept.finished) == (made_odds(), date(2026, 3, 12))


def test_the_level_moves_slowly_with_what_was_kept(shop, morning):
    """Four promises, all missed even at 99 %: for x the share kept is 20 x / 24, which reaches 0.80 at x = 0.96, and
    0.50 at x = 0.60."""
    for place in range(1, 5):
        build = make_build(place)
        give_from_odds(build, replace(made_odds(), days=(date(2026, 3, 3),) * 5))
        finish(build, 30)
    row = draw()
    assert row.from_level == pytest.approx(60.0, abs=0.1)
    assert row.to_level == pytest.approx(96.0, abs=0.1)
    assert [(rate["level"], rate["count"], rate["kept"]) for rate in row.rates] == [(50, 4, 0), (80, 4, 0), (90, 4, 0)]
