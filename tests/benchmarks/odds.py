"""Odds and re-plans beside their targets; called by python -m tests.benchmarks.promise --odds --replan

Wall time, and processor time beside it, as the wall says little on a busy machine. Timelines of long lines are drawn
with few samples and repeated to a thousand, each with its own memory: what an answer costs does not depend on it.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from time import perf_counter, process_time

import numpy as np

from quoting.odds import Dice, Timelines, odds_behind, simulate_behind, warm_up
from quoting.promise import prepare
from quoting.promise.odds.arrays import Packed
from quoting.promise.odds.arrivals import Deliveries
from quoting.promise.plan import PlannedShop, prepare_shop
from quoting.promise.replan.bounds import flow_bound
from quoting.promise.replan.floor import problem_of
from quoting.promise.replan.run import FROZEN_DAYS
from quoting.promise.replan.solve import Effort, least_flow, least_lateness
from quoting.promise.replan.windows import windows_of
from quoting.replanning import Limits, replan
from quoting.request import Policies, QuoteRequest, ShopState

SAMPLES = 1000
COUNTER_MS = {20: 5, 100: 10, 300: 20, 1000: 50}
DRAWN = {20: 1000, 100: 100, 300: 12, 1000: 2}
CACHE_S = {20: 0.2, 60: 1.0, 100: 3.0}
ANSWERS = 60


def counter(request_of: Callable[[int], QuoteRequest]) -> None:
    """A counter answer with a thousand samples: half and 99 in a hundred of the times."""
    begin = perf_counter()
    warm_up()
    sys.stdout.write(f"\nwarm-up {perf_counter() - begin:.1f} s\n")
    sys.stdout.write(
        f"{'builds':>6} {'p50':>7} {'p99':>7} {'cpu p50':>8} {'cpu p99':>8} {'target':>7}  [ms] odds at the counter\n"
    )
    for builds, target in COUNTER_MS.items():
        request = request_of(builds)
        planned = prepare(request)
        timelines = repeated(simulate_behind(planned, Dice(DRAWN[builds])))
        walls, cpus = [], []
        for _ in range(ANSWERS):
            wall, cpu = perf_counter(), process_time()
            assert odds_behind(timelines, planned, request.options[0])
            walls.append((perf_counter() - wall) * 1000)
            cpus.append((process_time() - cpu) * 1000)
        half, most = np.quantile(walls, [0.5, 0.99])
        cpu_half, cpu_most = np.quantile(cpus, [0.5, 0.99])
        sys.stdout.write(f"{builds:6} {half:7.1f} {most:7.1f} {cpu_half:8.1f} {cpu_most:8.1f} {target:7}\n")


def repeated(timelines: Timelines) -> Timelines:
    """The same timelines over and over until there are a thousand."""
    times = SAMPLES // timelines.samples
    lanes, entries = timelines.lanes, len(timelines.lanes.start)
    shift = np.repeat(np.arange(times) * entries, timelines.samples)[:, None]
    kept = timelines.deliveries
    return replace(
        timelines,
        dice=replace(timelines.dice, samples=timelines.samples * times),
        lanes=Packed(
            np.tile(lanes.start, times),
            np.tile(lanes.end, times),
            np.tile(lanes.low, (times, 1)) + shift,
            np.tile(lanes.high, (times, 1)) + shift,
        ),
        deliveries=Deliveries(
            {row: np.tile(days, times) for row, days in kept.rows.items()},
            {code: np.tile(days, times) for code, days in kept.last.items()},
        ),
    )


def caches(request_of: Callable[[int], QuoteRequest]) -> None:
    """Playing 300 samples of the shop's policy."""
    sys.stdout.write(f"\n{'builds':>6} {'wall':>7} {'cpu':>7} {'target':>7}  [s] timelines of 300 samples\n")
    for builds, target in CACHE_S.items():
        planned = prepare(request_of(builds))
        wall, cpu = perf_counter(), process_time()
        simulate_behind(planned, Dice(300))
        sys.stdout.write(f"{builds:6} {perf_counter() - wall:7.2f} {process_time() - cpu:7.2f} {target:7}\n")


def plain_lateness(planned: PlannedShop) -> None:
    """The same lateness by CP-SAT from the standing plan alone, without lists."""
    floor = problem_of(planned, FROZEN_DAYS)
    standing, problem = floor.standing, floor.problem
    windows = windows_of(problem, max(standing.end) + 200)
    solved = least_lateness(problem, windows, standing.lateness(problem), standing, Effort(seconds=5))
    late = (solved.plan or standing).score(problem)[0]
    sys.stdout.write(f"        plain CP-SAT alone, 5 s: lateness {late / 4:.0f} h, {solved.ended}\n")


def replans(shop_of: Callable[[int], ShopState], day: date) -> None:
    """Lateness found and proved at 20, 60 and 120 builds, and the flow gap at 60 after a minute."""
    now = datetime(day.year, day.month, day.day, 15, tzinfo=UTC)
    warm_up()
    replan(prepare_shop(shop_of(2), now, day, Policies()), Limits(flow=Effort(seconds=1)))  # loads the library
    sys.stdout.write(f"\n{'builds':>6} {'time':>7} {'cpu':>7}  re-plan\n")
    for builds, flow in ((20, None), (60, Effort(seconds=60)), (120, None)):
        shop = shop_of(builds)
        plan = prepare_shop(shop, now, day, Policies())
        promised = {
            outlook.build.number: outlook.finish_from + timedelta(days=(7 * at) % 13 - 2)
            for at, outlook in enumerate(plan.outlooks)
            if outlook.finish_from
        }
        line = tuple(replace(build, promised_to=promised[build.number]) for build in shop.builds)
        planned = prepare_shop(replace(shop, builds=line), now, day, Policies())
        begin, cpu = perf_counter(), process_time()
        found = replan(planned, Limits(lateness=Effort(seconds=5), flow=flow, change=None))
        sys.stdout.write(
            f"{builds:6} {perf_counter() - begin:7.1f} {process_time() - cpu:7.1f}  {found.method}, lateness "
            f"{found.lateness_before_h:.0f} -> {found.lateness_h:.0f} h, at least {found.lateness_bound_h:.0f}, "
            f"{found.ended[0]} (target proved, 5 s)\n"
        )
        if not flow:
            plain_lateness(planned)
        if flow:
            sys.stdout.write(
                f"        flow {found.flow_before_h:.0f} -> {found.flow_h:.0f} h, at least {found.flow_bound_h:.0f}, "
                f"gap {found.gap:.1%} (target 8 % in 60 s)\n"
            )
            floor = problem_of(planned, FROZEN_DAYS)
            standing, problem = floor.standing, floor.problem
            solved = least_flow(
                problem,
                windows_of(problem, max(standing.end) + 200),
                standing.lateness(problem),
                standing.score(problem)[0],
                standing,
                Effort(seconds=60),
            )
            before = len(problem.jobs) * problem.now
            value = (sum(solved.plan.finish(problem)) if solved.plan else sum(standing.finish(problem))) - before
            plain, ours = solved.bound - before, flow_bound(problem) - before
            sys.stdout.write(
                f"        plain CP-SAT alone: flow {value / 4:.0f} h, bound {plain / 4:.0f}; ours {ours / 4:.0f}\n"
            )
