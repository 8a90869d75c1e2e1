"""find_sets(): grow the table of sets, then take the front from it, cheapest first, each member worked out in full.

The front is exact. Rows are looked at in the order of their price; one is passed over only when a set already taken is
at least as good in all five figures even against the best the row could reach. A row that is looked at goes through
every rule; one that is refused takes with it only rows that the same rule must refuse for the same reason.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from quoting.finder.answer import BuildSet, Counts, FinderResult, Relaxation
from quoting.finder.bench import Bench, bench_of
from quoting.finder.bounds import Bounds, bounds_of
from quoting.finder.grow import Grown, grow
from quoting.finder.look import Looked, as_good, look
from quoting.finder.question import FinderRequest, raw_count, refuse_unaskable
from quoting.finder.refusal import beyond, refused_alike
from quoting.finder.scopes import asked_rules
from quoting.finder.tables import count
from quoting.finder.told import Teller
from quoting.finder.wished import AT_LEAST, wished, wishes_made
from quoting.finder.worth import worth_of
from quoting.promise import PlannedShop, prepare
from quoting.rules import Rule

Mask = npt.NDArray[np.bool_]


@dataclass
class Search:
    """A table of sets and what is known of it so far. `seen` rows already looked at."""

    bench: Bench
    planned: PlannedShop
    grown: Grown
    bounds: Bounds
    rules: tuple[Rule, ...]
    wishes: tuple[str, ...]
    alive: Mask
    seen: dict[int, Looked]
    stopped: int = 0
    unknown: int = 0

    def front(self, wanted: tuple[str, ...], most: int) -> tuple[list[Looked], bool]:
        """The front of the sets that meet the wishes wanted, cheapest first: `most` of them, and whether it goes on."""
        open_rows = self.alive & self._may_meet(wanted)
        order = np.argsort(self.bounds.price, kind="stable")
        taken: list[Looked] = []
        at = 0
        while at < len(order):
            row = int(order[at])
            at += 1
            if not open_rows[row] or not self.alive[row]:
                continue
            looked = self._usable(row)
            if looked is None or looked.merit is None:
                continue
            missing = {miss.wish for miss in looked.misses} & set(wanted)
            if missing:
                open_rows &= ~beyond(self.grown.rows, self.bounds, self.bench, row, missing)
                continue
            if any(as_good(other.merit, looked.merit) for other in taken if other.merit):
                continue
            if len(taken) == most:
                return _cleaned(taken), True
            taken.append(looked)
            open_rows &= ~self._covered(looked)
        return _cleaned(taken), False

    def nearest_to(self, wish: str, wanted: tuple[str, ...]) -> Looked | None:
        """The set that comes nearest to a wish among those that meet all other wishes wanted."""
        target = wished(self.bench.kept.wishes, wish)
        open_rows = self.alive & self._may_meet(wanted)
        best_first = self.bounds.best[wish] * (-1.0 if wish in AT_LEAST else 1.0)
        found: tuple[float, Looked] | None = None
        for row in np.argsort(np.where(np.isnan(best_first), np.inf, best_first), kind="stable"):
            if not open_rows[row] or not self.alive[row]:
                continue
            if found is not None and best_first[row] >= found[0]:
                break
            looked = self._usable(int(row))
            if looked is None or target is None:
                continue
            missing = {miss.wish for miss in looked.misses} & set(wanted)
            if missing:
                open_rows &= ~beyond(self.grown.rows, self.bounds, self.bench, int(row), missing)
                continue
            value = looked.values[wish]
            if value is None or any(miss.wish == wish and miss.not_held for miss in looked.misses):
                continue
            signed = -value if wish in AT_LEAST else value
            if found is None or signed < found[0]:
                found = (signed, looked)
        return found[1] if found else None

    def _usable(self, row: int) -> Looked | None:
        """A row looked at, None when it is refused or not known; rows refused for the same reason leave the table."""
        if row not in self.seen:
            chosen = {name: int(column[row]) for name, column in self.grown.rows.items()}
            refused = self.grown.cutter.refused
            self.seen[row] = look(self.bench, self.planned, self.rules, refused, chosen, self.wishes)
        looked = self.seen[row]
        if looked.stopped:
            self.stopped += 1
            self.grown.cutter.refusals[looked.stopped] += 1
            self.alive &= ~refused_alike(looked.stopped, self.grown.rows, self.bounds, self.bench, row)
            return None
        if looked.merit is None:
            self.unknown += 1
            self.alive[row] = False
            return None
        return looked

    def _may_meet(self, wanted: tuple[str, ...]) -> Mask:
        """Rows that reach every wish wanted at their best [rows]."""
        keep = np.ones(len(self.alive), dtype=bool)
        for wish in wanted:
            target = wished(self.bench.kept.wishes, wish)
            if target is None:
                continue
            room = abs(target) * 1e-9  # the rules' own tolerance at a limit: quoting.rules.said.SAME
            best = self.bounds.best[wish]
            with np.errstate(invalid="ignore"):
                keep &= best >= target - room if wish in AT_LEAST else best <= target + room
        return keep

    def _covered(self, taken: Looked) -> Mask:
        """Rows that can be no better than a set taken in any of the five figures [rows]."""
        if taken.merit is None:
            return np.zeros(len(self.alive), dtype=bool)
        price, worst_km, held_kmh, kg, day = taken.merit
        bounds = self.bounds
        covered: Mask = (
            (bounds.price - bounds.slack >= price)
            & (np.round(bounds.worst_km) <= worst_km)
            & (np.round(bounds.held_kmh) <= held_kmh)
            & (np.round(bounds.mass_kg) >= kg)
            & (bounds.finish >= day)
        )
        return covered


def find_sets(question: FinderRequest) -> FinderResult:
    """Every buildable set that no other beats, cheapest first; and where none meets every wish, what each wish costs.

    A set is buildable when quote() finds no stop on it that a choice of parts could change, and pack and boxes have
    their place. Returns: FinderResult, its members worked out by quote(). Raises: RequestError naming the fields when
    no search can start or more sets are open than can be held; CalendarError when the shop is never open.
    """
    refuse_unaskable(question)
    bench = bench_of(question)
    raw = raw_count(question)
    if not bench.stores or not all(slot.choices for slot in bench.slots):
        return FinderResult(sets=(), more=False, counts=Counts(raw=raw, judged=0), left_out=bench.left_out)
    planned = prepare(question.request)
    worth = worth_of(bench, planned)
    grown = grow(bench, worth)
    wishes = wishes_made(question.request.wishes)
    judged = count(grown.rows)
    if not judged:
        return FinderResult(
            sets=(), more=False, counts=Counts(raw=raw, judged=0), left_out=bench.left_out, why_none=_why(grown)
        )
    bounds = bounds_of(bench, worth, planned, grown, wishes)
    rules = asked_rules(question.request.job, question.refused)
    search = Search(bench, planned, grown, bounds, rules, wishes, bounds.known.copy(), {})
    search.unknown = int((~bounds.known).sum())
    return _answer(question, search, raw, judged)


def _answer(question: FinderRequest, search: Search, raw: int, judged: int) -> FinderResult:
    wishes = search.wishes
    teller = Teller(question, search.bench)
    taken, more = search.front(wishes, question.shown)
    sets = teller.told(taken)
    relaxations: list[Relaxation] = []
    nearest: tuple[BuildSet, ...] = ()
    if not taken and wishes:
        for wish in wishes:
            others = tuple(name for name in wishes if name != wish)
            first, _ = search.front(others, 1)
            best = search.nearest_to(wish, others) if first else None
            told = teller.told([*first, *([best] if best else [])])
            if first and told:
                relaxations.append(Relaxation(wish=wish, cheapest=told[0], best=told[-1]))
            else:
                relaxations.append(Relaxation(wish=wish))
        if not any(each.cheapest for each in relaxations):
            nearest = teller.told(search.front((), question.shown)[0])
    nothing = not sets and not nearest and not any(each.cheapest for each in relaxations)
    return FinderResult(
        sets=sets,
        more=more,
        counts=Counts(
            raw=raw,
            judged=judged,
            looked=len(search.seen),
            stopped=search.stopped,
            unknown=search.unknown,
            dropped=teller.dropped,
        ),
        relaxations=tuple(relaxations),
        nearest=nearest,
        left_out=search.bench.left_out,
        beside=tuple(sorted(teller.beside)),
        why_none=_why(search.grown) if nothing else (),
    )


def _cleaned(taken: list[Looked]) -> list[Looked]:
    """The sets taken, by exact price, without one that a later one beats by the slack of the summed prices."""
    known = sorted((each for each in taken if each.merit), key=lambda each: each.merit or ())
    kept: list[Looked] = []
    for each in known:
        if not any(as_good(other.merit, each.merit) for other in kept if other.merit and each.merit):
            kept.append(each)
    return kept


def _why(grown: Grown) -> tuple[tuple[str, int], ...]:
    return tuple(grown.cutter.refusals.most_common(6))
