"""From simulated finishes to days at each level, and to what decides them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from quoting.promise.odds.arrays import NEVER, Ground, Ints, Places
from quoting.promise.odds.ground import Chain
from quoting.promise.words import mid_sentence, plain
from quoting.result import Decider, Odds

LEVELS = (*range(5, 100, 5), 99)  # kept of each distribution [%] (our own choice)
USUAL_SAMPLES = 300  # runs of a background simulation (our own choice: the day at P80 then moves by about a day)
FEW_SAMPLES = 40  # when the loops are not compiled
NAMED = 3  # deciders told
TENTHS = 10


def finish_days(ground: Ground, first: date, chain: Chain, finish: Ints, gate: Ints) -> Ints:
    """The day of each finish [day ordinal]: that of the last worked minute, or the day it can be gone on with."""
    worked = bool(chain.tasks) and not chain.tasks[-1].outside and chain.tasks[-1].slots > 0
    minute = np.where((gate >= finish) | (not worked), finish, finish - 1)
    return first.toordinal() + np.searchsorted(ground.day, minute, side="right") - 1


def odds_of(
    days: Ints, finish: Ints, deciders: Sequence[Decider], revision: int, stale: bool, few: bool, samples: int
) -> Odds | None:
    """The distribution of sampled finish days [day ordinal]; None when some run never finishes."""
    if not len(days) or int(finish.max()) >= NEVER:
        return None
    ordered = np.sort(days)
    at = [-(-level * len(ordered) // 100) - 1 for level in LEVELS]
    return Odds(
        levels=LEVELS,
        days=tuple(date.fromordinal(int(ordered[each])) for each in at),
        samples=samples,
        revision=revision,
        stale=stale,
        few=few,
        deciders=tuple(deciders),
        note=note_of(samples, revision, stale, few),
    )


def note_of(samples: int, revision: int, stale: bool, few: bool) -> str:
    """What a window rests on, in words."""
    text = f"From {samples} simulated runs of the shop, planned anew each morning without knowing what is to come."
    if few:
        text += " Fewer runs than usual: the days may move by a few."
    if stale:
        text += f" As of revision {revision}; the plan has changed since and the runs are being drawn anew."
    return text


def deciders_of(
    chain: Chain, now: int, places: Places, gates: Ints, finish: Ints, peg_gates: Sequence[Ints], at_bench: Ints
) -> tuple[Decider, ...]:
    """What decides a build's finish in how many runs: in each, the longest wait, or its own work when that is longer.

    Parameters: `places` of its steps, `gates` of its parts [min], `finish`, a row per sample; `peg_gates` of each part
    alone; `at_bench` 1 where a step waited for a bench, else for a person. A wait for a part counts from the end of the
    step before, or from `now`.
    """
    waits: dict[tuple[str, str, str], Ints] = {}

    def add(key: tuple[str, str, str], wait: Ints) -> None:
        waits[key] = waits[key] + wait if key in waits else wait

    work = np.zeros(len(finish), np.int64)
    ready = np.full(len(finish), now, np.int64)
    for step, task in enumerate(chain.tasks):
        _part_waits(chain, step, ready, peg_gates, add)
        start, end = places.start[:, step], places.end[:, step]
        if task.slots and not task.outside and task.step.started is None:
            wait = np.maximum(start - np.maximum(ready, gates[:, step]), 0)
            for_bench = wait * at_bench[:, step]
            add(("bench", task.step.bench_type, plain(task.step.bench_type)), for_bench)
            add(("person", task.step.skill, plain(task.step.skill)), wait - for_bench)
        work += end - start
        ready = end
    _part_waits(chain, len(chain.tasks), ready, peg_gates, add)
    return _told(waits, work)


def _part_waits(chain: Chain, step: int, ready: Ints, peg_gates: Sequence[Ints], add: object) -> None:
    own = [(peg, gate) for (peg, at), gate in zip(chain.pegs, peg_gates, strict=True) if at == step]
    if not own or not callable(add):
        return
    latest = np.maximum.reduce([gate for _, gate in own])
    taken = np.zeros(len(latest), bool)
    for peg, gate in own:
        decides = (gate == latest) & ~taken
        taken |= decides
        add(("part", peg.need.code, mid_sentence(peg.name)), np.maximum(gate - ready, 0) * decides)


def _told(waits: dict[tuple[str, str, str], Ints], work: Ints) -> tuple[Decider, ...]:
    if not len(work):
        return ()
    keys = [("work", "", ""), *waits]
    longest = np.argmax(np.stack([work, *waits.values()]), axis=0)
    counts = np.bincount(longest, minlength=len(keys))
    order = sorted(range(len(keys)), key=lambda at: (-counts[at], keys[at]))
    told = []
    for at in order[:NAMED]:
        share = float(counts[at] / len(work))
        if round(share * TENTHS) >= 1:
            kind, code, name = keys[at]
            told.append(Decider(kind=kind, code=code, share=share, text=_text(kind, name, share)))
    return tuple(told)


def _text(kind: str, name: str, share: float) -> str:
    runs = f"in {round(share * TENTHS)} of {TENTHS} simulated runs"
    if round(share * TENTHS) == TENTHS:
        runs = "in nearly every simulated run" if share < 1 else "in every simulated run"
    if kind == "work":
        return f"{runs} its own hours decide"
    if kind == "bench":
        return f"{runs} the wait for the {name if 'bench' in name else f'{name} bench'} decides"
    if kind == "person":
        return f"{runs} the wait for someone {f'for {name}' if name else 'to be free'} decides"
    return f"{runs} the {name} decides"
