"""The shop as it stands: opening hours, people, benches, stock, what is on its way, and the builds already in line.

Times are aware datetimes; days are dates in the shop's zone; intervals are half open unless a field says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class Opening:
    """Open on `weekday` (0 Monday .. 6 Sunday) from `start` to `end`, local time. Several a day are allowed."""

    weekday: int
    start: time
    end: time


@dataclass(frozen=True, kw_only=True)
class DaySpan:
    """From `first` to `last`, both days included."""

    first: date
    last: date
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Bench:
    """A work place. Benches of a type are interchangeable but for their own downtime."""

    name: str
    bench_type: str
    down: tuple[DaySpan, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Person:
    """Someone who works, with skills and leave."""

    name: str
    skills: tuple[str, ...] = ()
    leave: tuple[DaySpan, ...] = ()


@dataclass(frozen=True, kw_only=True)
class StockLevel:
    """Units on the shelf, whoever they are reserved for."""

    code: str
    on_hand: Decimal


@dataclass(frozen=True, kw_only=True)
class Receipt:
    """Units on order, not yet here. `expected` None: the supplier has given no day."""

    code: str
    quantity: Decimal
    expected: date | None
    order: str
    supplier: str = ""


@dataclass(frozen=True, kw_only=True)
class Supply:
    """How long a component takes when it is not here: low, likely and high lead time [calendar days]."""

    code: str
    supplier: str
    likely_days: int
    low_days: int | None = None
    high_days: int | None = None
    closed: tuple[DaySpan, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Need:
    """Units of a component a step waits for, not yet issued to the build."""

    code: str
    quantity: Decimal
    step: str
    name: str = ""


@dataclass(frozen=True, kw_only=True)
class OpenStep:
    """A step still to do. Remaining hours [h] three-point. A step with `started` set keeps its person and bench."""

    code: str
    label: str
    skill: str
    bench_type: str
    low_h: Decimal
    likely_h: Decimal
    high_h: Decimal
    lead_days: int = 0
    started: datetime | None = None
    person: str = ""
    bench: str = ""


@dataclass(frozen=True, kw_only=True)
class OpenBuild:
    """A build in line. `place` 1 is next. `on_hold` builds keep their needs but are not planned."""

    number: str
    place: int
    steps: tuple[OpenStep, ...]
    needs: tuple[Need, ...] = ()
    promised_from: date | None = None
    promised_to: date | None = None
    on_hold: bool = False


@dataclass(frozen=True, kw_only=True)
class Turn:
    """A person's word that one step is done before another build's: `step` of `build` is laid before `then_step` of
    `then_build`, whatever their places in line. Without effect once either has started."""

    build: str
    step: str
    then_build: str
    then_step: str


@dataclass(frozen=True, kw_only=True)
class ShopState:
    """Everything the promise is worked out from. `revision` counts changes to the plan."""

    zone: str
    openings: tuple[Opening, ...] = ()
    closed_days: tuple[DaySpan, ...] = ()
    benches: tuple[Bench, ...] = ()
    people: tuple[Person, ...] = ()
    stock: tuple[StockLevel, ...] = ()
    receipts: tuple[Receipt, ...] = ()
    supplies: tuple[Supply, ...] = ()
    builds: tuple[OpenBuild, ...] = ()
    revision: int = 0
    turns: tuple[Turn, ...] = ()
