"""The window that is told: the days of two levels where runs are at hand, the plan's own where they are not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from functools import cache
from typing import Any

import pytest

from quoting import from_json, quote, to_json
from quoting.odds import Dice, Simulated, causes_text, odds_behind, simulate_behind, told_promise
from quoting.promise import PlannedShop, insert, prepare
from quoting.promise import told as module
from quoting.promise.odds import odds_of_outlook
from quoting.request import Option, QuoteRequest, ShopState
from quoting.result import Decider, Odds, Promise
from tests.quoting.promise.shops import build, due, lead, march, option, part, request, shop, step, work

ASKED = option(part("motor"), work("fit", 12, "lift", low_h=Decimal(8), high_h=Decimal(24)))
STATE = shop(
    builds=(build(1, [step("fit", 10, "lift", low_h=Decimal(6), high_h=Decimal(30))]),),
    supplies=(lead("motor", 20, 60),),
    revision=5,
)


def asked_of(state: ShopState, asked: Option = ASKED) -> tuple[PlannedShop, Promise]:
    planned = prepare(request(state, asked))
    return planned, insert(planned, asked)


@cache
def runs() -> Simulated:
    return Simulated(simulate_behind(asked_of(STATE)[0], Dice(60)))


def told(state: ShopState = STATE, simulated: Simulated | None = None, asked: Option = ASKED) -> Promise:
    planned, promise = asked_of(state, asked)
    return told_promise(planned, asked, promise, simulated or runs())


def test_without_runs_the_promise_is_the_plans():
    planned, promise = asked_of(STATE)
    assert told_promise(planned, ASKED, promise, None) is promise


def test_with_runs_it_is_told_from_the_day_half_of_them_reach_to_that_of_four_in_five():
    planned, plain = asked_of(STATE)
    odds = odds_behind(runs().timelines, planned, ASKED)
    assert odds is not None
    promise = told()
    assert (promise.finish_from, promise.finish_to) == (odds.p50, odds.p80)
    assert (promise.planned_from, promise.planned_to) == (plain.finish_from, plain.finish_to)
    assert (promise.odds, promise.levels, promise.method) == (odds, (50.0, 80.0), odds.note)
    assert promise.headline.startswith("In ")
    assert promise.planned_headline == plain.headline
    assert promise.reasons == plain.reasons


def test_the_levels_are_those_that_finished_promises_ask_for():
    careful = Simulated(runs().timelines, from_level=60.0, to_level=95.0)
    promise = told(simulated=careful)
    assert promise.odds is not None
    assert (promise.finish_from, promise.finish_to) == (promise.odds.day_at(60), promise.odds.day_at(95))
    assert promise.levels == (60.0, 95.0)


def test_runs_from_before_the_last_change_tell_no_day_before_the_plans_own():
    """Another build of 320 hours has joined the line since: forty days of the one bench that the runs do not know."""
    longer = replace(STATE, builds=(*STATE.builds, build(2, [step("fit", 320, "lift")])), revision=6)
    promise = told(longer)
    _, plain = asked_of(longer)
    assert promise.odds is not None
    assert promise.odds.stale
    assert "As of revision 5" in promise.method
    assert plain.finish_from is not None
    assert promise.odds.p50 < plain.finish_from  # else this would prove nothing
    assert (promise.finish_from, promise.finish_to) == (plain.finish_from, plain.finish_to)


def test_runs_that_begin_on_an_earlier_day_are_stale_too():
    asked = request(STATE, ASKED)
    tomorrow = prepare(replace(asked, day=march(2), now=asked.now + timedelta(days=1)))
    promise = told_promise(tomorrow, ASKED, insert(tomorrow, ASKED), runs())
    assert promise.odds is not None
    assert promise.odds.stale
    assert "begin on 2027-03-01" in promise.odds.note


@pytest.mark.parametrize("asked", [option(), option(part("nobody sells it")), option(work("paint", 3, "booth"))])
def test_what_has_no_day_in_the_plan_has_none_in_the_runs(asked: Option):
    promise = told(asked=asked)
    assert (promise.finish_from, promise.odds) == (None, None)


def test_a_quote_tells_every_option_so_and_its_json_keeps_it():
    asked: QuoteRequest = request(STATE, ASKED)
    result = quote(asked, runs())
    promise = result.options[0].promise
    assert promise == told()
    assert from_json(Promise, to_json(promise)) == promise
    plain = quote(asked).options[0].promise
    assert plain is not None
    assert plain.odds is None


def test_causes_are_named_from_one_run_in_five_on():
    odds = Odds(levels=(50,), days=(march(1),), samples=10, revision=1)
    assert causes_text(odds) == ""
    motor = Decider(kind="part", code="m", share=0.7, text="in 7 of 10 simulated runs the motor decides")
    own = Decider(kind="work", code="", share=0.2, text="in 2 of 10 simulated runs its own hours decide")
    rare = Decider(kind="part", code="b", share=0.1, text="in 1 of 10 simulated runs the box decides")
    said = causes_text(replace(odds, deciders=(motor, own, rare)))
    assert said == "In 7 of 10 simulated runs the motor decides; in 2 of 10 simulated runs its own hours decide."
    assert causes_text(replace(odds, deciders=(motor, own)), most=1) == f"I{motor.text[1:]}."


def test_what_does_not_touch_the_plan_is_not_worked_out_again(monkeypatch: pytest.MonkeyPatch):
    worked_out: list[Option] = []
    real = odds_of_outlook

    def counted(*given: Any) -> Odds | None:
        worked_out.append(given[2])
        return real(*given)

    monkeypatch.setattr(module, "odds_of_outlook", counted)
    fresh = Simulated(runs().timelines)
    first = told(simulated=fresh)
    dearer = replace(ASKED, parts=tuple(replace(line, unit_price=Decimal(9)) for line in ASKED.parts))
    assert told(simulated=fresh, asked=dearer).odds == first.odds
    assert len(worked_out) == 1
    ordered = replace(STATE, receipts=(due("motor", "1", march(20), supplier="Estuary Supply"),), revision=7)
    assert told(ordered, fresh).odds == told(ordered, fresh).odds
    assert len(worked_out) == 2
    told(simulated=fresh, asked=option(part("motor"), work("fit", 16, "lift")))
    told(replace(STATE, revision=6), simulated=fresh)
    assert len(worked_out) == 4
