"""The sums of one component on any day: as the moves stood then, or as they will stand if all goes as expected."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.db.models import Q, Sum

from quoting.result import LinePlan
from shop.models import Component, MoveKind, OrderState, PartNeed, PurchaseOrderLine, StockMove
from shop.selectors.plan import line_plan
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.stock import StockPage

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class DaySums:
    """On hand, reserved, free, on order and short at the end of a day. `expected`: the day lies ahead."""

    day: date
    on_hand: Decimal
    reserved: Decimal
    on_order: Decimal
    short: Decimal
    expected: bool

    @property
    def free(self) -> Decimal:
        return max(self.on_hand - self.reserved, NONE)


def stock_on(page: StockPage, day: date, plan: LinePlan | None = None) -> DaySums:
    """The sums of a component's page on a day; today's are the page's own."""
    today = shop_today()
    if day < today:
        return _then(page.row.component, day)
    if day == today:
        row = page.row
        return DaySums(
            day=day, on_hand=row.on_hand, reserved=row.reserved, on_order=row.on_order, short=row.short, expected=False
        )
    return _ahead(page, day, plan or line_plan())


def _then(component: Component, day: date) -> DaySums:
    """From the moves up to the end of that day, and what had been ordered and taken into the line by then."""
    end = datetime.combine(day + timedelta(days=1), time(0), ZoneInfo(the_shop().zone))
    moves = StockMove.objects.order_by().filter(component=component, at__lt=end)
    sums = moves.aggregate(shelf=Sum("on_hand"), kept=Sum("reserved"))
    on_hand, reserved = sums["shelf"] or NONE, sums["kept"] or NONE
    lines = PurchaseOrderLine.objects.filter(component=component, order__ordered_on__lte=day)
    lines = lines.exclude(order__state=OrderState.CANCELLED)
    came = moves.filter(order_line__isnull=False).values("order_line_id").annotate(units=Sum("on_hand"))
    by_line = {row["order_line_id"]: row["units"] for row in came}
    on_order = sum((max(line.wanted - by_line.get(line.pk, NONE), NONE) for line in lines), NONE)
    needs = PartNeed.objects.filter(component=component, build__accepted_at__lt=end).exclude(build__state="cancelled")
    needs = needs.filter(Q(build__handed_over_at__isnull=True) | Q(build__handed_over_at__gte=end))
    gone = moves.filter(kind__in=[MoveKind.ISSUED, MoveKind.RETURNED], need__isnull=False)
    out = -(gone.filter(need__in=needs).aggregate(units=Sum("on_hand"))["units"] or NONE)
    needed = needs.aggregate(units=Sum("quantity"))["units"] or NONE
    short = max(needed - out - reserved, NONE)
    return DaySums(day=day, on_hand=on_hand, reserved=reserved, on_order=on_order, short=short, expected=False)


def _ahead(page: StockPage, day: date, plan: LinePlan) -> DaySums:
    """If every delivery comes on its day and every build takes its units at the step the plan has them for."""
    due = sum((each.left for each in page.due if each.line.expected_on and each.line.expected_on <= day), NONE)
    later = sum((each.left for each in page.due), NONE) - due
    starts = {(build.number, step.code): step.start.date() for build in plan.builds for step in build.steps}
    firsts = {build.number: min((step.start.date() for step in build.steps), default=None) for build in plan.builds}
    taken = waiting = NONE
    for need in page.needs:
        units = need.need.quantity - need.issued
        number = need.need.build.number
        start = starts.get((number, need.need.step_code)) or firsts.get(number)
        if start is not None and start <= day:
            taken += units
        else:
            waiting += units
    there = page.row.on_hand + due - taken
    on_hand = max(there, NONE)
    reserved = min(waiting, on_hand)
    return DaySums(
        day=day,
        on_hand=on_hand,
        reserved=reserved,
        on_order=later,
        short=max(-there, NONE) + waiting - reserved,
        expected=True,
    )
