"""One thing otherwise: a slow supplier, a bench down, a person away, overtime, one more bench, another build first."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, time, timedelta

from quoting.errors import FieldProblem, RequestError
from quoting.promise.calendar import DAY_MINUTES
from quoting.request import Bench, DaySpan, Opening, ShopState

SUPPLIER, BENCH_DOWN, AWAY, OVERTIME, ONE_MORE_BENCH, FIRST = (
    "supplier", "bench_down", "away", "overtime", "one_more_bench", "first",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Change:
    """One thing otherwise. `kind` one of supplier, bench_down, away, overtime, one_more_bench, first.

    `name` the supplier, bench, person, bench type or build; `days` a supplier is late by [calendar days]; `first` and
    `last` days of downtime or leave; `minutes` the shop stays open longer on each open day, week after week.
    """

    kind: str
    name: str = ""
    days: int = 0
    first: date | None = None
    last: date | None = None
    minutes: int = 0


def changed_shop(shop: ShopState, change: Change) -> ShopState:
    """The shop with one thing otherwise. Raises: RequestError for something the shop does not have."""
    made = CHANGES.get(change.kind)
    if made is None:
        raise _wrong("kind", f"'{change.kind}' is unknown.", f"Use one of {', '.join(CHANGES)}.")
    return made(shop, change)


def _supplier(shop: ShopState, change: Change) -> ShopState:
    """Everything of a supplier later: orders on their way, and what has yet to be ordered."""
    if all(supply.supplier != change.name for supply in shop.supplies) and all(
        receipt.supplier != change.name for receipt in shop.receipts
    ):
        raise _wrong("name", f"No part comes from '{change.name}'.", "Choose a supplier that parts come from.")
    late = timedelta(days=change.days)
    receipts = tuple(
        replace(each, expected=each.expected + late) if each.supplier == change.name and each.expected else each
        for each in shop.receipts
    )
    supplies = tuple(
        replace(
            each,
            likely_days=max(each.likely_days + change.days, 0),
            low_days=None if each.low_days is None else max(each.low_days + change.days, 0),
            high_days=None if each.high_days is None else max(each.high_days + change.days, 0),
        )
        if each.supplier == change.name
        else each
        for each in shop.supplies
    )
    return replace(shop, receipts=receipts, supplies=supplies)


def _bench_down(shop: ShopState, change: Change) -> ShopState:
    _known(change.name, [bench.name for bench in shop.benches], "bench")
    span = _span(change)
    return replace(
        shop,
        benches=tuple(
            replace(each, down=(*each.down, span)) if each.name == change.name else each for each in shop.benches
        ),
    )


def _away(shop: ShopState, change: Change) -> ShopState:
    _known(change.name, [person.name for person in shop.people], "person")
    span = _span(change)
    return replace(
        shop,
        people=tuple(
            replace(each, leave=(*each.leave, span)) if each.name == change.name else each for each in shop.people
        ),
    )


def _overtime(shop: ShopState, change: Change) -> ShopState:
    """The last opening of each weekday ends later, at midnight at most."""
    if change.minutes <= 0:
        raise _wrong("minutes", "Overtime must be longer than nothing.", "Enter minutes a day.")
    last: dict[int, Opening] = {}
    for opening in shop.openings:
        if opening.weekday not in last or opening.start > last[opening.weekday].start:
            last[opening.weekday] = opening
    openings = tuple(
        replace(each, end=_later(each.end, change.minutes)) if last[each.weekday] is each else each
        for each in shop.openings
    )
    return replace(shop, openings=openings)


def _later(end: time, minutes: int) -> time:
    minute = end.hour * 60 + end.minute
    if minute == 0 or minute + minutes >= DAY_MINUTES:
        return time(0)
    return time((minute + minutes) // 60, (minute + minutes) % 60)


def _one_more_bench(shop: ShopState, change: Change) -> ShopState:
    _known(change.name, [bench.bench_type for bench in shop.benches], "bench type")
    names = {bench.name for bench in shop.benches}
    number = next(number for number in range(2, len(names) + 3) if f"{change.name} {number}" not in names)
    return replace(shop, benches=(*shop.benches, Bench(name=f"{change.name} {number}", bench_type=change.name)))


def _first(shop: ShopState, change: Change) -> ShopState:
    """A build to the front of the line; those before it go back one place each."""
    _known(change.name, [build.number for build in shop.builds], "build")
    line = sorted(shop.builds, key=lambda build: (build.place, build.number))
    moved = sorted(line, key=lambda build: build.number != change.name)
    places = {build.number: old.place for build, old in zip(moved, line, strict=True)}
    return replace(shop, builds=tuple(replace(build, place=places[build.number]) for build in shop.builds))


def _known(name: str, names: list[str], what: str) -> None:
    if name not in names:
        raise _wrong("name", f"There is no {what} '{name}'.", f"Choose a {what} of this shop.")


def _span(change: Change) -> DaySpan:
    if change.first is None or change.last is None or change.last < change.first:
        raise _wrong("first", "The days are missing or run backward.", "Enter the first and the last day.")
    return DaySpan(first=change.first, last=change.last)


def _wrong(field: str, problem: str, remedy: str) -> RequestError:
    return RequestError((FieldProblem(field, problem, remedy),))


CHANGES = {
    SUPPLIER: _supplier,
    BENCH_DOWN: _bench_down,
    AWAY: _away,
    OVERTIME: _overtime,
    ONE_MORE_BENCH: _one_more_bench,
    FIRST: _first,
}
