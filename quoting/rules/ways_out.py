"""Ways out of a finding: parts from the catalogue that would pass, counts that would pass, and acts of a person."""

from __future__ import annotations

import math
from collections.abc import Iterator

from quoting.errors import SpecError
from quoting.parts import KINDS
from quoting.request import CatalogueItem
from quoting.result import WayOut
from quoting.rules.facts import Facts
from quoting.rules.registry import outcome, rule_called
from quoting.rules.said import Asked, Way
from quoting.rules.swap import exchanged

PARTS_OFFERED = 3  # shop setting: more than three choices are not read at a counter
TINY = 1e-9  # keeps a count at the limit from being rounded past it


def act(text: str) -> Way:
    """Something a person does or sets."""
    return lambda asked: (WayOut(kind="act", text=text),)


def exchange(kind: str) -> Way:
    """Catalogue parts of a kind for which the rule would be silent: on the shelf first, then cheapest."""

    def look(asked: Asked) -> tuple[WayOut, ...]:
        found: list[WayOut] = []
        for item in passing(asked, kind):
            found.append(WayOut(kind="part", text=_offer(item), code=item.code))
            if len(found) == PARTS_OFFERED:
                break
        return tuple(found)

    return look


def passing(asked: Asked, kind: str) -> Iterator[CatalogueItem]:
    """The catalogue's parts of a kind, best first, for which the asking rule applies and has nothing to say."""
    rule = rule_called(asked.rule)
    old = asked.item if asked.item and asked.item.line.kind == kind else asked.facts.first(kind)
    kind = old.line.kind if old else kind  # a pack of modules is asked for as cells
    line = old.line if old and old.line.kind == kind else None
    items = (item for item in asked.facts.setup.catalogue if item.kind == kind and not item.discontinued)
    for item in sorted(items, key=_best_first):
        if line is not None and item.code == line.code:
            continue
        try:
            answer = outcome(rule, exchanged(asked.facts, item, line))
        except SpecError:
            continue
        if answer.applied and not answer.said and not answer.gaps:
            yield item


def _best_first(item: CatalogueItem) -> tuple[bool, object, str]:
    return (item.free_quantity <= 0, item.unit_price, item.code)


def _offer(item: CatalogueItem) -> str:
    where = f"{item.free_quantity:f} on the shelf" if item.free_quantity > 0 else "to order"
    return f"{KINDS[item.kind].label}: {item.name}, {item.unit_price} each, {where}"


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
