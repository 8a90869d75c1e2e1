"""When parts come in each sample, and which build then gets them.

A part to order takes its sampled lead time from today; an order on its way is early or late by the sampled lead time
less the likely one, and never arrives in the past; the lines of one order due the same day arrive together. Units of a
component go to the builds in the order of the line as they arrive, whichever order they came from.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache

import numpy as np

from quoting.promise.odds.arrays import Floats, Ground, Ints
from quoting.promise.odds.dice import Dice
from quoting.promise.odds.draws import normal_of, pert_quantile, pert_share, share_of
from quoting.promise.odds.ground import Chain
from quoting.promise.plan import PlannedShop
from quoting.promise.spans import arrival_day
from quoting.promise.supply import Incoming, Lead, Peg
from quoting.request import ShopState, Supply

Days = tuple[float, float, float]  # low, likely, high [days]
CERTAIN = 1 - 1e-9


@dataclass(frozen=True)
class Deliveries:
    """Sampled arrivals [day ordinal], a number per sample.

    `rows` of receipts by their place among them; `last` of the last unit of a component that is pegged.
    """

    rows: Mapping[int, Ints] = field(default_factory=dict)
    last: Mapping[str, Ints] = field(default_factory=dict)


def lead_days_of(shop: ShopState, code: str, lead: Lead) -> Days:
    """Three-point lead time of a component from a supplier [days]; a side that is not known has no spread."""
    rows = [row for row in shop.supplies if row.code == code]
    row: Supply | None = next((row for row in rows if row.supplier == lead.supplier), None)
    low = lead.likely_days if row is None or row.low_days is None else min(row.low_days, lead.likely_days)
    return float(max(low, 0)), float(lead.likely_days), float(lead.slow_days)


def receipts_of(planned: PlannedShop, dice: Dice) -> dict[int, Ints]:
    """Sampled arrival of every receipt that can arrive, by its place among the receipts [day ordinal]."""
    found: dict[int, Ints] = {}
    together: dict[tuple[str, str, date | None], list[int]] = {}
    for coming in (each for code in sorted(planned.shelf.incoming) for each in planned.shelf.incoming[code]):
        if coming.arrives is not None:
            found[coming.row] = _receipt_days(planned, dice, coming)
            order = coming.receipt
            together.setdefault((order.order, order.supplier, order.expected), []).append(coming.row)
    for rows in together.values():
        latest = np.maximum.reduce([found[row] for row in rows])
        found.update((row, latest) for row in rows)
    return found


def _receipt_days(planned: PlannedShop, dice: Dice, coming: Incoming) -> Ints:
    receipt, lead, today = coming.receipt, coming.lead, planned.bearings.today
    assert coming.arrives is not None  # noqa: S101  a receipt that cannot arrive is not sampled
    if lead is None:
        return np.full(dice.samples, coming.arrives.toordinal(), np.int64)
    supplier = receipt.supplier or lead.supplier
    shares = _shares(dice, supplier, f"order|{receipt.order}|{supplier}")
    low, likely, high = lead_days_of(planned.shop, receipt.code, lead)
    if receipt.expected is None:
        return _ordered_today(today, lead, (low, likely, high), shares)
    due = receipt.expected.toordinal()
    soonest = (coming.arrives if coming.late_days else today).toordinal()
    past = pert_share(low, likely, high, soonest - 0.5 - due + likely)
    if past >= CERTAIN:  # later than it ever was: from now as late again as an order due now might be
        late = np.maximum(pert_quantile(low, likely, high, shares) - likely, 0)
        return soonest + np.rint(late).astype(np.int64)
    late = pert_quantile(low, likely, high, past + (1 - past) * shares) - likely
    return np.maximum(due + np.rint(late).astype(np.int64), soonest)


@lru_cache(maxsize=512)
def _shares(dice: Dice, supplier: str, entity: str) -> Floats:
    """Numbers in (0, 1) for one order: part of it the supplier's factor, the rest its own."""
    common = dice.stratified(f"supplier|{supplier}")
    own = normal_of(dice.uniforms(entity))
    shares = share_of(math.sqrt(dice.supplier_share) * common + math.sqrt(1 - dice.supplier_share) * own)
    shares.setflags(write=False)  # it is kept and given out again
    return shares


def _ordered_today(today: date, lead: Lead, days: Days, shares: Floats) -> Ints:
    sampled = np.rint(pert_quantile(*days, shares)).astype(np.int64)
    if not lead.closed.starts:
        return today.toordinal() + sampled
    known = {int(each): arrival_day(today, int(each), lead.closed).toordinal() for each in np.unique(sampled)}
    return np.array([known[int(each)] for each in sampled], np.int64)


@lru_cache(maxsize=256)
def _ordered(dice: Dice, today: date, lead: Lead, days: Days, entity: str) -> Ints:
    """The same for one entity; the counter asks for the parts of an option again and again."""
    arrivals = _ordered_today(today, lead, days, _shares(dice, lead.supplier, entity))
    arrivals.setflags(write=False)  # it is kept and given out again
    return arrivals


def peg_days(planned: PlannedShop, dice: Dice, number: str, peg: Peg, rows: Mapping[int, Ints]) -> Ints:
    """Sampled arrival of the units of one peg, as pegged [day ordinal]."""
    if peg.incoming is not None:
        return rows[peg.incoming.row]
    if peg.lead is None:
        return np.full(dice.samples, (peg.arrives or planned.bearings.today).toordinal(), np.int64)
    days = lead_days_of(planned.shop, peg.need.code, peg.lead)
    entity = f"to order|{peg.lead.supplier}|{number}|{peg.need.code}"
    return _ordered(dice, planned.bearings.today, peg.lead, days, entity)


def deal(
    planned: PlannedShop, dice: Dice, chains: Sequence[Chain], one_more: bool
) -> tuple[list[list[Ints]], Deliveries]:
    """Arrivals dealt out in the order of the line: for each chain's pegs the day their last unit comes.

    Builds on hold keep their parts: their units count as dealt. With `one_more` the parts of one more build are
    ordered today too and come in with the rest: the first to come goes to the first in line, whoever it was ordered
    for, and the last in line gets the last.
    """
    rows = receipts_of(planned, dice)
    dealt: list[list[Ints]] = [[] for _ in chains]
    places = {chain.number: at for at, chain in enumerate(chains)}
    streams: dict[str, list[tuple[int, int, Peg, Ints]]] = {}
    held = [(number, pegs) for number, pegs in planned.on_hold.items()]
    owners: list[tuple[str, Iterable[Peg]]] = [(chain.number, [peg for peg, _ in chain.pegs]) for chain in chains]
    line = {build.number: (build.place, build.number) for build in planned.shop.builds}
    for number, pegs in sorted([*owners, *held], key=lambda owner: line.get(owner[0], (1 << 40, owner[0]))):
        chain = places.get(number, -1)
        for peg in pegs:
            if chain < 0 and (peg.unknown or peg.arrives is None):
                continue
            days = peg_days(planned, dice, number, peg, rows)
            slot = len(dealt[chain]) if chain >= 0 else -1
            if chain >= 0:
                dealt[chain].append(days)
            streams.setdefault(peg.need.code, []).append((chain, slot, peg, days))
    last = {}
    for code, stream in streams.items():
        quantities, came = [float(peg.quantity) for _, _, peg, _ in stream], [days for _, _, _, days in stream]
        ordered = _ordered_for_one_more(planned, dice, code) if one_more else None
        if ordered is not None:
            quantities, came = [*quantities, sorted(quantities)[len(quantities) // 2]], [*came, ordered]
        got = _stream(quantities, came)
        for (chain, slot, _, _), days in zip(stream, got, strict=False):
            if chain >= 0:
                dealt[chain][slot] = days
        last[code] = got[-1]
    left = {row: rows[row] for row, units in planned.shelf.left.items() if units > 0 and row in rows}
    return dealt, Deliveries(left, last)


def _ordered_for_one_more(planned: PlannedShop, dice: Dice, code: str) -> Ints | None:
    """When a component ordered today for a build behind the line comes; None when units are free for it, or no supplier
    is known. The draw is the one the counter's own build gets."""
    shelf = planned.shelf
    lead = shelf.lead_of(code)
    free = shelf.free.get(code, 0) > 0 or any(shelf.left[coming.row] > 0 for coming in shelf.incoming.get(code, ()))
    if lead is None or free:
        return None
    days = lead_days_of(planned.shop, code, lead)
    return _ordered(dice, planned.bearings.today, lead, days, f"to order|{lead.supplier}||{code}")


def _stream(quantities: Sequence[float], days: Sequence[Ints]) -> list[Ints]:
    """Who gets which units when those that come first go to the first in line."""
    arrived = np.stack(days)
    order = np.argsort(arrived, axis=0, kind="stable")
    arrived = np.take_along_axis(arrived, order, axis=0)
    if min(quantities) == max(quantities):
        return list(arrived)
    total = sum(quantities) + 1.0
    offset = np.arange(arrived.shape[1]) * total
    supply = (np.cumsum(np.array(quantities)[order], axis=0) + offset).T.ravel()
    wanted = np.cumsum(quantities) - 1e-6
    at = np.searchsorted(supply, (wanted[:, None] + offset).ravel()).reshape(len(quantities), -1)
    return list(arrived.T.ravel()[at])


def gates_from(ground: Ground, first: int, handling: int, days: Ints) -> Ints:
    """The minute parts can be used that arrive on these days [day ordinal]."""
    return ground.day[np.clip(days - first + handling, 0, len(ground.day) - 1)]
