"""Whole runs of the simulated shop: each morning the line is planned anew, then a day is worked as it really goes.

Functions as in `laying`: compiled or plain, with the same results. Two shops that differ in when parts come are the
same until one of them does what the other cannot yet: they are run once up to that morning, and apart from there.
"""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Lanes, Places, State, Work
from quoting.promise.odds.laying import day_of, new_lanes
from quoting.promise.odds.morning import look_round, plan_morning
from quoting.promise.odds.working import soonest, take_up, work_day


def new_state(ground: Ground, work: Work) -> State:
    """Room for a shop at some moment."""
    people, benches, builds = len(ground.away_at) - 1, len(ground.down_at) - 1, len(work.at) - 1
    room = np.zeros((8, builds), np.int64)
    staff, place = np.zeros((3, people), np.int64), np.zeros((2, benches), np.int64)
    return State(
        room[0], room[1], room[2], room[3], room[4], staff[0], place[0], staff[1], place[1],
        np.zeros(people * len(work.skill), np.int64), staff[2], room[5], room[6], room[7], np.zeros(1, np.int64),
    )  # fmt: skip


def new_plan(work: Work) -> tuple[Places, Ints]:
    """Room for a morning's plan, and the build of each step."""
    room = np.full((4, len(work.skill)), -1, np.int64)
    builds = np.zeros(len(work.skill), np.int64)
    for build in range(len(work.at) - 1):
        builds[work.at[build] : work.at[build + 1]] = build
    return Places(room[0], room[1], room[2], room[3]), builds


def begin(work: Work, state: State, now: int) -> None:
    """Everybody free, every build at its first step."""
    for build in range(len(state.next)):
        state.next[build], state.ready[build], state.at[build] = work.at[build], now, -1
        state.left[build], state.worked[build] = 0, 0
    for person in range(len(state.on)):
        state.on[person] = -1
    for bench in range(len(state.held)):
        state.held[bench] = -1
    state.noticed[0] = 0


def remember(state: State, other: State) -> None:
    """Make another shop like this one: what a morning begins with."""
    for build in range(len(state.next)):
        other.next[build], other.ready[build], other.at[build] = state.next[build], state.ready[build], state.at[build]
        other.left[build], other.worked[build] = state.left[build], state.worked[build]
    for person in range(len(state.on)):
        other.on[person] = state.on[person]
    for bench in range(len(state.held)):
        other.held[bench] = state.held[bench]


def run_days(
    ground: Ground, work: Work, lengths: Ints, gates: Ints, later: Ints, today: int, now: int, ahead: int, reach: int,
    state: State, other: State, lanes: Lanes, plan: Places, builds: Ints, out: Places,
) -> int:  # fmt: skip
    """The shop from a day until every build is done: each morning a plan `reach` calendar days on, then a day's work.

    Parameters: `lengths` and `gates` as they truly turn out; `ahead` how far before its planned start a step may be
    started. Fills: `out` what was worked when; `other` the shop on the last morning it is still the same with the
    `later` gates. Returns: that day, unless it was noticed before.
    """
    same, first = today, 0
    while today < len(ground.day) - 1 and first < NEVER:
        morning, evening = max(ground.day[today], now), ground.day[today + 1]
        first = soonest(work, state, gates)
        if first >= evening and first < NEVER:
            today = max(day_of(ground.day, first), today + 1)
        elif first < NEVER:
            if evening > morning:
                if state.noticed[0] == 0:
                    remember(state, other)
                    same = today
                look_round(ground, state, morning)
                horizon = ground.day[min(today + reach, len(ground.day) - 1)]
                plan_morning(ground, work, lanes, state, gates, later, morning, evening, horizon, ahead, plan)
                work_day(ground, work, state, builds, lengths, gates, later, morning, evening, ahead, plan, out)
            today += 1
    return same


def finish_of(work: Work, state: State, finish_gate: Ints, finish: Ints) -> None:
    """When each build is done, NEVER past the horizon."""
    for build in range(len(state.next)):
        done = state.next[build] >= work.at[build + 1]
        finish[build] = max(state.ready[build], finish_gate[build]) if done else NEVER


def worked_until(work: Work, other: State, out: Places, row: int, later_out: Places) -> None:
    """Copy what one shop worked up to the morning of `other` to the one it was the same as until then."""
    for build in range(len(other.next)):
        for step in range(work.at[build], work.at[build + 1]):
            started = step < other.next[build] or (step == other.next[build] and other.left[build] > 0)
            later_out.start[row, step] = out.start[row, step] if started else 0
            later_out.end[row, step] = out.end[row, step] if step < other.next[build] else 0
            later_out.person[row, step] = out.person[row, step] if started else -1
            later_out.bench[row, step] = out.bench[row, step] if started else -1


def run_samples(
    ground: Ground, work: Work, lengths: Ints, gates: Ints, finish_gate: Ints, now: int, ahead: int, reach: int,
    low: int, high: int, out: Places, finish: Ints,
) -> None:  # fmt: skip
    """The samples low..high from `now` until every build is done, one row each."""
    state, lanes = new_state(ground, work), new_lanes(ground, len(work.skill))
    plan, builds = new_plan(work)
    today = day_of(ground.day, now)
    for row in range(low, high):
        places = Places(out.start[row], out.end[row], out.person[row], out.bench[row])
        begin(work, state, now)
        take_up(ground, work, state, lengths[row], gates[row], gates[row], now, places)
        run_days(
            ground, work, lengths[row], gates[row], gates[row], today, now, ahead, reach, state, state, lanes, plan,
            builds, places,
        )  # fmt: skip
        finish_of(work, state, finish_gate[row], finish[row])


def run_pairs(
    ground: Ground, work: Work, lengths: Ints, gates: Ints, finish_gate: Ints, later: Ints, later_finish_gate: Ints,
    now: int, ahead: int, reach: int, low: int, high: int, out: Places, finish: Ints, later_out: Places,
    later_finish: Ints,
) -> None:  # fmt: skip
    """`run_samples` for two shops at once: with these gates, and with `later` ones, none of which is sooner."""
    state, other = new_state(ground, work), new_state(ground, work)
    lanes = new_lanes(ground, len(work.skill))
    plan, builds = new_plan(work)
    day = day_of(ground.day, now)
    for row in range(low, high):
        places = Places(out.start[row], out.end[row], out.person[row], out.bench[row])
        late_places = Places(later_out.start[row], later_out.end[row], later_out.person[row], later_out.bench[row])
        begin(work, other, now)
        take_up(ground, work, other, lengths[row], later[row], later[row], now, late_places)
        begin(work, state, now)
        take_up(ground, work, state, lengths[row], gates[row], later[row], now, places)
        apart = state.noticed[0] == 1
        today = run_days(
            ground, work, lengths[row], gates[row], later[row], day, now, ahead, reach, state, other, lanes, plan,
            builds, places,
        )  # fmt: skip
        if state.noticed[0] == 0:
            remember(state, other)
        if not apart:
            worked_until(work, other, out, row, later_out)
        if state.noticed[0] == 1:
            run_days(
                ground, work, lengths[row], later[row], later[row], today, now, ahead, reach, other, other, lanes,
                plan, builds, late_places,
            )  # fmt: skip
        finish_of(work, state, finish_gate[row], finish[row])
        finish_of(work, other, later_finish_gate[row], later_finish[row])
