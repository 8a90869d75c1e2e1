"""List schedules of a network of tasks on pooled resources: a warm start where there are neither people nor calendars.

A list is laid task after task at the earliest (serial schedule generation), pushed to the right from the end and to the
left again (double justification), and a small population of lists is crossed and mutated. Plain functions that numba
compiles; the same seed and number of rounds give the same schedule.

Sources, from memory: Kolisch, European Journal of Operational Research 90 (1996), serial generation; Valls, Ballestin,
Quintanilla, EJOR 165 (2005), justification; Hartmann, Naval Research Logistics 45 (1998), crossing activity lists; Park
and Miller, Communications of the ACM 31 (1988), with the later multiplier 48271.
"""

from __future__ import annotations

from functools import lru_cache
from types import FunctionType
from typing import NamedTuple

import numpy as np

from quoting.promise.odds.arrays import Ints
from quoting.promise.odds.engine import compiled
from quoting.promise.replan.problem import Plan, Problem

POPULATION = 60
MUTATION = 5  # of a hundred neighbours of a child change places (Hartmann 1998)
SHAKE = 40  # the same in each of the shuffles a first list gets (our own choice)
PATIENCE = 4000  # children without a better one, then a new population is bred around the best (our own choice)
MODULUS, MULTIPLIER = 2147483647, 48271


class Network(NamedTuple):
    """Tasks as arrays: `before[before_at[i]:before_at[i + 1]]` come before i, `behind` likewise after it; `uses` one
    row per task, a column per resource."""

    length: Ints
    before_at: Ints
    before: Ints
    behind_at: Ints
    behind: Ints
    uses: Ints
    capacity: Ints


def lay_list(net: Network, order: Ints, left: Ints, start: Ints) -> int:
    """Lay tasks in `order` at the earliest; `left` is scratch room, a row per resource. Returns: the last end."""
    for resource in range(len(net.capacity)):
        left[resource, :] = net.capacity[resource]
    last = 0
    for task in order:
        begin = 0
        for at in range(net.before_at[task], net.before_at[task + 1]):
            former = net.before[at]
            begin = max(begin, start[former] + net.length[former])
        slot = begin
        while slot < begin + net.length[task]:
            for resource in range(len(net.capacity)):
                if left[resource, slot] < net.uses[task, resource]:
                    begin = slot + 1
                    break
            slot += 1
        for resource in range(len(net.capacity)):
            if net.uses[task, resource] > 0:
                left[resource, begin : begin + net.length[task]] -= net.uses[task, resource]
        start[task] = begin
        last = max(last, begin + net.length[task])
    return last


def turned(net: Network) -> Network:
    """The same network read from its end."""
    return Network(net.length, net.behind_at, net.behind, net.before_at, net.before, net.uses, net.capacity)


def justify(net: Network, back: Network, order: Ints, left: Ints, start: Ints, other: Ints) -> int:
    """Lay a list, push it right, push it left. `order` becomes the tasks by start. Returns: the last end."""
    last = lay_list(net, order, left, start)
    keys = -(start + net.length) * 4096 + np.arange(len(order))
    lay_list(back, np.argsort(keys), left, other)
    keys = -(other + net.length) * 4096 + np.arange(len(order))
    last = min(last, lay_list(net, np.argsort(keys), left, start))
    order[:] = np.argsort(start * 4096 + rank(net, order))
    return last


def rank(net: Network, order: Ints) -> Ints:
    """Position of each task in a list: keeps tasks without length behind those they follow."""
    place = np.zeros(len(order), np.int64)
    for at in range(len(order)):
        place[order[at]] = at
    return place


def cross(mother: Ints, father: Ints, cut: int, child: Ints) -> None:
    """The first `cut` tasks of one list, the rest in the order of the other: what precedes stays before."""
    taken = np.zeros(len(mother), np.int64)
    for at in range(cut):
        child[at] = mother[at]
        taken[mother[at]] = 1
    filled = cut
    for task in father:
        if taken[task] == 0:
            child[filled] = task
            filled += 1


def follows(net: Network, task: int, former: int) -> bool:
    """Whether `former` comes directly before `task`."""
    found = False
    for at in range(net.before_at[task], net.before_at[task + 1]):
        found = found or net.before[at] == former
    return found


def shuffle(net: Network, order: Ints, times: int, chance: int, number: int) -> int:
    """Let neighbours in a list change places by chance, where neither follows the other. Returns: the next number."""
    for _ in range(times):
        for at in range(len(order) - 1):
            number = number * MULTIPLIER % MODULUS
            if number % 100 < chance and not follows(net, order[at + 1], order[at]):
                order[at], order[at + 1] = order[at + 1], order[at]
    return number


def search_lists(net: Network, first: Ints, seed: int, rounds: int, horizon: int, best: Ints) -> int:
    """Breed lists for `rounds` children from one list. Fills: `best` starts. Returns: their last end."""
    tasks = len(first)
    back = turned(net)
    left = np.zeros((len(net.capacity), horizon), np.int64)
    start, other = np.zeros(tasks, np.int64), np.zeros(tasks, np.int64)
    lists = np.zeros((POPULATION, tasks), np.int64)
    ends, marks = np.zeros(POPULATION, np.int64), np.zeros(POPULATION, np.int64)
    child, champion = np.zeros(tasks, np.int64), first.copy()
    number = seed % MODULUS + 1
    found, filled, idle = horizon, 0, 0
    for _ in range(rounds):
        if idle > PATIENCE:
            filled, idle = 0, 0
        shuffles = 1
        if filled < POPULATION:
            child[:] = champion if filled % 2 == 0 else first
            shuffles = 0 if filled == 0 else 1 + filled % 12
        else:
            number = number * MULTIPLIER % MODULUS
            mother = number % POPULATION
            number = number * MULTIPLIER % MODULUS
            father = number % POPULATION
            number = number * MULTIPLIER % MODULUS
            cross(lists[mother], lists[father], number % tasks, child)
        number = shuffle(net, child, shuffles, SHAKE if filled < POPULATION else MUTATION, number)
        end = justify(net, back, child, left, start, other)
        mark = (start * start).sum()
        idle += 1
        if end < found:
            found, idle = end, 0
            best[:] = start
            champion[:] = child
        worst = filled
        if filled < POPULATION:
            filled += 1
        else:
            worst = int(np.argmax(ends * MODULUS + marks))
            if end > ends[worst] or (marks == mark).any():
                continue
        lists[worst] = child
        ends[worst], marks[worst] = end, mark
    return found


FUNCTIONS: dict[str, FunctionType] = {
    each.__name__: each
    for each in (lay_list, turned, rank, justify, cross, follows, shuffle, search_lists)
    if isinstance(each, FunctionType)
}


@lru_cache(maxsize=1)
def _search() -> object:
    scope = compiled(FUNCTIONS)
    return scope["search_lists"] if scope else search_lists


def network_of(problem: Problem) -> Network:
    """The tasks of a problem without people, single benches, outside work and releases as arrays."""
    tasks = problem.tasks
    behind: list[list[int]] = [[] for _ in tasks]
    for number, task in enumerate(tasks):
        for former in task.after:
            behind[former].append(number)
    uses = np.zeros((len(tasks), len(problem.pools)), np.int64)
    for number, task in enumerate(tasks):
        for pool, units in task.uses:
            uses[number, pool] += units
    return Network(
        np.array([task.length for task in tasks], np.int64),
        np.cumsum([0, *(len(task.after) for task in tasks)], dtype=np.int64),
        np.array([former for task in tasks for former in task.after], np.int64),
        np.cumsum([0, *map(len, behind)], dtype=np.int64),
        np.array([each for after in behind for each in after], np.int64),
        uses,
        np.array(problem.pools, np.int64),
    )


def breed(problem: Problem, rounds: int, seed: int = 1) -> Plan:
    """The best list schedule of `rounds` tried."""
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
    search(net, np.array(first, np.int64), seed, rounds, horizon, best)
    none = tuple([-1] * len(problem.tasks))
    start = tuple(int(each) for each in best)
    return Plan(
        start=start, end=tuple(a + t.length for a, t in zip(start, problem.tasks, strict=True)), person=none, bench=none
    )
