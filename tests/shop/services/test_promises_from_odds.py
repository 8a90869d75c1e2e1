"""What an offer freezes and a deposit promises: the window of the kept runs, with the distribution it was read from."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import pytest
from django.contrib.auth.models import User

from quoting import from_json
from quoting.result import Odds, Promise, QuoteResult
from shop.models import PlanOdds, PromiseEntry, QuoteVersion, Shop
from shop.services.builds import build_promise_change
from shop.services.line_lock import line_lock
from tests.shop.made_builds import make_day_build
from tests.shop.made_odds import draw
from tests.shop.made_offers import make_offered, take


@pytest.fixture
def till(person: Callable[[str], User]) -> User:
    return person("counter")


def frozen(version: QuoteVersion) -> Promise:
    promise = from_json(QuoteResult, version.result).options[0].promise
    assert promise is not None
    return promise


def test_an_offer_freezes_the_simulated_window(shop: Shop, morning: datetime) -> None:
    draw()
    promise = frozen(make_offered(shop))
    assert promise.odds is not None
    assert (promise.finish_from, promise.finish_to) == (promise.odds.p50, promise.odds.p80)
    assert promise.planned_from is not None


def test_a_deposit_writes_the_whole_distribution_down(shop: Shop, morning: datetime, till: User) -> None:
    """Its own lock makes revision 1; the runs are of 0, the plan just before, and so they are fresh."""
    version = make_offered(shop)
    draw()
    build = take(version, till).build
    entry = PromiseEntry.objects.get(build=build)
    odds = from_json(Odds, entry.odds)
    assert (entry.basis, entry.from_level, entry.to_level, entry.revision) == ("odds", 50.0, 80.0, 1)
    assert (odds.samples, odds.revision, odds.stale, len(odds.levels)) == (40, 0, False, 20)
    assert (entry.finish_from, entry.finish_to) == (odds.p50, odds.p80) == (build.promised_from, build.promised_to)


def test_a_deposit_uses_the_level_that_finished_promises_ask_for(shop: Shop, morning: datetime, till: User) -> None:
    version = make_offered(shop)
    draw()
    PlanOdds.objects.update(to_level=95.0)
    entry = PromiseEntry.objects.get(build=take(version, till).build)
    assert (entry.to_level, entry.finish_to) == (95.0, from_json(Odds, entry.odds).day_at(95))


def test_without_kept_runs_the_entry_says_so(shop: Shop, morning: datetime, till: User) -> None:
    version = make_offered(shop)
    entry = PromiseEntry.objects.get(build=take(version, till).build)
    assert (entry.basis, entry.odds, entry.from_level) == ("plan", None, None)
    assert (entry.finish_from, entry.finish_to) == (frozen(version).finish_from, frozen(version).finish_to)


def test_runs_from_before_the_last_change_are_written_down_as_such(shop: Shop, morning: datetime, till: User) -> None:
    version = make_offered(shop)
    draw()
    with line_lock():
        make_day_build()
    entry = PromiseEntry.objects.get(build=take(version, till).build)
    assert entry.basis == "old_odds"
    assert from_json(Odds, entry.odds).stale
    assert entry.finish_from >= from_json(Odds, entry.odds).p50


def test_days_that_a_person_names_have_no_distribution(shop: Shop, morning: datetime, till: User) -> None:
    build = take(make_offered(shop), till).build
    assert build.promised_to is not None
    entry = build_promise_change(
        build=build, finish_from=build.promised_to, finish_to=build.promised_to, reason="Motor late", person=till
    )
    assert (entry.basis, entry.odds) == ("person", None)


def test_pressing_twice_writes_one_entry(shop: Shop, morning: datetime, till: User) -> None:
    version = make_offered(shop)
    draw()
    first, again = take(version, till), take(version, till)
    assert (first.created, again.created, PromiseEntry.objects.count()) == (True, False, 1)
