"""When it will be done, and why not earlier."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from quoting.result.odds import Odds


@dataclass(frozen=True, kw_only=True)
class Reason:
    """One link of the chain that leads to the finish: what was waited for and until when.

    Chains are told in order of time, the finish last. `kind` is one of part, bench, person, step, earlier, lead,
    closed, start; `code` the component, bench, person or build.
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
    """Where units of a needed component come from; a need met from two places has two of these.

    `origin` stock, order or to_order. Days are dates in the shop's zone. `arrives` here, `ready` after goods-in
    handling; `ready_slow` in the slow plan; None when nobody knows, then `note` says what to do. `late_days` its order
    is overdue by [days]. `lead_days` likely lead time of what has to be ordered [calendar days]. `order_by` latest day
    to order so that the promised window still holds with slow parts and slow hours, `order_by_plan` so that the likely
    finish still holds; a day in the past: it is too late for that. None when nothing has to be ordered or there is no
    finish to count back from.
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
    arrives: date | None = None
    ready_slow: date | None = None
    late_days: int = 0
    order_by_plan: date | None = None
    note: str = ""

    @property
    def short_by(self) -> Decimal:
        """Units not on the shelf for this build."""
        return Decimal(0) if self.origin == "stock" else self.quantity


@dataclass(frozen=True, kw_only=True)
class Alternative:
    """Why not earlier: the likely finish if one thing were otherwise, planned anew, earlier builds in their places.

    `kind` part, bench or person; `code` the component, bench type or skill, empty for every part. `days_earlier`
    against the likely finish [calendar days], 0 when it would not help, None when there is no finish to compare with.
    """

    kind: str
    code: str
    text: str
    finish: date
    days_earlier: int | None = None


@dataclass(frozen=True, kw_only=True)
class Promise:
    """The finish. The customer is told both days, `finish_from` and `finish_to`.

    With `odds` they are the days reached at the two `levels` [%] of the simulated runs, and `planned_from` and
    `planned_to` those of the plan; without, they are the plan's: the first with likely hours and lead times, the last
    with slow ones. `headline` goes with the window, `planned_headline` with the plan's own days.

    `blocked` says why there is no date (a skill nobody holds, a part without a supplier); then both are None.
    `reasons` run from the cause to the finish. `steps` are those of the likely plan.
    """

    place: int
    finish_from: date | None
    finish_to: date | None
    blocked: str = ""
    headline: str = ""
    reasons: tuple[Reason, ...] = ()
    steps: tuple[PlannedStep, ...] = ()
    parts: tuple[PartPromise, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    revision: int = 0
    method: str = ""
    odds: Odds | None = None
    levels: tuple[float, ...] = ()
    planned_from: date | None = None
    planned_to: date | None = None
    planned_headline: str = ""
