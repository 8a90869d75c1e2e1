"""Packs of partial options, each piece worked out once for equal choices of what it is made of.

A pack under load is made of its cells' sums (cells and counts), of the chain its current takes (cells, count in
parallel and parts), of the cut-off (cells, count in series and parts) and of what the drive asks for (parts alone).
Thousands of packs share a few of each.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar

from quoting.finder.bench import Bench, Chosen
from quoting.finder.lean import Carried, carried_of, loaded, rested_v
from quoting.finder.scopes import PACK, PARALLEL, SERIES, STORE
from quoting.pack import drive_demand, highest_cutoff
from quoting.pack.unit import unit_of
from quoting.result import PackFigures
from quoting.setup import Setup

T = TypeVar("T")


class Packs:
    """What has been worked out so far, by piece and by the choices it is made of."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._found: dict[Hashable, object] = {}

    def bare(self, parts: Chosen) -> PackFigures | None:
        """Voltages [V], capacity [Ah] and resistance [ohm], without load."""
        own = {name: parts[name] for name in PACK if name in parts}
        return self._once(("bare", *own.items()), lambda: self.bench.bare(own))

    def under_load(self, parts: Chosen) -> PackFigures | None:
        """The same with limits [A], cut-off [V] and sag: what lean_pack() says of the whole choice."""
        own = (parts[STORE], parts.get(SERIES), parts.get(PARALLEL))
        return self._once(("loaded", own, _others(parts)), lambda: self._under_load(parts))

    def light(self, parts: Chosen) -> Setup:
        """The parts of the choices outside the pack."""
        others = _others(parts)
        return self._once(("light", others), lambda: self.bench.light(dict(others)))

    def _under_load(self, parts: Chosen) -> PackFigures | None:
        bare = self.bare(parts)
        if bare is None:
            return None
        setup = self.light(parts)
        store, series = parts[STORE], bare.series
        others = _others(parts)
        return loaded(
            bare,
            setup.policies.usable_share,
            self._once(("carried", store, bare.parallel, others), lambda: self._carried(parts, bare.parallel)),
            self._once(("cut", store, series, others), lambda: highest_cutoff(setup, bare.series_cells, bare.empty_v)),
            self._once(("demand", others), lambda: drive_demand(setup)),
            self._once(("rested", store, series), lambda: rested_v(bare)),
        )

    def _carried(self, parts: Chosen, parallel: int) -> Carried:
        store = self.bench.stores[parts[STORE]]
        return carried_of(self.light(parts), unit_of(store.part, store.line.name), parallel)

    def _once(self, key: Hashable, work: Callable[[], T]) -> T:
        if key not in self._found:
            self._found[key] = work()
        found: T = self._found[key]  # type: ignore[assignment]  # the key begins with the piece's name
        return found


def _others(parts: Chosen) -> tuple[tuple[str, int], ...]:
    """The choices outside the pack, in one order whoever asks."""
    return tuple(sorted((name, parts[name]) for name in parts if name not in PACK))
