"""When it will be done, and why not earlier."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class Reason:
    """One link of the chain back from the finish: what was waited for and until when.

    `kind` is one of part, bench, person, step, earlier, lead, closed, start; `code` the component, bench, person or
    build.
    """

    kind: str
    code: str
    text: str
    until: date | None = None


@dataclass(frozen=True, kw_only=True)
class PlannedStep:
    """A step in the plan; `start` and `end` aware datetimes, `waits_for` what its start was decided by."""

    code: str
    label: str
    start: datetime
    end: datetime
    hours: Decimal
    bench: str = ""
    person: str = ""
    waits_for: str = ""


@dataclass(frozen=True, kw_only=True)
class PartPromise:
    """Where a needed component comes from. `origin` stock, order or to_order. Days are dates in the shop's zone.

    `order_by` latest day to order so that the window still holds; None when nothing has to be ordered.
    """

    code: str
    name: str
    quantity: Decimal
    origin: str
    ready: date | None
    order: str = ""
    supplier: str = ""
    lead_days: int | None = None
    order_by: date | None = None
    step: str = ""


@dataclass(frozen=True, kw_only=True)
class Promise:
    """The finish. `finish_from` with likely hours and lead times, `finish_to` with slow ones; the customer is told
    both.

    `blocked` says why there is no date (a skill nobody holds, a part without a supplier); then both are None.
    """

    place: int
    finish_from: date | None
    finish_to: date | None
    blocked: str = ""
    headline: str = ""
    reasons: tuple[Reason, ...] = ()
    steps: tuple[PlannedStep, ...] = ()
    parts: tuple[PartPromise, ...] = ()
    revision: int = 0
    method: str = ""
