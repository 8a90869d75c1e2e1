"""A simulated shop's morning: who and what is there, a plan for the days ahead, and everybody's queue from it.

The plan knows expected hours, and of parts what is here this morning and when the rest is expected. Functions as in
`laying`: compiled or plain, with the same results.
"""

from __future__ import annotations

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Lanes, Places, State, Work
from quoting.promise.odds.laying import book, clear, first_after, lay_build, worked_through


def in_any(starts: Ints, ends: Ints, low: int, high: int, minute: int) -> bool:
    """Whether one of the spans low..high holds a minute."""
    at = first_after(ends, low, high, minute)
    return at < high and starts[at] <= minute


def look_round(ground: Ground, state: State, now: int) -> None:
    """Who is present and which benches are in order on the day that begins at `now`."""
    for person in range(len(state.on)):
        low, high = ground.away_at[person], ground.away_at[person + 1]
        state.here[person] = 0 if in_any(ground.away_start, ground.away_end, low, high, now) else 1
    for bench in range(len(state.held)):
        low, high = ground.down_at[bench], ground.down_at[bench + 1]
        state.up[bench] = 0 if in_any(ground.down_start, ground.down_end, low, high, now) else 1


def queue_up(state: State, plan: Places, room: int, first: int, last: int, latest: int) -> None:
    """Put steps `first` to `last` that are planned to start by `latest` into their persons' queues, by start."""
    for step in range(first, last):
        person = plan.person[step]
        if person >= 0 and plan.start[step] <= latest:
            at = person * room + state.queued[person]
            while at > person * room and plan.start[state.queue[at - 1]] > plan.start[step]:
                state.queue[at] = state.queue[at - 1]
                at -= 1
            state.queue[at] = step
            state.queued[person] += 1


def notice(
    work: Work, state: State, gates: Ints, later: Ints, first: int, upto: int, ready: int, now: int, tomorrow: int,
    plan: Places,
) -> None:  # fmt: skip
    """Whether a plan of the steps first..upto of a build, from `ready` on, would differ with the `later` gates."""
    for step in range(first, upto):
        if gates[step] <= now < later[step] and max(work.gate[step], tomorrow) > ready:
            state.noticed[0] = 1
        ready = plan.end[step]


def expect_rest(ground: Ground, work: Work, lanes: Lanes, state: State, now: int) -> None:
    """Book what is left of the steps at work: of their estimate, at least an eighth of it or a quarter of an hour."""
    for person in range(len(state.on)):
        state.queued[person] = 0
        build = state.on[person]
        if build >= 0:
            whole, bench = work.expected[state.next[build]], state.at[build]
            rest = max(whole - state.worked[build], whole // 8, 15)
            state.likely[build] = worked_through(ground, person, bench, now, rest)
            book(lanes, person, now, state.likely[build], 0)
            if bench >= 0:
                book(lanes, len(state.on) + bench, now, state.likely[build], 0)


def plan_morning(
    ground: Ground, work: Work, lanes: Lanes, state: State, gates: Ints, later: Ints, now: int, tomorrow: int,
    horizon: int, ahead: int, plan: Places,
) -> None:  # fmt: skip
    """Plan what starts by `horizon` anew, with expected hours and what is here; fill everybody's queue from it."""
    clear(ground, lanes, now)
    expect_rest(ground, work, lanes, state, now)
    for build in range(len(state.next)):
        state.upto[build], state.free[build] = state.next[build], max(state.ready[build], now)
        if state.left[build] > 0:
            state.upto[build], state.free[build] = state.next[build] + 1, state.likely[build]
    for row in range(len(work.piece)):
        build, last = work.piece[row], work.piece_end[row]
        first, ready = state.upto[build], state.free[build]
        if first < last:
            reached, state.free[build] = lay_build(
                ground, work, lanes, work.expected, gates, first, last, ready, now, tomorrow, horizon, plan, work.gate
            )
            notice(work, state, gates, later, first, min(reached + 1, last), ready, now, tomorrow, plan)
            state.upto[build] = reached if reached == last else NEVER
            queue_up(state, plan, len(work.skill), first, reached, tomorrow + ahead)
