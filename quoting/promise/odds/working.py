"""The inner loops of a day in the simulated shop: it is worked with true hours and true arrivals.

Functions as in `laying`: compiled or plain, with the same results. `gates` are the arrivals, `later` those of a shop in
which some parts come later: the loops notice when they do something that shop would not do (`State.noticed`).
"""

from __future__ import annotations

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Places, State, Work
from quoting.promise.odds.laying import back_from_outside, first_after


def pass_through(
    ground: Ground, work: Work, state: State, build: int, lengths: Ints, gates: Ints, later: Ints, out: Places
) -> None:
    """Let a build run through the steps that need nobody: outside work and steps without hours."""
    last = work.at[build + 1]
    while state.next[build] < last and (work.lead_days[state.next[build]] > 0 or lengths[state.next[build]] <= 0):
        step = state.next[build]
        start = max(state.ready[build], gates[step])
        if later[step] > start:
            state.noticed[0] = 1
        end = start
        if work.lead_days[step] > 0:
            end = back_from_outside(ground, start, work.lead_days[step])
        out.start[step], out.end[step], out.person[step], out.bench[step] = start, end, -1, -1
        state.ready[build] = end
        state.next[build] += 1


def take_up(
    ground: Ground, work: Work, state: State, lengths: Ints, gates: Ints, later: Ints, now: int, out: Places
) -> None:
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
            pass_through(ground, work, state, build, lengths, gates, later, out)


def start_next(
    work: Work, state: State, builds: Ints, person: int, lengths: Ints, gates: Ints, later: Ints, now: int, ahead: int,
    plan: Places, out: Places,
) -> None:  # fmt: skip
    """Let a free person take the first step of their queue that can be started and is planned within `ahead`."""
    at = person * len(work.skill)
    last = at + state.queued[person]
    while at < last and plan.start[state.queue[at]] <= now + ahead:
        step = state.queue[at]
        build, bench = builds[step], plan.bench[step]
        at += 1
        if state.next[build] != step or state.left[build] > 0 or state.ready[build] > now or gates[step] > now:
            continue
        if bench >= 0 and (state.held[bench] >= 0 or state.up[bench] == 0):
            continue
        if later[step] > now:
            state.noticed[0] = 1
        state.on[person], state.left[build], state.worked[build], state.at[build] = build, lengths[step], 0, bench
        if bench >= 0:
            state.held[bench] = build
        out.start[step], out.person[step], out.bench[step] = now, person, bench
        at = last


def work_day(
    ground: Ground, work: Work, state: State, builds: Ints, lengths: Ints, gates: Ints, later: Ints, now: int,
    evening: int, ahead: int, plan: Places, out: Places,
) -> None:  # fmt: skip
    """Work from `now` to `evening` with the true hours: whoever is free takes the next step that can be started."""
    while now < evening:
        span = evening - now
        for person in range(len(state.on)):
            if state.here[person] == 1 and state.on[person] < 0:
                start_next(work, state, builds, person, lengths, gates, later, now, ahead, plan, out)
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
                pass_through(ground, work, state, build, lengths, gates, later, out)


def soonest(work: Work, state: State, gates: Ints) -> int:
    """When the next step can be started or is at work: 0 when one is at work, NEVER when every build is done."""
    found = NEVER
    for build in range(len(state.next)):
        step = state.next[build]
        if state.left[build] > 0:
            found = 0
        elif step < work.at[build + 1]:
            found = min(found, max(state.ready[build], gates[step]))
    return found
