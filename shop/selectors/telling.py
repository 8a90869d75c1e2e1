"""Whom to tell: builds that wait for an order and whose promise does not hold any more, with the new window."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from shop.models import ExpectedDateChange, Mail, PurchaseOrder
from shop.selectors.line import LineRow, line_row, open_builds
from shop.selectors.odds import line_odds
from shop.selectors.plan import line_plan


@dataclass(frozen=True, kw_only=True)
class ToTell:
    """One build: its row of the line, the window to promise now, and the letters it has had. `reason` of the slip.

    `simulated` whether the window is that of fresh runs; else it runs from likely to slow hours.
    """

    row: LineRow
    finish_from: date
    finish_to: date
    simulated: bool
    reason: str
    letters: tuple[Mail, ...]


def to_tell(order: PurchaseOrder) -> tuple[ToTell, ...]:
    """Builds waiting for this order that are expected later than promised, in order of the line. Flat queries."""
    plan = line_plan()
    numbers = {build.number for build in plan.builds for part in build.parts if part.order == order.number}
    plans = {build.number: build for build in plan.builds}
    odds = line_odds(plan.revision)
    known = odds if odds is not None and not odds.stale else None  # older runs know nothing of the slip
    builds = list(open_builds().filter(number__in=numbers))
    reason = newest_reason(order)
    letters: dict[int, tuple[Mail, ...]] = {}
    for mail in Mail.objects.filter(build__in=[build.pk for build in builds]).order_by("-at", "-pk"):
        if mail.build_id is not None:
            letters[mail.build_id] = (*letters.get(mail.build_id, ()), mail)
    told = []
    for build in builds:
        row = line_row(build, plans.get(build.number), known)
        if odds and not known:
            row = replace(row, late_days=_likely_late(row))
        if row.late_days and row.finish_from and row.finish_to:
            told.append(
                ToTell(
                    row=row,
                    finish_from=row.finish_from,
                    finish_to=row.finish_to,
                    simulated=row.odds is not None,
                    reason=reason,
                    letters=letters.get(build.pk, ()),
                )
            )
    return tuple(told)


def _likely_late(row: LineRow) -> int:
    """Windows that were given from runs end before the slow finish: until new runs are there the likely one decides."""
    promised, likely = row.build.promised_to, row.finish_from
    return max((likely - promised).days, 0) if promised and likely else 0


def newest_reason(order: PurchaseOrder) -> str:
    """What the supplier said last about a day of this order."""
    change = ExpectedDateChange.objects.filter(line__order=order, undoes=None).order_by("-at", "-pk").first()
    return change.reason if change else ""
