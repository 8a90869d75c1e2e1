"""Ways out of a finding: parts from the catalogue that would pass, counts that would pass, and acts of a person."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from quoting.parts import KINDS, Part
from quoting.request import CatalogueItem
from quoting.result import WayOut
from quoting.rules.facts import Facts
from quoting.rules.registry import Outcome, all_rules, outcome, rule_called
from quoting.rules.said import Asked, Way
from quoting.rules.swap import exchanged, offers, refreshed, tells_apart
from quoting.setup import Fitted

PARTS_OFFERED = 3  # shop setting: more than three choices are not read at a counter
TINY = 1e-9  # keeps a count at the limit from being rounded past it


def act(text: str) -> Way:
    """Something a person does or sets."""
    return lambda asked: (WayOut(kind="act", text=text),)


def quantity(code: str, count: int) -> Way:
    """So many of a part on its line."""
    return lambda asked: (
        WayOut(kind="count", text=f"Set the quantity to {count}", code=code, field="quantity", value=str(count)),
    )


def exchange(kind: str) -> Way:
    """Catalogue parts of a kind for which the rule would be silent: on the shelf first, then cheapest."""

    def look(asked: Asked) -> tuple[WayOut, ...]:
        found: list[WayOut] = []
        for item in passing(asked, kind):
            found.append(WayOut(kind="part", text=_offer(item, asked.facts.currency), code=item.code))
            if len(found) == PARTS_OFFERED:
                break
        return tuple(found)

    return look


def exchange_of(kind: str, pick: Callable[[Facts], Fitted[Any] | None]) -> Way:
    """As `exchange`, of the line `pick` finds: for rules that speak of the option and mean one of its several lines."""

    def look(asked: Asked) -> tuple[WayOut, ...]:
        item = pick(asked.facts)
        return exchange(kind)(replace(asked, item=item)) if item else ()

    return look


def passing(asked: Asked, kind: str) -> Iterator[CatalogueItem]:
    """The catalogue's parts of a kind, best first, for which the asking rule is silent and no other rule stops."""
    facts, rule = asked.facts, rule_called(asked.rule)
    old = asked.item if asked.item and asked.item.line.kind == kind else facts.first(kind)
    if old is not None:
        kind = old.line.kind  # a pack of modules is asked for as cells
    add = old is None or (KINDS[kind].several and asked.item is None)
    line = None if add or old is None else old.line
    for item, part in offers(facts, kind):
        if line is not None and item.code == line.code:
            continue
        tried, fitted = exchanged(facts, item, part, line)
        answer = outcome(rule, refreshed(tried, rule, kind))
        passes = answer.applied and not answer.gaps and not _speaks_of(answer, fitted, asked.item)
        if passes and not _new_stops(facts, tried, kind):
            yield item


def _speaks_of(answer: Outcome, new: Fitted[Part], asked: Fitted[Part] | None) -> bool:
    """Whether the rule still speaks: about the line it was asked about or what stands for it now, else at all."""
    return any(asked is None or item is None or item is new or item is asked for _, item in answer.said)


def _new_stops(facts: Facts, tried: Facts, kind: str) -> bool:
    """Whether the exchange brings a stop that is not there now."""
    return any(
        _stops(outcome(rule, refreshed(tried, rule, kind))) and not _stops(outcome(rule, facts))
        for rule in all_rules()
        if tells_apart(rule, kind) and "stop" in rule.levels
    )


def _stops(answer: Outcome) -> bool:
    return any(said.level == "stop" for said, _ in answer.said)


def _offer(item: CatalogueItem, currency: str) -> str:
    where = f"{item.free_quantity:f} on the shelf" if item.free_quantity > 0 else "to order"
    price = f"{currency} {item.unit_price:,}".strip()
    return f"{KINDS[item.kind].label}: {item.name}, {price} each, {where}"


def series_at_most(limit_v: float) -> Way:
    """Fewest change of count: so many in series that the full pack stays at or under `limit_v` [V]."""

    def look(asked: Asked) -> tuple[WayOut, ...]:
        group_v = _full_v_per_group(asked.facts)
        count = math.floor(limit_v / group_v + TINY) if group_v else 0
        if count < 1 or not group_v:
            return ()
        text = f"At most {count} in series: {count} × {group_v:g} V = {count * group_v:.1f} V full"
        return (WayOut(kind="count", text=text, field="series", value=str(count)),)

    return look


def parallel_at_least(share: float) -> Way:
    """So many in parallel that a load now `share` times what the cells may carry is within it."""

    def look(asked: Asked) -> tuple[WayOut, ...]:
        pack = asked.facts.pack
        if pack is None:
            return ()
        count = math.ceil(pack.parallel * share - TINY)
        text = f"At least {count} in parallel instead of {pack.parallel}"
        return (WayOut(kind="count", text=text, field="parallel", value=str(count)),)

    return look


def parallel_at_most(count: int) -> Way:
    """At most so many in parallel."""

    def look(asked: Asked) -> tuple[WayOut, ...]:
        if asked.facts.pack is None or count < 1:
            return ()
        text = f"At most {count} in parallel instead of {asked.facts.pack.parallel}"
        return (WayOut(kind="count", text=text, field="parallel", value=str(count)),)

    return look


def _full_v_per_group(facts: Facts) -> float | None:
    pack = facts.pack
    return pack.full_v / pack.series if pack and pack.full_v and pack.series else None
