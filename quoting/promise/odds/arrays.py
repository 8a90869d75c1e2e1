"""The shop as flat arrays for the inner loops. Times are minutes of shop-open time since the calendar's first day.

The axis is that of `quoting.promise.calendar` in finer units: a slot is 15 minutes of it. Simulated work is carried to
the minute, because hours rounded up to slots would make a long line late.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Shorts = npt.NDArray[np.int32]
Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

NEVER = 1 << 40  # a minute after every minute within reach
SHORT_NEVER = (1 << 31) - 1  # the same where minutes are kept in half the room: 4,000 years of them


class Ground(NamedTuple):
    """What does not change from build to build. `x_at[i]:x_at[i + 1]` are the entries of i in the arrays of x.

    `day` minute at which each calendar day begins, one more than there are days; `away` leave of each person; `down`
    downtime of each bench; `able` people of each skill group, in order of preference; `kind` benches of each bench
    group, of which group 0 holds the single entry -1: no bench.
    """

    day: Ints
    away_at: Ints
    away_start: Ints
    away_end: Ints
    down_at: Ints
    down_start: Ints
    down_end: Ints
    able_at: Ints
    able: Ints
    kind_at: Ints
    kind: Ints


class Work(NamedTuple):
    """Builds in the order of the line and their steps. `at[n]:at[n + 1]` are the steps of build n.

    `skill` and `kind` groups of the ground; `lead_days` of outside work, 0 for work in the shop; `person` and `bench`
    of a step under way, else -1; `under_way` 1 for those, in `begun` in the order they were started; `back` the minute
    outside work under way is back; `expected` hours of each step [min]; `gate` when its parts are expected [min];
    `finish_gate` when the parts the finish waits for are expected [min]; a plan is laid piece by piece: build
    `piece[n]` up to step `piece_end[n]`.
    """

    at: Ints
    skill: Ints
    kind: Ints
    lead_days: Ints
    under_way: Ints
    person: Ints
    bench: Ints
    back: Ints
    begun: Ints
    expected: Ints
    gate: Ints
    finish_gate: Ints
    piece: Ints
    piece_end: Ints


class Lanes(NamedTuple):
    """What is taken on each lane, people first and then benches: merged, sorted, half-open [start, end).

    Lane i holds entries `low[i]:high[i]`.
    """

    start: Ints
    end: Ints
    low: Ints
    high: Ints


class Packed(NamedTuple):
    """The lanes of every sample, one after the other, in half the room: reading them takes as long as they are large.

    Lane i of a sample holds entries `low[sample, i]:high[sample, i]`; an end at SHORT_NEVER is NEVER.
    """

    start: Shorts
    end: Shorts
    low: Ints
    high: Ints


class Places(NamedTuple):
    """Where each step is laid: start and end [min], its person and its bench, -1 for none."""

    start: Ints
    end: Ints
    person: Ints
    bench: Ints


class State(NamedTuple):
    """A simulated shop at some moment.

    Per build: `next` its first step not finished, `ready` when that may start as far as the steps before it decide,
    `left` true minutes left of the step at work (0: none is), `worked` minutes it has been worked on, `at` its bench.
    Per person `on` the build worked on, per bench `held` the build on it, -1 for none. `here` and `up` who is present
    and what is in order today. `queue` each person's planned steps in order of planned start, `queued` how many.
    """

    next: Ints
    ready: Ints
    left: Ints
    worked: Ints
    at: Ints
    on: Ints
    held: Ints
    here: Ints
    up: Ints
    queue: Ints
    queued: Ints
    likely: Ints
    upto: Ints
    free: Ints
    noticed: Ints
