"""What each choice adds to a set: price, mass, the day its parts are here, and the current it carries."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

import numpy as np
import numpy.typing as npt

from quoting.finder.bench import Bench, added_kg
from quoting.finder.question import Store
from quoting.pack.limits import current_chain
from quoting.pack.unit import unit_of
from quoting.parts import Part
from quoting.price import price_sheet
from quoting.price.money import minor_digits
from quoting.promise import PlannedShop
from quoting.promise.work import build_of
from quoting.request import Discount, Option, PartLine
from quoting.ride.road_load import FloatArray
from quoting.setup import Fitted

MANY_CELLS = 1000  # cells are priced by so many at once, so that one cell's rounding does not add up
NEVER = date.max.toordinal()  # a part nobody can get has no day: later than any
# What prices worked out choice by choice may differ by from the sheet of a whole set, which rounds each authority's tax
# and the contingency once: two minor units a choice are more than three roundings of half a unit. Our own rule.
SLACK_MINOR = 2


@dataclass(frozen=True)
class Ready:
    """When a choice's parts are here, by the index of the step that waits for them: likely and slow [ordinal days]."""

    likely: Mapping[int, int]
    slow: Mapping[int, int]


@dataclass(frozen=True)
class Tiers:
    """Quantities from which a price holds, rising, and what one piece then adds to what is due [currency]."""

    from_quantity: npt.NDArray[np.int64]
    each: FloatArray

    def price(self, cells: npt.NDArray[np.int64]) -> FloatArray:
        """What so many pieces add [currency]."""
        found: FloatArray = cells * self.each[np.searchsorted(self.from_quantity, cells, side="right") - 1]
        return found


@dataclass(frozen=True)
class Worth:
    """By slot, an entry per choice: `price` added to what is due [currency], `mass_kg` [kg], `ready`.

    `beaten` [choices, choices] True where the second is at least as good in price, mass, days and current carried, and
    better or listed earlier. `tiers` what one of each store adds, `cell_kg` its mass [kg]. `base_price` due without any
    choice [currency], `base_kg` what the kept lines add [kg]; `slack` how far a summed price may be off [currency];
    `store_ready` when so many of a store are here.
    """

    price: Mapping[str, FloatArray]
    mass_kg: Mapping[str, FloatArray]
    ready: Mapping[str, tuple[Ready, ...]]
    beaten: Mapping[str, npt.NDArray[np.bool_]]
    tiers: tuple[Tiers, ...]
    cell_kg: FloatArray
    base_price: float
    base_kg: float
    slack: float
    store_ready: Callable[[int, int], Ready]


def worth_of(bench: Bench, planned: PlannedShop) -> Worth:
    """Work out every choice on its own, by the engine's price sheet, weights and supply."""
    names = [slot.name for slot in bench.slots]
    base = _due(bench, ())
    price = {
        name: np.array([_due(bench, tuple(i.line for i in items)) - base for items in bench.fitted[name]])
        for name in names
    }
    mass = {name: np.array([added_kg(bench.kept, items) or 0.0 for items in bench.fitted[name]]) for name in names}
    ready = {
        name: tuple(ready_of(bench, planned, tuple(i.line for i in items)) for items in bench.fitted[name])
        for name in names
    }
    beaten = {
        name: _beaten(price[name], mass[name], ready[name], [_carries(bench, items) for items in bench.fitted[name]])
        for name in names
    }

    def store_ready(store: int, cells: int) -> Ready:
        return ready_of(bench, planned, (bench.offers[store].at(cells),))

    off = float(frame.discount.amount) if (frame := bench.question.frame).discount else 0.0
    minor = 10.0 ** -minor_digits(bench.question.request.currency)
    return Worth(
        price=price,
        mass_kg=mass,
        ready=ready,
        beaten=beaten,
        tiers=tuple(_tiers(bench, store, base) for store in bench.offers),
        cell_kg=np.array([item.part.mass_kg or 0.0 for item in bench.stores]),
        base_price=base - off,
        store_ready=store_ready,
        base_kg=added_kg(bench.kept, bench.kept.fitted) or 0.0,
        slack=SLACK_MINOR * minor * (len(names) + 2) + off,
    )


def ready_of(bench: Bench, planned: PlannedShop, lines: tuple[PartLine, ...]) -> Ready:
    """When these lines are here, taken alone: with others that want the same shelf it may be later, never earlier."""
    build = build_of(replace(bench.question.frame, parts=lines), planned.job, planned.next_place)
    likely: dict[int, int] = {}
    slow: dict[int, int] = {}
    for peg in planned.shelf.copy().peg(build):
        for days, day in ((likely, peg.ready), (slow, peg.slow_ready)):
            days[peg.step] = max(days.get(peg.step, 0), day.toordinal() if day and not peg.unknown else NEVER)
    return Ready(likely, slow)


def _due(bench: Bench, lines: tuple[PartLine, ...]) -> float:
    frame = bench.kept.option
    option: Option = replace(frame, parts=(*frame.parts, *lines), discount=_share_only(frame.discount))
    return float(price_sheet(bench.question.request, option).due)


def _tiers(bench: Bench, store: Store, base: float) -> Tiers:
    starts = [0, *(step.from_quantity for step in store.breaks)]
    lines = [replace(store.at(start), quantity=Decimal(MANY_CELLS)) for start in starts]
    return Tiers(np.array(starts), np.array([(_due(bench, (line,)) - base) / MANY_CELLS for line in lines]))


def _share_only(discount: Discount | None) -> Discount | None:
    """A discount of a share; a fixed one stands in the slack, as it may be more than what is on the frame yet."""
    return None if discount is None or discount.amount else discount


def _carries(bench: Bench, items: tuple[Fitted[Part], ...]) -> tuple[float, float]:
    """Continuous and peak current of the weakest of these parts in the pack's path [A]; infinite outside it."""
    setup = replace(bench.kept, fitted=items)
    links = current_chain(setup, unit_of(bench.stores[0].part), 1).links[1:]
    cont = [math.inf if link.cont_a is None else link.cont_a for link in links]
    peak = [math.inf if link.peak_a is None else link.peak_a for link in links]
    return min(cont, default=math.inf), min(peak, default=math.inf)


def _beaten(
    price: FloatArray, mass: FloatArray, ready: tuple[Ready, ...], carries: list[tuple[float, float]]
) -> npt.NDArray[np.bool_]:
    size = len(price)
    found = np.zeros((size, size), dtype=bool)
    for mine in range(size):
        for other in range(size):
            if mine == other:
                continue
            as_good = (
                price[other] <= price[mine]
                and mass[other] <= mass[mine]
                and _no_later(ready[other], ready[mine])
                and carries[other][0] >= carries[mine][0]
                and carries[other][1] >= carries[mine][1]
            )
            found[mine, other] = as_good and (other < mine or not _same(price, mass, ready, carries, mine, other))
    return found


def _no_later(other: Ready, mine: Ready) -> bool:
    return all(day <= mine.likely.get(step, 0) for step, day in other.likely.items()) and all(
        day <= mine.slow.get(step, 0) for step, day in other.slow.items()
    )


def _same(
    price: FloatArray,
    mass: FloatArray,
    ready: tuple[Ready, ...],
    carries: list[tuple[float, float]],
    mine: int,
    other: int,
) -> bool:
    return bool(
        price[mine] == price[other]
        and mass[mine] == mass[other]
        and ready[mine] == ready[other]
        and carries[mine] == carries[other]
    )
