"""Small invented catalogues around the engine's own example, and every set of them by brute force through quote()."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from quoting import quote
from quoting.example import example_request
from quoting.finder import Choice, FinderRequest, Slot, Store
from quoting.finder.look import merit_of
from quoting.request import Option, PackPlan, PartLine, QuoteRequest, Supply, Wishes
from quoting.result import OptionResult

EXAMPLE = example_request()
PARTS = {line.code: line for line in EXAMPLE.options[0].parts}
# What quote() says of the quote whatever its parts; see quoting.finder.scopes.
BESIDE = {"tax-place-missing", "vin", "claimed-range", "claimed-charge-time"}
Merit = tuple[float, int, int, int, int]


def part(code: str, like: str, price: str, **spec: object) -> PartLine:
    """A part like one of the example's, at another price, with some of its spec changed; None takes a field out."""
    line = PARTS[like]
    changed = {name: value for name, value in {**line.spec, **spec}.items() if value is not None}
    return replace(line, code=code, name=code, unit_price=Decimal(price), unit_cost=None, spec=changed)


def slot(name: str, *lines: PartLine, may_be_empty: bool = False) -> Slot:
    """A slot of single parts."""
    empty = (Choice(),) if may_be_empty else ()
    return Slot(name=name, choices=(*empty, *(Choice(lines=(line,)) for line in lines)))


def slots_of(*varied: Slot) -> tuple[tuple[Slot, ...], tuple[PartLine, ...]]:
    """Slots, and the example's other lines that stay on every set."""
    kinds = frozenset(kind for each in varied for kind in each.kinds)
    kept = [line for line in PARTS.values() if line.kind not in {*kinds, "cell"}]
    return varied, tuple(kept)


def asked(
    slots: tuple[Slot, ...],
    stores: tuple[Store, ...],
    kept: tuple[PartLine, ...],
    *,
    series: tuple[int, int],
    parallel: tuple[int, int],
    wishes: Wishes | None = None,
    leads: Mapping[str, int] | None = None,
    donor: Mapping[str, Any] | None = None,
    shown: int = 60,
) -> FinderRequest:
    """A question on the example's bike and shop, with lead times [days] for the codes named."""
    supplies = tuple(
        Supply(code=code, supplier="A supplier", likely_days=days, high_days=days * 3 // 2)
        for code, days in (leads or {}).items()
    )
    frame = replace(EXAMPLE.options[0], parts=kept)
    base = EXAMPLE.donor
    assert base is not None
    request: QuoteRequest = replace(
        EXAMPLE,
        options=(frame,),
        wishes=wishes or Wishes(),
        shop=replace(EXAMPLE.shop, supplies=(*EXAMPLE.shop.supplies, *supplies)),
        donor=replace(base, **(donor or {})),
    )
    return FinderRequest(request=request, slots=slots, stores=stores, series=series, parallel=parallel, shown=shown)


@dataclass(frozen=True)
class Forced:
    """A set of the brute force: what was chosen, what quote() says, the five figures."""

    codes: tuple[str, ...]
    store: str
    series: int
    parallel: int
    result: OptionResult
    merit: Merit


def combinations(question: FinderRequest) -> Iterator[tuple[tuple[str, ...], str, int, int, Option]]:
    """Every set there is, as an option."""
    (least_s, most_s), (least_p, most_p) = question.series, question.parallel
    counts = itertools.product(range(least_s, most_s + 1), range(least_p, most_p + 1))
    frame = question.request.options[0]
    plan = frame.pack or PackPlan(series=1, parallel=1)
    choices = itertools.product(*(each.choices for each in question.slots))
    for chosen, store, (series, parallel) in itertools.product(choices, question.stores, counts):
        cells = store.at(series * parallel)
        lines = (*frame.parts, *(line for choice in chosen for line in choice.lines), cells)
        option = replace(frame, parts=lines, pack=replace(plan, series=series, parallel=parallel))
        yield tuple(" + ".join(choice.codes) for choice in chosen), store.line.code, series, parallel, option


def forced(question: FinderRequest) -> list[Forced]:
    """Every set that quote() does not stop and that has its place, by brute force."""
    found = []
    for batch in _threes(question):
        options = tuple(replace(each[4], key=key) for key, each in zip("ABC", batch, strict=False))
        results = quote(replace(question.request, options=options, catalogue=())).options
        for (codes, store, series, parallel, _), result in zip(batch, results, strict=True):
            if _buildable(result, question.refused):
                found.append(Forced(codes, store, series, parallel, result, _merit(result)))
    return found


def _threes(question: FinderRequest) -> Iterator[tuple[Any, ...]]:
    every = combinations(question)
    while batch := tuple(itertools.islice(every, 3)):
        yield batch


def _buildable(result: OptionResult, refused: tuple[str, ...]) -> bool:
    stops = {each.rule for each in result.findings if each.level == "stop"} - BESIDE
    stops |= {each.rule for each in result.findings if each.level == "check" and each.rule in refused}
    known = result.ride and result.ride.profiles and result.ride.held_kmh is not None
    return bool(not stops and known and result.pack and not result.pack.unplaced)


def _merit(result: OptionResult) -> Merit:
    assert result.ride is not None
    assert result.weight is not None
    assert result.ride.held_kmh is not None
    worst = min(profile.likely_km for profile in result.ride.profiles)
    finish: date | None = result.promise.finish_to if result.promise else None
    return merit_of(float(result.price.due), worst, result.ride.held_kmh, result.weight.after_kg or 0.0, finish)


def as_good(one: Merit, other: Merit) -> bool:
    """At least as good: cheaper, farther, faster, lighter, sooner, or the same."""
    signed = [(-1, 0), (1, 1), (1, 2), (-1, 3), (-1, 4)]
    return all(sign * one[at] >= sign * other[at] for sign, at in signed)


def front_of(sets: list[Forced]) -> set[Merit]:
    """The five figures of every set that no other beats."""
    merits = {each.merit for each in sets}
    return {one for one in merits if not any(other != one and as_good(other, one) for other in merits)}
