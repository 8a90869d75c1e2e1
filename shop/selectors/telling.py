"""Whom to tell: builds that wait for an order and whose promise does not hold any more, with the new window."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.models import ExpectedDateChange, Mail, PurchaseOrder
from shop.selectors.line import LineRow, line_row, open_builds
from shop.selectors.plan import line_plan


@dataclass(frozen=True, kw_only=True)
class ToTell:
    """One build: its row of the line, the window to promise now, and the letters it has had. `reason` of the slip."""

    row: LineRow
    finish_from: date
    finish_to: date
    reason: str
    letters: tuple[Mail, ...]


def to_tell(order: PurchaseOrder) -> tuple[ToTell, ...]:
    """Builds waiting for this order that are expected later than promised, in order of the line. Flat queries."""
    plan = line_plan()
    numbers = {build.number for build in plan.builds for part in build.parts if part.order == order.number}
    plans = {build.number: build for build in plan.builds}
    rows = [line_row(build, plans.get(build.number)) for build in open_builds().filter(number__in=numbers)]
    reason = newest_reason(order)
    letters: dict[int, tuple[Mail, ...]] = {}
    for mail in Mail.objects.filter(build__in=[row.build.pk for row in rows]).order_by("-at", "-pk"):
        if mail.build_id is not None:
            letters[mail.build_id] = (*letters.get(mail.build_id, ()), mail)
    return tuple(
        ToTell(
            row=row,
            finish_from=row.finish_from,
            finish_to=row.finish_to,
            reason=reason,
            letters=letters.get(row.build.pk, ()),
        )
        for row in rows
        if row.late_days and row.finish_from and row.finish_to
    )


def newest_reason(order: PurchaseOrder) -> str:
    """What the supplier said last about a day of this order."""
    change = ExpectedDateChange.objects.filter(line__order=order, undoes=None).order_by("-at", "-pk").first()
    return change.reason if change else ""
