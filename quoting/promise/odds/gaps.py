"""One more build put into the gaps of simulated lines. Functions as in `laying`: compiled or plain."""

from __future__ import annotations

import numpy as np

from quoting.promise.odds.arrays import NEVER, SHORT_NEVER, Ground, Ints, Lanes, Packed, Places, Work
from quoting.promise.odds.laying import (
    back_from_outside,
    best,
    book,
    clear,
    first_after,
    new_lanes,
    worked_through,
)


def pack_samples(ground: Ground, out: Places, low: int, high: int, slack: int, packed: Lanes) -> int:
    """What is taken in samples low..high, one after the other; `packed.low` and `.high` have a row for each.

    Gaps shorter than `slack` minutes are closed. Returns: how many entries were written.
    """
    people = len(ground.away_at) - 1
    lanes = new_lanes(ground, out.start.shape[1])
    written = 0
    for row in range(low, high):
        clear(ground, lanes, 0)
        for step in range(out.start.shape[1]):
            if out.person[row, step] >= 0 and out.end[row, step] > out.start[row, step]:
                book(lanes, out.person[row, step], out.start[row, step], out.end[row, step], slack)
                if out.bench[row, step] >= 0:
                    book(lanes, people + out.bench[row, step], out.start[row, step], out.end[row, step], slack)
        for lane in range(len(lanes.low)):
            packed.low[row, lane] = written
            for at in range(lanes.low[lane], lanes.high[lane]):
                packed.start[written], packed.end[written] = lanes.start[at], lanes.end[at]
                written += 1
            packed.high[row, lane] = written
    return written


def insert_samples(
    ground: Ground, work: Work, packed: Packed, lengths: Ints, gates: Ints, finish_gate: Ints, now: int, low: int,
    high: int, squeeze: int, out: Places, finish: Ints, at_bench: Ints,
) -> None:  # fmt: skip
    """One more build laid into the gaps of samples low..high without moving what is there.

    Parameters: `work` of that build alone; `squeeze` how much of a step's length may be missing in its gap [%].
    Fills, a row per sample: `out`, `finish`, and `at_bench` 1 for steps that wait for a bench.
    """
    lanes = room_for(packed, low, high)
    for row in range(low, high):
        unpack(packed, row, lanes)
        insert_row(ground, work, lanes, lengths, gates, finish_gate, now, row, squeeze, out, finish, at_bench)


def room_for(packed: Packed, low: int, high: int) -> Lanes:
    """Room for the lanes of any one of samples low..high."""
    room, count = 0, packed.low.shape[1]
    for row in range(low, high):
        room = max(room, packed.high[row, -1] - packed.low[row, 0])
    at = np.zeros((2, count), np.int64)
    return Lanes(np.zeros(room, np.int64), np.zeros(room, np.int64), at[0], at[1])


def unpack(packed: Packed, row: int, lanes: Lanes) -> None:
    """Copy what is taken in one sample to where it is quick to look at: every lane is looked at many times."""
    first, last = packed.low[row, 0], packed.high[row, len(lanes.low) - 1]
    for lane in range(len(lanes.low)):
        lanes.low[lane] = packed.low[row, lane] - first
        lanes.high[lane] = packed.high[row, lane] - first
    for at in range(last - first):
        lanes.start[at] = packed.start[first + at]
    for at in range(last - first):
        minute = packed.end[first + at]
        lanes.end[at] = NEVER if minute == SHORT_NEVER else minute


def insert_row(
    ground: Ground, work: Work, lanes: Lanes, lengths: Ints, gates: Ints, finish_gate: Ints, now: int, row: int,
    squeeze: int, out: Places, finish: Ints, at_bench: Ints,
) -> None:  # fmt: skip
    """`insert_samples` for one sample whose lanes are unpacked."""
    ready = now
    for step in range(len(work.skill)):
        ready = max(ready, gates[row, step])
        start, end, person, bench = ready, ready, -1, -1
        if work.lead_days[step] > 0:
            end = back_from_outside(ground, ready, work.lead_days[step])
        elif lengths[row, step] > 0:
            length = lengths[row, step]
            need = max(length - length * squeeze // 100, 1)
            start, end, person, bench = best(ground, lanes, work.skill[step], work.kind[step], ready, need)
            if end < NEVER:
                end = worked_through(ground, person, -1, start, length)
            if person >= 0 and start > ready:
                at_bench[row, step] = no_bench_at(ground, lanes, work.kind[step], start - 1)
        out.start[row, step], out.end[row, step] = start, end
        out.person[row, step], out.bench[row, step] = person, bench
        ready = end
    finish[row, 0] = max(ready, finish_gate[row, 0])


def no_bench_at(ground: Ground, lanes: Lanes, kind: int, minute: int) -> int:
    """1 when every bench of a group is taken at a minute; 0 also for work that needs none."""
    busy = 0 if kind == 0 else 1
    for at in range(ground.kind_at[kind], ground.kind_at[kind + 1]):
        if kind > 0:
            lane = len(ground.away_at) - 1 + ground.kind[at]
            first = first_after(lanes.end, lanes.low[lane], lanes.high[lane], minute)
            if first == lanes.high[lane] or lanes.start[first] > minute:
                busy = 0
    return busy


def bench_waits(
    ground: Ground, work: Work, packed: Packed, out: Places, ready: Ints, low: int, high: int, found: Ints
) -> None:
    """Mark in `found` the steps that start after `ready` because no bench of their group was free just before."""
    lanes = room_for(packed, low, high)
    for row in range(low, high):
        unpack(packed, row, lanes)
        for step in range(len(work.skill)):
            if out.person[row, step] >= 0 and out.start[row, step] > ready[row, step]:
                found[row, step] = no_bench_at(ground, lanes, work.kind[step], out.start[row, step] - 1)
