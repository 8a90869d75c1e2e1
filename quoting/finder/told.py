"""The answer's sets as quote() tells them: what is shown is what it says, never a figure of the search."""

from __future__ import annotations

from dataclasses import replace

from quoting.engine import MOST_OPTIONS, quote
from quoting.finder.answer import BuildSet
from quoting.finder.bench import Bench
from quoting.finder.look import Looked
from quoting.finder.question import FinderRequest
from quoting.finder.scopes import BESIDE_THE_PARTS, PARALLEL, SERIES, STORE
from quoting.finder.wished import missed, reached, wishes_made
from quoting.request import Wishes
from quoting.result import OptionResult


class Teller:
    """Works sets out by quote() and drops those it stops.

    `dropped` how many; `beside` ids of stops that no choice of parts changes.
    """

    def __init__(self, question: FinderRequest, bench: Bench) -> None:
        self.question = question
        self.bench = bench
        self.dropped = 0
        self.beside: set[str] = set()
        self._told: dict[tuple[int, ...], BuildSet | None] = {}

    def told(self, looked: list[Looked]) -> tuple[BuildSet, ...]:
        """The sets as quote() tells them, in the order given."""
        keys = [tuple(each.chosen.values()) for each in looked]
        fresh = {key: each for key, each in zip(keys, looked, strict=True) if key not in self._told}
        waiting = list(fresh.items())
        for start in range(0, len(waiting), MOST_OPTIONS):
            part = waiting[start : start + MOST_OPTIONS]
            options = tuple(
                replace(self.bench.option(each.chosen), key=key) for key, (_, each) in zip("ABC", part, strict=False)
            )
            results = quote(replace(self.question.request, options=options, catalogue=())).options
            for (key, each), result in zip(part, results, strict=True):
                self._told[key] = self._one(each, result)
        return tuple(found for key in keys if (found := self._told[key]) is not None)

    def _one(self, looked: Looked, result: OptionResult) -> BuildSet | None:
        stops = {finding.rule for finding in result.at_level("stop")}
        self.beside |= stops & BESIDE_THE_PARTS
        ride, weight = result.ride, result.weight
        if stops - BESIDE_THE_PARTS or not ride or not ride.profiles or ride.held_kmh is None or not weight:
            self.dropped += 1
            return None
        wishes: Wishes = self.question.request.wishes
        finish = result.promise.finish_to if result.promise else None
        values = reached(ride, result.charge, result.price.due, finish, self.question.request.day)
        frame = self.question.frame
        option = self.bench.option(looked.chosen)
        return BuildSet(
            option=replace(option, key=frame.key),
            result=replace(result, key=frame.key),
            codes=self.bench.codes(looked.chosen),
            store=self.bench.stores[looked.chosen[STORE]].line.code,
            series=looked.chosen[SERIES],
            parallel=looked.chosen[PARALLEL],
            worst_km=min(profile.likely_km for profile in ride.profiles),
            held_kmh=ride.held_kmh,
            weight_kg=weight.after_kg or 0.0,
            finish=finish,
            misses=missed(wishes, wishes_made(wishes), values, ride),
        )
