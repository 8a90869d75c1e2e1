"""Sets as rows of whole numbers, grown choice by choice and cut by the rules as soon as a rule can be asked.

A row holds an index for every slot, the cells or modules, and the counts in series and in parallel. When a column is
added, every rule whose choices are now all known is asked once for each distinct tuple of them, by the rule's own
function on the engine's own figures, and the rows of a tuple that it stops are cut. Nothing is sampled.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from quoting.errors import FieldProblem, RequestError
from quoting.finder.bench import Bench, Chosen
from quoting.finder.lean import lean_wiring
from quoting.finder.packs import Packs
from quoting.finder.scopes import FIGURE_OF, PACK, RISING, STORE, asked_rules, scope_of
from quoting.result import WiringFigures
from quoting.ride.road_load import FloatArray
from quoting.rules import Facts, Rule
from quoting.rules.registry import outcome

Column = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]
Rows = dict[str, Column]
Read = tuple[str, str]
Key = tuple[tuple[str, int], ...]
PRECHARGED = frozenset({("wiring", f"precharge_{what}") for what in ("95_s", "99_s", "energy_j")})
LOADED = frozenset({("pack", "sag"), ("pack", "cut_v")})  # figures that take the pack under load, not only its sums
MOST_KEYS = 1 << 20  # tuples numbered by a table of all there could be; above it they are sorted
MOST_ROWS = 4_000_000  # sets held at once; above it the memory of a small server would not do


@dataclass
class Cutter:
    """Asks rules of distinct tuples and cuts rows. `refusals` tuples each rule refused; figures worked out so far."""

    bench: Bench
    refused: frozenset[str]
    refusals: Counter[str] = field(default_factory=Counter)
    wirings: dict[Key, WiringFigures | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.packs = Packs(self.bench)

    def cut(self, rows: Rows, scope: Sequence[str], rules: Sequence[Rule]) -> Rows:
        """The rows that none of the rules of one scope stops."""
        if not scope or not len(next(iter(rows.values()), ())):
            passes = not scope and self._passes({}, rules, set(), frozenset())
            return rows if passes else taken(rows, np.zeros(count(rows), dtype=bool))
        firsts, group = distinct(rows, scope)
        tuples = {name: rows[name][firsts] for name in scope}
        keep = self._judged(tuples, [rule for rule in rules if rule.id not in RISING])
        for rule in rules:
            if rule.id in RISING:
                left = np.flatnonzero(keep)
                keep[left] = self._judged_rising({name: column[left] for name, column in tuples.items()}, rule)
        return taken(rows, keep[group])

    def _judged(self, tuples: Rows, rules: Sequence[Rule]) -> Mask:
        """Which tuples pass the rules, each asked by itself."""
        if not rules:
            return np.ones(count(tuples), dtype=bool)
        reads = {read for rule in rules for read in rule.reads}
        made_of = self._made_of(reads)
        passes = [self._passes(_chosen(tuples, row), rules, reads, made_of) for row in range(count(tuples))]
        return np.array(passes, dtype=bool)

    def _judged_rising(self, tuples: Rows, rule: Rule) -> Mask:
        """Which tuples pass a rule that, once a figure is too high for it, is never content with a higher one.

        Tuples alike in the parts the rule looks at are put in the order of that figure and halved until the first that
        it stops is found. Those whose figure is not known are asked one by one.
        """
        reads = set(rule.reads)
        made_of = self._made_of(reads)
        looks_at = {*rule.kinds, *(subject for subject, _ in rule.may_read)}
        direct = {slot.name for slot in self.bench.slots if slot.kinds & looks_at}
        _, group = distinct(tuples, [name for name in tuples if name not in made_of or name in direct])
        figure = self._figure(tuples, RISING[rule.id], made_of)
        keep = np.ones(count(tuples), dtype=bool)

        def stopped(row: int) -> bool:
            return stops(rule, self._facts(_chosen(tuples, row), reads, made_of), self.refused)

        order = np.lexsort((figure, group))
        for members in np.split(order, np.flatnonzero(np.diff(group[order])) + 1):
            known = members[~np.isnan(figure[members])]
            if len(known) and stopped(known[-1]):
                keep[known[bisect_left(known, True, key=stopped) :]] = False
            for row in members[len(known) :]:
                keep[row] = not stopped(row)
        if not keep.all():
            self.refusals[rule.id] += int((~keep).sum())
        return keep

    def _figure(self, tuples: Rows, read: Read, made_of: frozenset[str]) -> FloatArray:
        """A figure of each tuple, NaN where it is not known."""
        firsts, group = distinct(tuples, [name for name in tuples if name in made_of])
        values = []
        for row in firsts:
            parts = {name: choice for name, choice in _chosen(tuples, row).items() if name in made_of}
            owner = self.packs.bare(parts) if read[0] == "pack" else self._wiring(parts, precharged=False)
            values.append(None if owner is None else getattr(owner, read[1]))
        return np.array(values, dtype=np.float64)[group]

    def _passes(self, chosen: Chosen, rules: Sequence[Rule], reads: set[Read], made_of: frozenset[str]) -> bool:
        facts = self._facts(chosen, reads, made_of)
        for rule in rules:
            if stops(rule, facts, self.refused):
                self.refusals[rule.id] += 1
                return False
        return True

    def _facts(self, chosen: Chosen, reads: set[Read], made_of: frozenset[str]) -> Facts:
        """What these rules read, of a partial option."""
        parts = {name: choice for name, choice in chosen.items() if name in made_of}
        pack = self.packs.under_load(parts) if reads & LOADED else self.packs.bare(parts) if STORE in parts else None
        wired = any(subject == "wiring" for subject, _ in reads)
        wiring = self._wiring(parts, precharged=bool(reads & PRECHARGED)) if wired else None
        return Facts(setup=self.bench.light(chosen), pack=pack, wiring=wiring)

    def _made_of(self, reads: set[Read]) -> frozenset[str]:
        """The choices that the pack and wiring figures read are made of."""
        made_of = {name for read in reads for name in FIGURE_OF.get(read, ())}
        if made_of & set(PACK):  # no pack without cells, whatever is read of it
            made_of.update(PACK)
        return frozenset(made_of | {slot.name for slot in self.bench.slots if slot.kinds & made_of})

    def _wiring(self, parts: Chosen, *, precharged: bool) -> WiringFigures | None:
        """Wiring figures of a partial option. The phase current needs no pack, yet the engine tells it only of one."""
        key = (("precharged", int(precharged)), *parts.items())
        if key not in self.wirings:
            pack = self.packs.under_load(parts) if STORE in parts else self.packs.bare({STORE: 0})
            setup = self.bench.light(parts) if precharged else self.packs.light(parts)
            self.wirings[key] = lean_wiring(setup, pack, precharged=precharged)
        return self.wirings[key]


def _chosen(tuples: Rows, row: int) -> Chosen:
    return {name: int(column[row]) for name, column in tuples.items()}


def stops(rule: Rule, facts: Facts, refused: Iterable[str]) -> bool:
    """Whether a rule refuses: a stop, or any word but a note of a rule whose checks are refused here."""
    levels = ("stop", "check") if rule.id in refused else ("stop",)
    return any(said.level in levels for said, _ in outcome(rule, facts).said)


def count(rows: Rows) -> int:
    """How many rows [-]."""
    return len(next(iter(rows.values()))) if rows else 0


def taken(rows: Rows, keep: Mask) -> Rows:
    """The rows that are True in `keep` [rows]."""
    return rows if keep.all() else {name: column[keep] for name, column in rows.items()}


def distinct(rows: Rows, names: Sequence[str]) -> tuple[Column, Column]:
    """First row of each distinct tuple of some columns, and for each row the number of its tuple [rows]."""
    key, span = np.zeros(count(rows), dtype=np.int64), 1
    for name in names:
        column = rows[name]
        choices = int(column.max(initial=0)) + 1
        if span * choices > MOST_KEYS:  # keeps the key small whatever the number of columns
            kept, key = np.unique(key, return_inverse=True)
            span = len(kept)
        key = key * choices + column
        span *= choices
    if span > MOST_KEYS:
        _, firsts, group = np.unique(key, return_index=True, return_inverse=True)
        return firsts, group
    first_of = np.full(span, -1, dtype=np.int64)
    first_of[key[::-1]] = np.arange(len(key) - 1, -1, -1)  # of rows with one key the first is written last
    there = first_of >= 0
    number = np.cumsum(there) - 1
    return first_of[there], number[key]


def crossed(rows: Rows, name: str, choices: int) -> Rows:
    """Every row with every choice of one more column. Raises RequestError when that is more than can be held."""
    size = count(rows) if rows else 1
    _refuse_too_many(size * choices)
    grown = {other: np.repeat(column, choices) for other, column in rows.items()}
    grown[name] = np.tile(np.arange(choices, dtype=np.int64), size)
    return grown


def counted(rows: Rows, name: str, most: Column) -> Rows:
    """Every row with every count from 1 to its own `most` [rows] in one more column."""
    most = np.maximum(most, 0)
    _refuse_too_many(int(most.sum()))
    grown = {other: np.repeat(column, most) for other, column in rows.items()}
    ends = np.cumsum(most)
    grown[name] = np.arange(int(most.sum()), dtype=np.int64) - np.repeat(ends - most, most) + 1
    return grown


def _refuse_too_many(size: int) -> None:
    if size > MOST_ROWS:
        problem = f"leave {size:,} sets to hold at once, more than {MOST_ROWS:,}."
        raise RequestError((FieldProblem("slots", problem, "Choose some parts first, so that fewer are open."),))


def scoped_rules(
    bench: Bench, job: str, refused: Iterable[str]
) -> tuple[Mapping[frozenset[str], list[Rule]], tuple[Rule, ...]]:
    """Rules by the choices they depend on, and the wide ones."""
    scoped: dict[frozenset[str], list[Rule]] = {}
    wide = []
    for rule in asked_rules(job, refused):
        scope = scope_of(rule, bench.slots)
        if scope is None:
            wide.append(rule)
        else:
            scoped.setdefault(scope, []).append(rule)
    return scoped, tuple(wide)


def in_order(scope: Iterable[str], order: Sequence[str]) -> list[str]:
    """The columns of a scope in the order of the table."""
    return sorted(scope, key=order.index)
