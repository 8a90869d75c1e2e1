"""The window of a build that stands in line: runs of the line as it would be, with the numbers of the kept ones."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quoting import quote
from quoting.odds import Dice, Simulated, simulate_behind, simulate_line, told_standing
from quoting.promise import prepare, standing
from quoting.promise import told_standing as module
from quoting.request import ShopState
from quoting.result import Promise
from tests.quoting.promise.shops import build, lead, march, need, option, request, shop, step, work

ASKED = option(work("fit", 8, "lift", low_h=Decimal(6), high_h=Decimal(20)))
STATE = shop(
    builds=(
        build(1, [step("fit", 16, "lift", low_h=Decimal(8), high_h=Decimal(40))], [need("motor", "fit")]),
        build(2, [step("fit", 8, "lift", low_h=Decimal(6), high_h=Decimal(20))]),
    ),
    supplies=(lead("motor", 20, 60),),
    revision=5,
)


def runs(state: ShopState, dice: Dice | None = None) -> Simulated:
    return Simulated(simulate_behind(prepare(request(state, ASKED)), dice or Dice(60)))


def told(state: ShopState, number: str, simulated: Simulated | None) -> Promise:
    planned = prepare(request(state, ASKED))
    return told_standing(planned, number, standing(planned, number), simulated)


def lasting(hours: int) -> ShopState:
    return shop(builds=(build(1, [step("fit", hours, "lift")]),))


def test_hours_that_are_certain_end_on_one_day_and_more_of_them_later():
    """16 h from Monday the 1st at 8:00 end on Tuesday the 2nd; with 8 h more on Wednesday the 3rd, at every level."""
    certain = runs(lasting(16), Dice(20, hours_spread=0.0))
    for hours, day in ((16, march(2)), (24, march(3))):
        promise = told(lasting(hours), "B1", certain)
        assert promise.odds is not None
        assert set(promise.odds.days) == {day}
        assert (promise.finish_from, promise.finish_to) == (day, day)


def test_unchanged_it_has_the_odds_of_its_line():
    kept = runs(STATE)
    line = simulate_line(prepare(request(STATE, ASKED)), kept.timelines.dice)
    for number in ("B1", "B2"):
        promise = told(STATE, number, kept)
        assert promise.odds == line[number]
        assert (promise.finish_from, promise.finish_to) == (line[number].p50, line[number].p80)
        assert promise.planned_from == standing(prepare(request(STATE, ASKED)), number).finish_from


def test_runs_are_of_the_plan_at_hand_also_when_the_kept_ones_are_older():
    moved = replace(STATE, revision=9)
    promise = told(moved, "B2", runs(STATE))
    assert promise.odds is not None
    assert (promise.odds.revision, promise.odds.stale) == (9, False)


def test_without_runs_or_in_a_line_too_long_for_a_request_it_is_the_plans(monkeypatch):
    kept = runs(STATE)
    assert told(STATE, "B1", None).odds is None
    monkeypatch.setattr(module, "MOST_STEPS_PLAIN", 1)  # two steps are to do
    promise = told(STATE, "B1", kept)
    assert (promise.odds, promise.finish_from) == (None, told(STATE, "B1", None).finish_from)


def test_a_build_on_hold_has_no_day():
    held = replace(STATE, builds=(replace(STATE.builds[0], on_hold=True), STATE.builds[1]))
    promise = told(held, "B1", runs(STATE))
    assert (promise.finish_from, promise.odds) == (None, None)
    assert "on hold" in promise.blocked


def test_what_does_not_touch_the_plan_is_not_drawn_again(monkeypatch: pytest.MonkeyPatch):
    kept = runs(STATE)
    first = told(STATE, "B2", kept)
    monkeypatch.setattr(module, "simulate_line", None)  # would fail if it were called
    for same in (STATE, replace(STATE, supplies=(*STATE.supplies, lead("seat", 5, 9)))):  # no build needs a seat
        assert told(same, "B2", kept).odds == first.odds


def test_a_change_order_is_quoted_with_them():
    result = quote(replace(request(STATE, ASKED), changes="B2"), runs(STATE))
    promise = result.options[0].promise
    assert promise is not None
    assert promise.odds is not None
    assert isinstance(promise.finish_to, date)
    assert promise.levels == (50.0, 80.0)
