"""List schedules of a network of tasks on pooled resources: a warm start where there are neither people nor calendars.

A list is laid task after task at the earliest (serial schedule generation), pushed to the right from the end and to the
left again (double justification). From list to list a few tasks move as far as precedence lets them; a worse schedule
is gone on from now and then (annealing at one temperature). Plain functions that numba compiles; the same seed and
number of rounds give the same schedule. What is left of up to four resources lies in one whole number, so that a slot
is looked at once for all of them.

Sources, from memory: Kolisch, European Journal of Operational Research 90 (1996), serial generation; Valls, Ballestin,
Quintanilla, EJOR 165 (2005), justification; Bouleimen, Lecocq, EJOR 149 (2003), annealing lists; Park and Miller,
Communications of the ACM 31 (1988), with the later multiplier 48271.
"""

from __future__ import annotations

import math
from functools import lru_cache
from types import FunctionType
from typing import NamedTuple

import numpy as np

from quoting.promise.odds.arrays import Ints
from quoting.promise.odds.engine import compiled
from quoting.promise.replan.problem import Plan, Problem

FIELDS, FIELD_BITS = 4, 15  # resources in a word, each with a guard bit that stays set while enough is left
MOST_CAPACITY = 2 ** (FIELD_BITS - 1) - 1
GUARDS = sum(1 << (FIELD_BITS * (field + 1) - 1) for field in range(FIELDS))
TEMPERATURE = 0.3  # a schedule one slot longer is gone on from once in 28 times (our own choice: best of 0.2 to 0.7)
MOVES = 3  # tasks moved at a time, at most (our own choice: best of 2 to 8)
MODULUS, MULTIPLIER = 2147483647, 48271


class Network(NamedTuple):
    """Tasks as arrays: `before[before_at[i]:before_at[i + 1]]` come before i, `behind` likewise after it; `uses` one
    row per task, a column per word of resources; `capacity` per word, guard bits set."""

    length: Ints
    before_at: Ints
    before: Ints
    behind_at: Ints
    behind: Ints
    uses: Ints
    capacity: Ints


class Scratch(NamedTuple):
    """Room for the loops: what is `left` in each slot, a row per word; starts from the other side; sorting."""

    left: Ints
    other: Ints
    key: Ints
    former: Ints
    tally: Ints


def lay_list(net: Network, order: Ints, left: Ints, start: Ints) -> int:
    """Lay tasks in `order` at the earliest. Fills: `start`. Returns: the last end."""
    words = len(net.capacity)
    for word in range(words):
        left[word, :] = net.capacity[word]
    last = 0
    for task in order:
        begin = 0
        for at in range(net.before_at[task], net.before_at[task + 1]):
            former = net.before[at]
            begin = max(begin, start[former] + net.length[former])
        slot = begin
        while slot < begin + net.length[task]:
            for word in range(words):
                if (left[word, slot] - net.uses[task, word]) & GUARDS != GUARDS:
                    begin = slot + 1
                    break
            slot += 1
        end = begin + net.length[task]
        for word in range(words):
            use = net.uses[task, word]
            if use:
                for each in range(begin, end):
                    left[word, each] -= use
        start[task] = begin
        last = max(last, end)
    return last


def turned(net: Network) -> Network:
    """The same network read from its end."""
    return Network(net.length, net.behind_at, net.behind, net.before_at, net.before, net.uses, net.capacity)


def sort_list(order: Ints, key: Ints, top: int, room: Scratch) -> None:
    """Sort a list by the keys [0..top] of its tasks; equal ones stay as they are."""
    tally, former = room.tally, room.former
    former[:] = order
    tally[: top + 2] = 0
    for task in former:
        tally[key[task] + 1] += 1
    for at in range(1, top + 2):
        tally[at] += tally[at - 1]
    for task in former:
        order[tally[key[task]]] = task
        tally[key[task]] += 1


def justify(net: Network, back: Network, order: Ints, start: Ints, room: Scratch) -> int:
    """Lay a list, push it right, push it left. `order` becomes the tasks by start. Returns: the last end.

    Each pass takes the tasks in the order the last one ended them, read from the other side; with equal ends what
    follows in the list comes first, so that nothing is laid before what it follows.
    """
    last = lay_list(net, order, room.left, start)
    room.key[:] = last - start - net.length
    order[:] = order[::-1].copy()
    sort_list(order, room.key, last, room)
    last = lay_list(back, order, room.left, room.other)
    room.key[:] = last - room.other - net.length
    order[:] = order[::-1].copy()
    sort_list(order, room.key, last, room)
    last = lay_list(net, order, room.left, start)
    sort_list(order, start, last, room)
    return last


def move_some(net: Network, order: Ints, place: Ints, number: int) -> int:
    """Move up to `MOVES` tasks to anywhere between what they follow and what follows them. Returns: the next number."""
    for at in range(len(order)):
        place[order[at]] = at
    number = number * MULTIPLIER % MODULUS
    for _ in range(1 + number % MOVES):
        number = number * MULTIPLIER % MODULUS
        task = number % len(order)
        low, high, spot = 0, len(order) - 1, place[task]
        for at in range(net.before_at[task], net.before_at[task + 1]):
            low = max(low, place[net.before[at]] + 1)
        for at in range(net.behind_at[task], net.behind_at[task + 1]):
            high = min(high, place[net.behind[at]] - 1)
        number = number * MULTIPLIER % MODULUS
        target = low + number % (high - low + 1)
        while spot != target:
            step = 1 if spot < target else -1
            order[spot] = order[spot + step]
            place[order[spot]] = spot
            spot += step
        order[target] = task
        place[task] = target
    return number


def search_lists(net: Network, order: Ints, seed: int, rounds: int, least: int, horizon: int, best: Ints) -> int:
    """Anneal a list for `rounds`, or until its end is `least`. Fills: `best` starts. Returns: their last end."""
    tasks = len(order)
    back = turned(net)
    room = Scratch(
        np.zeros((len(net.capacity), horizon), np.int64),
        np.zeros(tasks, np.int64),
        np.zeros(tasks, np.int64),
        np.zeros(tasks, np.int64),
        np.zeros(horizon + 2, np.int64),
    )
    start, place, child = np.zeros(tasks, np.int64), np.zeros(tasks, np.int64), order.copy()
    number = seed % MODULUS + 1
    found = at_hand = horizon
    for _ in range(rounds):
        end = justify(net, back, child, start, room)
        number = number * MULTIPLIER % MODULUS
        if end <= at_hand or math.exp((at_hand - end) / TEMPERATURE) * MODULUS > number:
            order[:], at_hand = child, end
        if end < found:
            best[:], found = start, end
            if found <= least:
                break
        child[:] = order
        number = move_some(net, child, place, number)
    return found


FUNCTIONS: dict[str, FunctionType] = {
    each.__name__: each
    for each in (lay_list, turned, sort_list, justify, move_some, search_lists)
    if isinstance(each, FunctionType)
}


@lru_cache(maxsize=1)
def _search() -> object:
    scope = compiled(FUNCTIONS)
    return scope["search_lists"] if scope else search_lists


def network_of(problem: Problem) -> Network:
    """The tasks of a problem without people, single benches, outside work and releases as arrays.

    Raises: ValueError when a pool is larger than its field.
    """
    if max(problem.pools, default=0) > MOST_CAPACITY:
        raise ValueError(f"pools: at most {MOST_CAPACITY} units each. Count in larger units.")
    tasks = problem.tasks
    behind: list[list[int]] = [[] for _ in tasks]
    for number, task in enumerate(tasks):
        for former in task.after:
            behind[former].append(number)
    words = -(-len(problem.pools) // FIELDS)
    uses, capacity = np.zeros((len(tasks), words), np.int64), np.full(words, GUARDS, np.int64)
    for pool, units in enumerate(problem.pools):
        capacity[pool // FIELDS] += units << (FIELD_BITS * (pool % FIELDS))
    for number, task in enumerate(tasks):
        for pool, units in task.uses:
            uses[number, pool // FIELDS] += units << (FIELD_BITS * (pool % FIELDS))
    return Network(
        np.array([task.length for task in tasks], np.int64),
        np.cumsum([0, *(len(task.after) for task in tasks)], dtype=np.int64),
        np.array([former for task in tasks for former in task.after], np.int64),
        np.cumsum([0, *map(len, behind)], dtype=np.int64),
        np.array([each for after in behind for each in after], np.int64),
        uses,
        capacity,
    )


def best_list(problem: Problem, rounds: int, seed: int = 1, least: int = 0) -> Plan:
    """The best list schedule of `rounds` tried; it stops at one that ends by `least`. First the longest way to go."""
    net = network_of(problem)
    horizon = int(net.length.sum()) + 1
    tails = [0] * len(problem.tasks)
    for number in range(len(problem.tasks) - 1, -1, -1):
        for former in problem.tasks[number].after:
            tails[former] = max(tails[former], tails[number] + problem.tasks[number].length)
    first = sorted(range(len(problem.tasks)), key=lambda at: (-(tails[at] + problem.tasks[at].length), at))
    best = np.zeros(len(problem.tasks), np.int64)
    search = _search()
    assert callable(search)  # noqa: S101  narrows the type
    search(net, np.array(first, np.int64), seed, rounds, least, horizon, best)
    none = tuple([-1] * len(problem.tasks))
    start = tuple(int(each) for each in best)
    return Plan(
        start=start, end=tuple(a + t.length for a, t in zip(start, problem.tasks, strict=True)), person=none, bench=none
    )
