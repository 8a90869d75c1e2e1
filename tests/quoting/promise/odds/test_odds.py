"""The simulation keeps the shop's rules, repeats itself, and is the same compiled and plain."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quoting.promise.answer import outlook_of
from quoting.promise.odds import (
    PLAIN,
    Dice,
    Engine,
    KeptError,
    Timelines,
    from_bytes,
    odds_behind,
    simulate_behind,
    simulate_line,
    simulate_shop,
    to_bytes,
)
from quoting.promise.odds.arrays import Ground
from quoting.promise.odds.behind import insert_chain
from quoting.promise.odds.draws import pert_quantile, stratified_normals, uniforms
from quoting.promise.odds.engine import load_compiled
from quoting.promise.odds.ground import chain_of
from quoting.promise.odds.morning import notice
from quoting.promise.odds.running import new_plan, new_state
from quoting.promise.odds.timelines import Played, draw_line, grounds, play, play_both
from quoting.promise.plan import PlannedShop, prepare_shop
from quoting.promise.work import Pace
from quoting.request import Option, Policies, ShopState
from tests.quoting.promise.odds.calibration_shops import DAY, calibration_shop
from tests.quoting.promise.random_shops import options, shops

NOW = datetime(2027, 3, 1, 13, tzinfo=UTC)


@pytest.fixture(scope="module")
def compiled_loops() -> Engine:
    loops = load_compiled()
    if loops is None:
        pytest.skip("numba is not installed")
    return loops


def planned_of(shop: ShopState) -> PlannedShop:
    return prepare_shop(shop, NOW, DAY, Policies())


def played_of(planned: PlannedShop, samples: int = 3) -> tuple[Ground, Played]:
    ground, names = grounds(planned)
    dice = Dice(samples)
    return ground, play(planned, dice, ground, draw_line(planned, dice, ground, names), PLAIN)


def away_within(ground: Ground, person: int, start: int, end: int) -> int:
    """Minutes of leave inside an interval."""
    spans = range(int(ground.away_at[person]), int(ground.away_at[person + 1]))
    return sum(max(min(end, int(ground.away_end[at])) - max(start, int(ground.away_start[at])), 0) for at in spans)


@given(shop=shops())
@settings(max_examples=40)
def test_a_simulated_shop_keeps_every_rule(shop: ShopState):
    planned = planned_of(shop)
    ground, played = played_of(planned)
    work, places = played.draw.work, played.places
    for row in range(places.start.shape[0]):
        start, end, person, bench = (column[row] for column in places)
        for build in range(len(work.at) - 1):
            steps = range(int(work.at[build]), int(work.at[build + 1]))
            assert all(end[one] <= start[one + 1] for one in list(steps)[:-1])
            assert all(start[one] >= played.draw.gates[row, one] or work.under_way[one] for one in steps)
        at_work = [step for step in range(len(start)) if person[step] >= 0]
        for one, other in combinations(at_work, 2):
            if start[one] < end[other] and start[other] < end[one]:
                assert person[one] != person[other]
                assert bench[one] != bench[other] or bench[one] < 0
        for step in at_work:
            span = end[step] - start[step]
            down = len(ground.down_start)
            if not down:  # hours are exact: it stands still over leave and for nothing else
                leave = away_within(ground, int(person[step]), int(start[step]), int(end[step]))
                assert span - leave == played.draw.lengths[row, step]


@given(shop=shops(), option=options())
@settings(max_examples=25)
def test_one_more_build_leaves_the_timelines_as_they_are(shop: ShopState, option: Option):
    planned = planned_of(shop)
    steps = option.steps
    timelines = simulate_behind(
        planned, Dice(3), {step.skill for step in steps}, {step.bench_type for step in steps}, PLAIN
    )
    before = to_bytes(timelines)
    odds = odds_behind(timelines, planned, option, PLAIN)
    assert to_bytes(timelines) == before
    assert odds == odds_behind(from_bytes(before), planned, option, PLAIN)
    outlook = outlook_of(planned, option)
    assert (odds is None) == bool(outlook.stops)
    if odds is not None:
        assert list(odds.days) == sorted(odds.days)
        got = insert_chain(timelines, planned, chain_of(planned, outlook, planned.floors[Pace.LIKELY]), PLAIN)
        assert (got.places.start[:, 1:] >= got.places.end[:, :-1]).all()


@given(shop=shops())
@settings(max_examples=10)
def test_timelines_and_the_line_at_once_are_those_of_each_alone(shop: ShopState):
    planned = planned_of(shop)
    timelines, line = simulate_shop(planned, Dice(4), ("other",), loops=PLAIN)
    assert to_bytes(timelines) == to_bytes(simulate_behind(planned, Dice(4), ("other",), loops=PLAIN))
    assert line == simulate_line(planned, Dice(4), PLAIN)


@given(shop=shops(), seed=st.integers(0, 999))
@settings(max_examples=60)
def test_two_shops_whose_parts_come_at_other_times_are_played_as_each_alone(shop: ShopState, seed: int):
    planned, dice, random = planned_of(shop), Dice(3, seed=seed), np.random.default_rng(seed)
    ground, names = grounds(planned)
    drawn = draw_line(planned, dice, ground, names)
    shift = random.integers(0, 3000, drawn.gates.shape)  # a week of eight hours a day is 2400 minutes
    draw = replace(drawn, gates=np.maximum(drawn.gates, random.integers(0, 6000, drawn.gates.shape)))
    later = replace(
        draw, gates=draw.gates + np.where(random.random(shift.shape) < 0.3, shift, 0), finish_gate=draw.finish_gate + 60
    )
    for one, both in zip((draw, later), play_both(planned, dice, ground, draw, later, PLAIN), strict=True):
        alone = play(planned, dice, ground, one, PLAIN)
        assert (alone.finish == both.finish).all()
        assert all((a == b).all() for a, b in zip(alone.places, both.places, strict=True))


@pytest.mark.parametrize(("ready", "noticed"), [(8, 1), (9, 0)])
def test_a_plan_differs_when_a_step_is_laid_before_its_later_parts_are_expected(ready: int, noticed: int):
    planned = planned_of(calibration_shop(2, 1))
    ground, names = grounds(planned)
    work = draw_line(planned, Dice(1), ground, names).work
    state, (plan, _) = new_state(ground, work), new_plan(work)
    steps = len(work.skill)
    gates, later = np.zeros(steps, np.int64), np.full(steps, 0, np.int64)
    later[0], work.gate[0] = 6, 9  # here at 5 in one shop; in the other expected at 9
    notice(work, state, gates, later, 0, 1, ready, 5, 7, plan)
    assert state.noticed[0] == noticed


@pytest.mark.slow  # it compiles the loops first, where nobody has
def test_compiled_and_plain_loops_agree_to_the_minute(compiled_loops: Engine):
    planned = planned_of(calibration_shop(3, 8))
    plain, fast = (simulate_behind(planned, Dice(4), loops=loops) for loops in (PLAIN, compiled_loops))
    assert to_bytes(plain) == to_bytes(replace(fast, loops=plain.loops))
    assert simulate_line(planned, Dice(4), PLAIN) == simulate_line(planned, Dice(4), compiled_loops)
    assert simulate_shop(planned, Dice(4), loops=PLAIN)[1] == simulate_shop(planned, Dice(4), loops=compiled_loops)[1]


def test_the_same_seed_gives_the_same_bytes_and_another_seed_others():
    planned = planned_of(calibration_shop(5, 5))
    kept = [to_bytes(simulate_behind(planned, Dice(3, seed=seed), loops=PLAIN)) for seed in (1, 1, 2)]
    assert kept[0] == kept[1]
    assert kept[0] != kept[2]


def test_one_more_build_changes_no_other_draw():
    fewer, more = calibration_shop(4, 6), calibration_shop(4, 6)
    fewer = replace(fewer, builds=fewer.builds[:5])
    draws = []
    for shop in (fewer, more):
        planned = planned_of(shop)
        ground, names = grounds(planned)
        draws.append(draw_line(planned, Dice(5), ground, names).lengths)
    shared = draws[0].shape[1]
    assert (draws[0] == draws[1][:, :shared]).all()


def test_draws_are_even_and_belong_to_their_entity():
    numbers = uniforms(1, "step|7|paint|1", 20_000)
    assert 0 < numbers.min() < numbers.max() < 1
    assert numbers.mean() == pytest.approx(0.5, abs=0.01)  # 0.2887/sqrt(20000) = 0.002
    assert (uniforms(1, "step|7|paint|1", 10) == numbers[:10]).all()
    normals = stratified_normals(1, "supplier|x", 1000)
    assert normals.mean() == pytest.approx(0, abs=1e-9)
    assert normals.std() == pytest.approx(1, abs=0.01)
    assert len(np.unique(normals)) == 1000


def test_pert_draws_have_the_mean_of_the_estimate():
    # (5 + 4 x 8 + 14)/6 = 8.5, deviation about 1.6
    days = pert_quantile(5, 8, 14, uniforms(1, "a", 20_000))
    assert days.mean() == pytest.approx(8.5, abs=0.05)
    assert days.min() > 5
    assert days.max() < 14


@pytest.mark.parametrize("damaged", [b"", b"nonsense"])
def test_damaged_timelines_say_so(damaged: bytes):
    with pytest.raises(KeptError, match="Draw them anew"):
        from_bytes(damaged)


def test_a_plan_that_has_changed_is_said_to_be_stale():
    planned = planned_of(calibration_shop(2, 4))
    timelines: Timelines = simulate_behind(planned, Dice(4), loops=PLAIN)
    build = planned.shop.builds[0]
    option = Option(key="a", label="a", parts=(), steps=())
    assert odds_behind(timelines, planned, option, PLAIN) is None  # nothing to plan
    changed = replace(planned, shop=replace(planned.shop, revision=9))
    lines = simulate_line(planned, Dice(4), PLAIN)
    assert lines[build.number].few
    assert not lines[build.number].stale
    assert changed.shop.revision != timelines.revision
