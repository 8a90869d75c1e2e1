"""What has to be ordered: for builds, by the day their promise needs it, and to keep the shelf filled."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Sum

from quoting.promise import arrival_day, closed_ordinals, latest_order_day
from quoting.request import DaySpan
from quoting.result import LinePlan, PartPromise
from shop.models import Build, Component, Offer, OrderState, PurchaseOrderLine
from shop.selectors.lead_history import LeadAt, lead_at, measured_leads
from shop.selectors.offers import order_quantity
from shop.selectors.parts_hold import PartsHold, parts_holds
from shop.selectors.plan import line_plan
from shop.selectors.shop import shop_today, the_shop
from shop.selectors.stock import Stores

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """Units of a part that one build needs and neither shelf nor orders cover. `part` has its order-by days.

    `figures` how its order-by day came about; None without a finish to count back from. `hold` the parts deposit that
    has to be paid first.
    """

    build: Build
    part: PartPromise
    figures: OrderFigures | None = None
    hold: PartsHold | None = None

    @property
    def order_by(self) -> date | None:
        return self.figures.order_by if self.figures else self.part.order_by


@dataclass(frozen=True, kw_only=True)
class OrderFigures:
    """Order-by day = day needed at the bench - goods-in handling - lead time, around the supplier's closed days.

    `lead` None: the slowest the offer names. `slack_days` from today, negative when it is past.
    """

    needed: date
    handling_days: int
    lead_days: int
    lead: LeadAt | None
    order_by: date
    slack_days: int


@dataclass(frozen=True, kw_only=True)
class ToOrderRow:
    """One component to order.

    `needed` for builds, `for_shelf` to keep the least stock, `drafted` already on draft orders. `quantity` what to
    order now: the rest of it, raised to the supplier's least quantity and whole packs; zero when drafts cover it.
    `order_by` the last day that every promise still holds, None when no build waits for it; `days_left` until then,
    negative when it has passed.
    `open_quantity` of it what waits for nobody's parts deposit.
    `offer` the preferred one; None: nobody sells it, `note` says what to enter.
    """

    component: Component
    offer: Offer | None
    needed: Decimal
    for_shelf: Decimal
    drafted: Decimal
    quantity: Decimal
    open_quantity: Decimal
    order_by: date | None
    order_by_plan: date | None
    days_left: int | None
    wanted: tuple[Wanted, ...]
    note: str

    @property
    def due_now(self) -> bool:
        """Whether it has to be ordered today or should have been."""
        return self.days_left is not None and self.days_left <= 0

    @property
    def holds(self) -> tuple[PartsHold, ...]:
        """Parts deposits that have to be paid first."""
        return tuple(each.hold for each in self.wanted if each.hold)

    @property
    def held(self) -> bool:
        """Whether some of it waits for a parts deposit and is not on a draft."""
        return self.open_quantity < self.quantity

    @property
    def late_days(self) -> int:
        """How long it should have been ordered, 0 when there is time."""
        return max(-(self.days_left or 0), 0)


def to_order(plan: LinePlan | None = None, *, sure_percent: int | None = None) -> tuple[ToOrderRow, ...]:
    """What to order, the most pressing first; what only fills the shelf last.

    `sure_percent` of deliveries come within the lead time that is counted on; None: the slowest the offer names.
    """
    plan = plan or line_plan()
    wanted = _wanted(plan)
    low = Component.objects.filter(keep_on_shelf__gt=0, discontinued=False)
    components = {row.code: row for row in [*low, *Component.objects.filter(code__in=wanted)]}
    offers = {
        offer.component_id: offer
        for offer in Offer.objects.filter(preferred=True, component__in=[row.pk for row in components.values()])
        .select_related("supplier")
        .prefetch_related("supplier__closures")
        .order_by()
    }
    stores, drafted = Stores([row.pk for row in components.values()]), _drafted()
    counted = _counted(wanted, components, offers, sure_percent)
    today = shop_today()
    rows = [
        _row(component, offers.get(component.pk), counted.get(code, ()), stores, drafted.get(component.pk, NONE), today)
        for code, component in components.items()
    ]
    rows = [row for row in rows if row.needed or row.for_shelf]
    return tuple(sorted(rows, key=lambda row: (row.order_by or date.max, not row.needed, row.component.name)))


def _counted(
    wanted: Mapping[str, tuple[Wanted, ...]],
    components: Mapping[str, Component],
    offers: Mapping[int, Offer],
    sure_percent: int | None,
) -> Mapping[str, tuple[Wanted, ...]]:
    """Each shortage with its figures."""
    ids = [components[code].pk for code in wanted]
    measured = measured_leads(components=ids) if sure_percent is not None else {}
    handling, today = the_shop().handling_days, shop_today()
    found: dict[str, tuple[Wanted, ...]] = {}
    for code, each in wanted.items():
        offer = offers.get(components[code].pk)
        if offer is None or offer.lead_days is None:
            found[code] = each
            continue
        real = measured.get((offer.supplier_id, offer.component_id))
        lead = lead_at(offer, real, sure_percent) if sure_percent is not None else None
        found[code] = tuple(replace(one, figures=_figures(one, offer, lead, handling, today)) for one in each)
    return found


def _figures(one: Wanted, offer: Offer, lead: LeadAt | None, handling: int, today: date) -> OrderFigures | None:
    if one.part.order_by is None or offer.lead_days is None:
        return None
    closed = closed_ordinals(DaySpan(first=row.first, last=row.last) for row in offer.supplier.closures.all())
    slow_days = max(offer.lead_high_days or 0, offer.lead_days)
    here = arrival_day(one.part.order_by, slow_days, closed)
    days = lead.days if lead else slow_days
    order_by = latest_order_day(here, days, closed) if lead else one.part.order_by
    return OrderFigures(
        needed=here + timedelta(days=handling),
        handling_days=handling,
        lead_days=days,
        lead=lead,
        order_by=order_by,
        slack_days=(order_by - today).days,
    )


def _wanted(plan: LinePlan) -> dict[str, tuple[Wanted, ...]]:
    parts = [(build.number, part) for build in plan.builds for part in build.parts if part.origin == "to_order"]
    numbers = {number for number, _ in parts}
    rows = Build.objects.filter(number__in=numbers).select_related("customer")
    builds = {row.number: row for row in rows}
    holds = parts_holds(builds.values())
    found: dict[str, tuple[Wanted, ...]] = {}
    for number, part in parts:
        found[part.code] = (
            *found.get(part.code, ()),
            Wanted(build=builds[number], part=part, hold=holds.get(builds[number].pk)),
        )
    return found


def _drafted() -> Mapping[int, Decimal]:
    rows = PurchaseOrderLine.objects.filter(order__state=OrderState.DRAFT).order_by()
    return {
        row["component_id"]: row["drafted"] for row in rows.values("component_id").annotate(drafted=Sum("quantity"))
    }


def _row(
    component: Component,
    offer: Offer | None,
    wanted: tuple[Wanted, ...],
    stores: Stores,
    drafted: Decimal,
    today: date,
) -> ToOrderRow:
    needed = sum((each.part.quantity for each in wanted), NONE)
    row = stores.row(component)
    left_over = max(row.free + row.on_order - row.short, NONE)
    for_shelf = NONE if component.discontinued else max(component.keep_on_shelf - left_over, NONE)
    rest = max(needed + for_shelf - drafted, NONE)
    waits = sum((each.part.quantity for each in wanted if each.hold), NONE)
    open_rest = max(rest - waits, NONE)
    days = [each.order_by for each in wanted if each.order_by]
    order_by = min(days, default=None)
    return ToOrderRow(
        component=component,
        offer=offer,
        needed=needed,
        for_shelf=for_shelf,
        drafted=drafted,
        quantity=order_quantity(offer, rest) if offer and rest else rest,
        open_quantity=order_quantity(offer, open_rest) if offer and open_rest else open_rest,
        order_by=order_by,
        order_by_plan=min((each.part.order_by_plan for each in wanted if each.part.order_by_plan), default=None),
        days_left=(order_by - today).days if order_by else None,
        wanted=wanted,
        note=_note(component, offer, wanted),
    )


def _note(component: Component, offer: Offer | None, wanted: tuple[Wanted, ...]) -> str:
    if component.discontinued:
        return f"{component.name} is discontinued. Choose another part for the build, or find a last one."
    if offer is None:
        return f"Nobody is entered who sells {component.name}. Add a supplier's offer and mark it as preferred."
    return next((each.part.note for each in wanted if each.part.note), "")
