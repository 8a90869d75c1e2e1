"""The promise log: how often levels were kept, and the slow correction of the level used."""

from __future__ import annotations

import math
from datetime import date, timedelta

import pytest

from quoting.promise.levels import Kept, bias_from, corrected_level, hit_rates
from quoting.result import Odds

START = date(2027, 3, 1)
LEVELS = (10, 20, 30, 40, 50, 60, 70, 80, 90, 99)


def odds() -> Odds:
    """Level 10 on day 10, 20 on day 20 and so on."""
    days = tuple(START + timedelta(days=level) for level in LEVELS)
    return Odds(levels=LEVELS, days=days, samples=100, revision=1)


def log(*finished: int) -> list[Kept]:
    return [Kept(odds=odds(), finished=START + timedelta(days=day)) for day in finished]


def test_days_between_levels_are_in_proportion_and_rounded_up():
    assert odds().day_at(80) == START + timedelta(days=80)
    assert odds().day_at(84.2) == START + timedelta(days=85)
    assert odds().day_at(5) == START + timedelta(days=10)
    assert odds().day_at(100) == START + timedelta(days=99)
    assert odds().chance_by(START + timedelta(days=55)) == 0.5
    assert odds().chance_by(START) == 0


def test_rates_are_counted_with_n():
    rates = hit_rates(log(*([40] * 26), *([85] * 5)))
    assert [(rate.level, rate.count, rate.kept) for rate in rates] == [(50, 31, 26), (80, 31, 26), (90, 31, 31)]
    assert rates[1].text == "Of 31 promises at 80 %, 26 kept."
    assert hit_rates([])[0].text == "No promise at 50 % has come due."


def test_without_a_log_the_level_is_used_as_it_is():
    assert corrected_level([], 80) == 80


def test_promises_kept_too_seldom_raise_the_level_slowly():
    # Four of ten late at every level below 95: (6 + 20 x/100)/30 = 0.8 gives x = 90.
    assert corrected_level(log(*([10] * 6), *([95] * 4)), 80) == pytest.approx(90, abs=0.1)


def test_promises_always_kept_lower_it_slowly():
    # Ten of ten kept: (10 + 20 x/100)/30 = 0.8 gives x = 70.
    assert corrected_level(log(*([10] * 10)), 80) == pytest.approx(70, abs=0.1)


def test_the_bias_of_estimates_is_shrunk_to_the_prior():
    assert bias_from([]) == (0.0, 0.10)
    # Nine steps 20 % over: log 1.2 = 0.1823; spread sqrt(0.09 x 20/(8 + 20)) = 0.2535; weight 9/0.2535^2 = 140.0
    # against 1/0.1^2 = 100: center 0.1823 x 140/240 = 0.1064, spread 1/sqrt(240) = 0.0645.
    center, spread = bias_from([(12.0, 10.0)] * 9)
    assert center == pytest.approx(math.log(1.2) * 140 / 240, abs=1e-4)
    assert spread == pytest.approx(1 / math.sqrt(240), abs=1e-4)
