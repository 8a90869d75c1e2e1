"""What a change order and a window entered at a build keep of the simulated runs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.contrib.auth.models import User

from quoting import QuoteResult, from_json, to_json
from quoting.result import Odds, Promise
from shop.models import Build, LineLock, PlanOdds, PromiseEntry, QuoteOption, QuoteVersion, Shop
from shop.selectors.change_page import change_page
from shop.selectors.odds_basis import promises_come_due
from shop.services.builds import build_promise_change
from shop.services.promise_basis import promise_basis
from shop.services.quotes import extra_add, step_change
from tests.shop.made_builds import make_build
from tests.shop.made_changes import accept, begin, make_running, offer
from tests.shop.made_odds import draw, give_from_odds, keep_line, made_odds


@pytest.fixture
def owner(person: Callable[[str], User]) -> User:
    return person("owner")


@pytest.fixture
def build(shop: Shop, morning: datetime, owner: User) -> Build:
    """Promised without runs; they are there from now on."""
    build = make_running(shop, owner)
    draw()
    return build


def fee(option: QuoteOption, owner: User) -> None:
    extra_add(option=option, person=owner, kind="fee", label="Decals", amount=Decimal(40), cost=None, tax_class="fee")


def frozen(version: QuoteVersion) -> Promise:
    promise = from_json(QuoteResult, version.result).options[0].promise
    assert promise is not None
    return promise


def test_a_change_that_takes_no_time_is_expected_as_the_line_is(build: Build, owner: User) -> None:
    """The same random numbers: with and without it, the days are those the worker kept for the build."""
    row = PlanOdds.objects.get()
    change, option = begin(build, owner)
    fee(option, owner)
    offered = offer(change)
    line = from_json(Odds, row.line[build.number])
    promise = frozen(offered.version)
    assert promise.odds is not None
    assert promise.odds.days == line.days
    assert (
        (offered.without_from, offered.without_to) == (line.p50, line.p80) == (promise.finish_from, promise.finish_to)
    )


def test_an_accepted_change_writes_its_distribution_down(build: Build, owner: User) -> None:
    change, option = begin(build, owner)
    step_change(step=option.steps.get(code="wiring"), person=owner, hours=Decimal(120))
    offered = offer(change)
    entry = accept(offered, owner).promise
    assert entry is not None
    odds = from_json(Odds, entry.odds)
    assert (entry.kind, entry.basis, odds.samples, odds.stale, len(odds.levels)) == ("agreed", "odds", 40, False, 20)
    assert offered.without_to is not None
    assert odds.p80 > offered.without_to  # 120 hours instead of some 30 in an eight-hour day
    assert entry.finish_to >= odds.p80
    assert odds.day_at(entry.to_level or 0) <= entry.finish_to
    page = change_page(change.public_id)
    assert page.effect is not None
    assert page.effect.kept_words.startswith("kept in ")


def test_without_runs_a_change_is_promised_from_the_plan(shop: Shop, morning: datetime, owner: User) -> None:
    build = make_running(shop, owner)
    change, option = begin(build, owner)
    step_change(step=option.steps.get(code="wiring"), person=owner, hours=Decimal(120))
    offered = offer(change)
    entry = accept(offered, owner).promise
    assert entry is not None
    assert (entry.kind, entry.basis, entry.odds) == ("agreed", "plan", None)
    assert frozen(offered.version).odds is None
    page = change_page(change.public_id)
    assert page.effect is not None
    assert page.effect.kept_words == ""


# made_odds: done by 4 March in 5 % of the runs, the 10th in 50, the 16th in 80, the 20th in 90, the 31st in 99.


@pytest.mark.parametrize(
    ("first", "last", "stale", "expected"),
    [
        (10, 16, False, ("odds", 50.0, 80.0)),
        (10, 16, True, ("old_odds", 50.0, 80.0)),
        (12, 21, False, ("person", 50.0, 90.0)),
        (3, 15, True, ("person", 0.0, 50.0)),
    ],
)
def test_days_entered_at_a_build_say_whose_they_are_and_how_sure(
    build: Build, owner: User, first: int, last: int, stale: bool, expected: tuple[str, float, float]
) -> None:
    keep_odds(build, stale)
    entry = build_promise_change(
        build=build, finish_from=date(2026, 3, first), finish_to=date(2026, 3, last), reason="Motor late", person=owner
    )
    assert (entry.kind, entry.basis, entry.from_level, entry.to_level) == ("changed", expected[0], *expected[1:])
    assert from_json(Odds, entry.odds) == made_odds(stale=stale)


def keep_odds(build: Build, stale: bool) -> None:
    PlanOdds.objects.all().delete()
    keep_line({build.number: made_odds()})
    if stale:
        LineLock.objects.update(revision=LineLock.objects.get().revision + 1)


def test_a_window_that_is_not_that_of_the_two_levels_has_its_own() -> None:
    odds = made_odds()
    promise = Promise(place=1, finish_from=odds.p50, finish_to=odds.p80, odds=odds, levels=(50.0, 80.0), revision=1)
    assert promise_basis(promise)["to_level"] == 80.0
    moved = promise_basis(promise, (date(2026, 3, 12), date(2026, 3, 20)))
    assert (moved["basis"], moved["from_level"], moved["to_level"]) == ("odds", 50.0, 90.0)


def test_of_each_build_the_window_for_the_work_that_was_agreed_last_counts(shop: Shop, morning: datetime) -> None:
    """One finished on the 12th by its first window, moved later for a late motor; one with a change order."""
    moved, changed = (make_build(place) for place in (1, 2))
    for build in (moved, changed):
        give_from_odds(build)
        done = datetime(2026, 3, 12, 16, tzinfo=UTC)
        Build.objects.filter(pk=build.pk).update(state="handed_over", place=None, finished_at=done, handed_over_at=done)
    later = made_odds(days=tuple(day.replace(month=4, day=min(day.day, 30)) for day in made_odds().days))
    for build, kind in ((moved, "changed"), (changed, "agreed")):
        PromiseEntry.objects.create(
            build=build,
            kind=kind,
            finish_from=later.p50,
            finish_to=later.p80,
            reason="told",
            basis="odds",
            odds=to_json(later),
            from_level=50,
            to_level=80,
            revision=2,
        )
    assert sorted(each.odds.p50 for each in promises_come_due()) == [date(2026, 3, 10), date(2026, 4, 10)]
