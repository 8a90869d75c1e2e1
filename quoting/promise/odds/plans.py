"""Whole plans: the steps under way first, then build after build. Functions as in `laying`: compiled or plain."""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Lanes, Places, Work
from quoting.promise.odds.laying import book, clear, first_after, lay_build, new_lanes, worked_through

MODULUS, MULTIPLIER = 2147483647, 48271  # Park and Miller, Communications of the ACM 31 (1988), from memory


def carry_on(ground: Ground, work: Work, lanes: Lanes, lengths: Ints, ready: Ints, now: int, places: Places) -> None:
    """Book the steps under way at `now`, in the order they were started; `ready` of each build is set to their ends."""
    people = len(ground.away_at) - 1
    for row in range(len(work.begun)):
        step = work.begun[row]
        build = first_after(work.at, 0, len(work.at), step) - 1
        person, bench = work.person[step], work.bench[step]
        start, end = now, max(work.back[step], now)
        if work.lead_days[step] <= 0:
            bench_from = now
            if person >= 0 and lanes.high[person] > lanes.low[person]:
                start = max(start, lanes.end[lanes.high[person] - 1])
            for at in range(len(work.begun)):
                other = work.begun[at]
                if at < row and bench >= 0 and work.bench[other] == bench and work.lead_days[other] <= 0:
                    bench_from = max(bench_from, places.end[other])
            start = max(start, bench_from)
            end = start + lengths[step]
            if person >= 0:
                end = worked_through(ground, person, bench, start, lengths[step])
            if lengths[step] > 0:
                if person >= 0:
                    book(lanes, person, start, end, 0)
                if bench >= 0:
                    book(lanes, people + bench, bench_from, end, 0)
        places.start[step], places.end[step], places.person[step], places.bench[step] = start, end, person, bench
        ready[build] = max(ready[build], end)


def keep_frozen(
    ground: Ground, work: Work, lanes: Lanes, kept: Places, places: Places, first: Ints, ready: Ints
) -> None:
    """Book the steps that stay where a plan has them; `first` of each build moves past them, `ready` to their ends."""
    people = len(ground.away_at) - 1
    for build in range(len(first)):
        while first[build] < work.at[build + 1]:
            step = first[build]
            start, end, person, bench = kept.start[step], kept.end[step], kept.person[step], kept.bench[step]
            if work.under_way[step] == 0:
                if start < 0:
                    break
                if person >= 0:
                    book(lanes, person, start, end, 0)
                if bench >= 0:
                    book(lanes, people + bench, start, end, 0)
                places.start[step], places.end[step], places.person[step], places.bench[step] = (
                    start,
                    end,
                    person,
                    bench,
                )
                ready[build] = end
            first[build] += 1


def lay_line(
    ground: Ground, work: Work, lanes: Lanes, piece: Ints, piece_end: Ints, turns: Ints, lengths: Ints, gates: Ints,
    finish_gate: Ints, now: int, kept: Places, places: Places, finish: Ints,
) -> None:  # fmt: skip
    """One plan with these lengths and gates: steps under way first, then piece after piece: build `piece[n]` up to
    step `piece_end[n]`.

    Steps with a `kept.start` of 0 or more stay there; in a build they are the first that are not under way. Each row
    of `turns` (a step, its build, another step, a minute): the other, which begins a piece, starts no sooner than the
    step when that was laid before it, unless the step starts by that minute.
    """
    clear(ground, lanes, now)
    ready = np.full(len(work.at) - 1, now, np.int64)
    carry_on(ground, work, lanes, lengths, ready, now, places)
    first = work.at[:-1].copy()
    keep_frozen(ground, work, lanes, kept, places, first, ready)
    for row in range(len(piece)):
        build = piece[row]
        step, last = first[build], piece_end[row]
        if step < last:
            for at in range(len(turns)):
                former = turns[at, 0]
                if turns[at, 2] == step and former < first[turns[at, 1]] and places.start[former] > turns[at, 3]:
                    ready[build] = max(ready[build], places.start[former])
            _, ready[build] = lay_build(
                ground, work, lanes, lengths, gates, step, last, ready[build], -1, 0, NEVER, places, gates
            )
            first[build] = last
        finish[build] = max(ready[build], finish_gate[build])


def foresee_samples(
    ground: Ground, work: Work, lengths: Ints, gates: Ints, finish_gate: Ints, now: int, tries: int, low: int,
    high: int, out: Places, finish: Ints,
) -> None:  # fmt: skip
    """Samples low..high as a shop would plan them that knew every hour and every arrival beforehand: in the order of
    the line, or with `tries` in the order of least total finish among so many, one build moved at a time."""
    builds, steps = len(work.at) - 1, len(work.skill)
    lanes = new_lanes(ground, steps)
    nothing = np.full(steps, -1, np.int64)
    kept, turns = Places(nothing, nothing, nothing, nothing), np.zeros((0, 4), np.int64)
    scratch = Places(nothing.copy(), nothing.copy(), nothing.copy(), nothing.copy())
    ends = np.zeros(builds, np.int64)
    for row in range(low, high):
        best, least, number = np.arange(builds), NEVER * builds, row + 1
        order = best.copy()
        for _ in range(tries):
            lay_line(
                ground, work, lanes, order, work.at[order + 1], turns, lengths[row], gates[row], finish_gate[row], now,
                kept, scratch, ends,
            )  # fmt: skip
            if ends.sum() <= least:
                best[:], least = order, ends.sum()
            order[:] = best
            number = number * MULTIPLIER % MODULUS
            spot = number % builds
            number = number * MULTIPLIER % MODULUS
            target = number % builds
            while spot != target:
                step = 1 if spot < target else -1
                order[spot], order[spot + step] = order[spot + step], order[spot]
                spot += step
        places = Places(out.start[row], out.end[row], out.person[row], out.bench[row])
        lay_line(
            ground, work, lanes, best, work.at[best + 1], turns, lengths[row], gates[row], finish_gate[row], now, kept,
            places, finish[row],
        )  # fmt: skip
