"""The inner loops of a shop's days: each morning the line is planned anew, then a day is worked as it really goes.

The day runs with true hours and true arrivals. Functions as in `laying`: compiled or plain, with the same results.
"""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Places, State, Work
from quoting.promise.odds.laying import back_from_outside, day_of, first_after, new_lanes
from quoting.promise.odds.morning import look_round, plan_morning


def new_state(work: Work, people: int, benches: int, now: int) -> State:
    """Everybody free, every build at its first step."""
    builds, steps = len(work.at) - 1, len(work.skill)
    return State(
        work.at[:-1].copy(),
        np.full(builds, now, np.int64),
        np.zeros(builds, np.int64),
        np.zeros(builds, np.int64),
        np.full(builds, -1, np.int64),
        np.full(people, -1, np.int64),
        np.full(benches, -1, np.int64),
        np.zeros(people, np.int64),
        np.zeros(benches, np.int64),
        np.zeros(people * steps, np.int64),
        np.zeros(people, np.int64),
    )


def pass_through(ground: Ground, work: Work, state: State, build: int, lengths: Ints, gates: Ints, out: Places) -> None:
    """Let a build run through the steps that need nobody: outside work and steps without hours."""
    while state.next[build] < work.at[build + 1]:
        step = state.next[build]
        if work.lead_days[step] <= 0 and lengths[step] > 0:
            return
        start = max(state.ready[build], gates[step])
        end = start
        if work.lead_days[step] > 0:
            end = back_from_outside(ground, start, work.lead_days[step])
        out.start[step], out.end[step], out.person[step], out.bench[step] = start, end, -1, -1
        state.ready[build] = end
        state.next[build] += 1


def take_up(ground: Ground, work: Work, state: State, lengths: Ints, gates: Ints, now: int, out: Places) -> None:
    """Put the steps under way at `now` in hand; one whose person is at another step already has to be started anew."""
    for step in work.begun:
        build = first_after(work.at, 0, len(work.at), step) - 1
        person, bench = work.person[step], work.bench[step]
        if state.next[build] != step or state.left[build] > 0:
            continue
        if work.lead_days[step] > 0 or person < 0 or lengths[step] <= 0:
            end = max(work.back[step], now + lengths[step])
            out.start[step], out.end[step], out.person[step], out.bench[step] = now, end, -1, -1
            state.ready[build] = end
            state.next[build] += 1
        elif state.on[person] < 0 and (bench < 0 or state.held[bench] < 0):
            state.on[person], state.left[build], state.at[build] = build, lengths[step], bench
            if bench >= 0:
                state.held[bench] = build
            out.start[step], out.person[step], out.bench[step] = now, person, bench
    for build in range(len(state.next)):
        if state.left[build] == 0:
            pass_through(ground, work, state, build, lengths, gates, out)


def start_next(
    work: Work, state: State, builds: Ints, person: int, lengths: Ints, gates: Ints, now: int, ahead: int,
    plan: Places, out: Places,
) -> None:  # fmt: skip
    """Let a free person take the first step of their queue that can be started and is planned within `ahead`."""
    room = len(work.skill)
    for at in range(person * room, person * room + state.queued[person]):
        step = state.queue[at]
        if plan.start[step] > now + ahead:
            return
        build, bench = builds[step], plan.bench[step]
        if state.next[build] != step or state.left[build] > 0 or state.ready[build] > now or gates[step] > now:
            continue
        if bench >= 0 and (state.held[bench] >= 0 or state.up[bench] == 0):
            continue
        state.on[person], state.left[build], state.worked[build], state.at[build] = build, lengths[step], 0, bench
        if bench >= 0:
            state.held[bench] = build
        out.start[step], out.person[step], out.bench[step] = now, person, bench
        return


def work_day(
    ground: Ground, work: Work, state: State, builds: Ints, lengths: Ints, gates: Ints, now: int, evening: int,
    ahead: int, plan: Places, out: Places,
) -> None:  # fmt: skip
    """Work from `now` to `evening` with the true hours: whoever is free takes the next step that can be started."""
    while now < evening:
        span = evening - now
        for person in range(len(state.on)):
            if state.here[person] == 1 and state.on[person] < 0:
                start_next(work, state, builds, person, lengths, gates, now, ahead, plan, out)
        for person in range(len(state.on)):
            build = state.on[person]
            if build >= 0 and state.here[person] == 1 and (state.at[build] < 0 or state.up[state.at[build]] == 1):
                span = min(span, state.left[build])
        now += span
        for person in range(len(state.on)):
            build = state.on[person]
            if build < 0 or state.here[person] == 0 or (state.at[build] >= 0 and state.up[state.at[build]] == 0):
                continue
            state.left[build] -= span
            state.worked[build] += span
            if state.left[build] == 0:
                out.end[state.next[build]] = now
                state.ready[build] = now
                state.next[build] += 1
                state.on[person] = -1
                if state.at[build] >= 0:
                    state.held[state.at[build]] = -1
                pass_through(ground, work, state, build, lengths, gates, out)


def soonest(work: Work, state: State, gates: Ints) -> int:
    """When the next step can be started or is at work: 0 when one is at work, NEVER when every build is done."""
    found = NEVER
    for build in range(len(state.next)):
        step = state.next[build]
        if state.left[build] > 0:
            return 0
        if step < work.at[build + 1]:
            found = min(found, max(state.ready[build], gates[step]))
    return found


def run_shop(
    ground: Ground, work: Work, lengths: Ints, gates: Ints, finish_gate: Ints, now: int, ahead: int, reach: int,
    out: Places, finish: Ints,
) -> None:  # fmt: skip
    """The shop from `now` until every build is done: each morning a plan `reach` calendar days on, then a day's work.

    Parameters: `lengths`, `gates` and `finish_gate` as they truly turn out; `ahead` how far before its planned start a
    step may be started. Fills: `out` what was worked when, `finish` of each build, NEVER past the horizon.
    """
    people, benches = len(ground.away_at) - 1, len(ground.down_at) - 1
    state = new_state(work, people, benches, now)
    lanes = new_lanes(ground, len(work.skill))
    steps = len(work.skill)
    blank = np.full(steps, -1, np.int64)
    plan = Places(np.zeros(steps, np.int64), np.zeros(steps, np.int64), blank, blank.copy())
    builds = np.zeros(steps, np.int64)
    for build in range(len(work.at) - 1):
        builds[work.at[build] : work.at[build + 1]] = build
    take_up(ground, work, state, lengths, gates, now, out)
    today = day_of(ground.day, now)
    while today < len(ground.day) - 1:
        morning, evening = max(ground.day[today], now), ground.day[today + 1]
        first = soonest(work, state, gates)
        if first >= NEVER:
            break
        if first >= evening:
            today = max(day_of(ground.day, first), today + 1)
            continue
        if evening > morning:
            look_round(ground, state, morning)
            horizon = ground.day[min(today + reach, len(ground.day) - 1)]
            plan_morning(ground, work, lanes, state, gates, morning, evening, horizon, ahead, plan)
            work_day(ground, work, state, builds, lengths, gates, morning, evening, ahead, plan, out)
        today += 1
    for build in range(len(work.at) - 1):
        done = state.next[build] >= work.at[build + 1]
        finish[build] = max(state.ready[build], finish_gate[build]) if done else NEVER


def run_samples(
    ground: Ground, work: Work, lengths: Ints, gates: Ints, finish_gate: Ints, now: int, ahead: int, reach: int,
    low: int, high: int, out: Places, finish: Ints,
) -> None:  # fmt: skip
    """`run_shop` for the samples low..high, one row each."""
    for row in range(low, high):
        places = Places(out.start[row], out.end[row], out.person[row], out.bench[row])
        run_shop(ground, work, lengths[row], gates[row], finish_gate[row], now, ahead, reach, places, finish[row])
