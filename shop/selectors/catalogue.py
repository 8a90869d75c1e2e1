"""The catalogue: components with their price and how complete they are, and one component with all that hangs on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Q, QuerySet

from quoting.guide import kinds_guide
from quoting.parts import KINDS, SpecField
from quoting.result import Working
from shop import written
from shop.models import CLOSED_STATES, Component, Event, Offer, OptionPart, PartNeed, Shop, VersionState
from shop.selectors.balances import Balance, stock_balances
from shop.selectors.paging import Paged, page_bounds
from shop.selectors.prices import ComponentPrice, PriceList
from shop.selectors.shop import shop_today, the_shop

EVENTS_SHOWN = 20  # the newest (our own choice)
USES_SHOWN = 20
SMALL_COST = Decimal(10)
NO_STOCK = Balance()
# What the help of a motor's field begins with when it is for the other mount: such a field is not missing.
OTHER_MOUNT = {"hub": "Mid motors", "mid": "Hub motors"}
SHOWN = ("", "unpriced", "stale", "discontinued")


@dataclass(frozen=True, kw_only=True)
class CatalogueFilter:
    """Words in code, name or supplier; a kind; `show` one of SHOWN; a page."""

    text: str = ""
    kind: str = ""
    show: str = ""
    page: int = 1


@dataclass(frozen=True, kw_only=True)
class ComponentRow:
    """One component in the list. `stale_days` how old its price is past the limit, 0 when it is not."""

    component: Component
    price: ComponentPrice
    free: Decimal
    stale_days: int

    @property
    def lead_days(self) -> int | None:
        return self.price.offer.lead_days if self.price.offer else None

    @property
    def cost(self) -> Decimal | None:
        return shown_cost(self.price)


@dataclass(frozen=True, kw_only=True)
class SpecRow:
    """One field of the spec as written. `known` False: nobody has entered it. `needed`: some rule cannot do without."""

    field: SpecField
    text: str
    known: bool
    needed: bool

    @property
    def table(self) -> tuple[tuple[str, ...], ...]:
        """A grid's rows of cells, the torques first; empty for any other field."""
        is_grid = self.known and self.field.category == "grid"
        return tuple(tuple(line.split()) for line in self.text.splitlines()) if is_grid else ()


@dataclass(frozen=True, kw_only=True)
class Uses:
    """Where a component stands: open builds that need it, and quotes not yet answered that carry it."""

    needs: tuple[PartNeed, ...]
    quotes: tuple[OptionPart, ...]


@dataclass(frozen=True, kw_only=True)
class ComponentPage:
    """One component with its spec, its price with the working, its offers, its stock, its uses and its log."""

    component: Component
    spec: tuple[SpecRow, ...]
    price: ComponentPrice
    working: Working | None
    stale_days: int
    offers: tuple[Offer, ...]
    balance: Balance
    uses: Uses
    events: tuple[Event, ...]

    @property
    def cost(self) -> Decimal | None:
        return shown_cost(self.price)

    @property
    def margin(self) -> Decimal | None:
        """Share of the price that is not cost."""
        if not self.price.unit_price or self.price.unit_cost is None:
            return None
        return round(1 - self.price.unit_cost / self.price.unit_price, 3)

    @property
    def needed(self) -> tuple[str, ...]:
        """Fields nobody has entered and some rule or figure looks at, in lower case."""
        return tuple(row.field.label.lower() for row in self.spec if row.needed and not row.known)


def shown_cost(price: ComponentPrice) -> Decimal | None:
    """Landed cost as it is shown: to the cent, small parts and cells to the hundredth of a cent."""
    cost = price.unit_cost
    return None if cost is None else round(cost, written.MOST_PLACES if cost < SMALL_COST else 2)


def component_rows(filters: CatalogueFilter) -> Paged[ComponentRow]:
    """The list by kind in the order a bike is built up, then by name. A fixed number of queries."""
    shop = the_shop()
    today = shop_today(shop)
    prices = PriceList(shop, today)
    balances = stock_balances()
    order = {kind: place for place, kind in enumerate(KINDS)}
    rows = [
        _row(component, prices, balances, today)
        for component in sorted(_found(filters), key=lambda row: (order[row.kind], row.name, row.pk))
    ]
    rows = [row for row in rows if _shown(row, filters.show)]
    page, pages, shown = page_bounds(len(rows), filters.page)
    return Paged(rows=tuple(rows[shown]), count=len(rows), page=page, pages=pages)


def _found(filters: CatalogueFilter) -> QuerySet[Component]:
    rows = Component.objects.all()
    if filters.kind:
        rows = rows.filter(kind=filters.kind)
    for word in filters.text.split():
        suppliers = Offer.objects.filter(supplier__name__icontains=word).values("component_id")
        rows = rows.filter(Q(code__icontains=word) | Q(name__icontains=word) | Q(pk__in=suppliers))
    return rows


def _row(component: Component, prices: PriceList, balances: Mapping[int, Balance], today: date) -> ComponentRow:
    price = prices.price(component)
    return ComponentRow(
        component=component,
        price=price,
        free=balances.get(component.pk, NO_STOCK).free,
        stale_days=_stale_days(price, prices, today),
    )


def _shown(row: ComponentRow, show: str) -> bool:
    if show == "discontinued":
        return row.component.discontinued
    if show == "unpriced":
        return row.price.unit_price is None
    return bool(row.stale_days) if show == "stale" else True


def _stale_days(price: ComponentPrice, prices: PriceList, today: date) -> int:
    if price.priced_on is None:
        return 0
    return max((today - price.priced_on).days - prices.stale_after_days(price.offer), 0)


def component_page(public_id: str) -> ComponentPage:
    """By its public id. Raises Component.DoesNotExist."""
    component = Component.objects.get(public_id=public_id)
    shop = the_shop()
    today = shop_today(shop)
    prices = PriceList(shop, today, [component])
    price = prices.price(component)
    events = Event.objects.filter(subject=f"component {component.code}").select_related("person")
    return ComponentPage(
        component=component,
        spec=tuple(_spec_rows(component, shop)),
        price=price,
        working=price_working(component, price, prices, shop),
        stale_days=_stale_days(price, prices, today),
        offers=tuple(component.offers.select_related("supplier").order_by("-preferred", "unit_cost", "pk")),
        balance=stock_balances().get(component.pk, NO_STOCK),
        uses=_uses(component),
        events=tuple(events[:EVENTS_SHOWN]),
    )


def _spec_rows(component: Component, shop: Shop) -> Iterable[SpecRow]:
    guide = next(each for each in kinds_guide() if each.kind.code == component.kind)
    for each in guide.fields:
        value = component.spec.get(each.field.name)
        if value is None and each.field.help.startswith(OTHER_MOUNT.get(str(component.spec.get("mount")), "-")):
            continue
        yield SpecRow(
            field=each.field,
            text=spec_text(each.field, value, shop.locale),
            known=value is not None,
            needed=bool(each.needed_by),
        )


def spec_text(field: SpecField, value: object, locale: str) -> str:
    """A spec value as people write it, with its unit: "72 V", "yes", "hall, pot"; "not known" for none."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{written.quantity(value, locale, 4)} {field.unit.replace('mm2', 'mm²').replace('degC', '°C')}".strip()
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


def _uses(component: Component) -> Uses:
    needs = PartNeed.objects.filter(component=component).exclude(build__state__in=CLOSED_STATES)
    quoted = OptionPart.objects.filter(
        component=component, option__version__state__in=[VersionState.DRAFT, VersionState.OFFERED]
    )
    return Uses(
        needs=tuple(needs.select_related("build__customer").order_by("build__place")[:USES_SHOWN]),
        quotes=tuple(
            quoted.select_related("option__version__quote__customer").order_by("-option__version__saved_at")[
                :USES_SHOWN
            ]
        ),
    )


def price_working(component: Component, price: ComponentPrice, prices: PriceList, shop: Shop) -> Working | None:
    """How the price comes about; None when there is none, or nobody had to work it out."""
    offer = price.offer
    if price.unit_cost is None or offer is None:
        return None
    inputs = _cost_inputs(offer, prices, shop)
    formula = "landed = unit cost × exchange rate + freight + duty on the goods"
    landed = written.money(shown_cost(price), shop.currency, shop.locale)
    if price.origin != "cost and markup":
        return Working(
            figure="unit_cost",
            label="Landed cost",
            formula=formula,
            inputs=inputs,
            result=landed,
            source="the supplier's offer; the price itself is the list price",
        )
    return Working(
        figure="unit_price",
        label="Price",
        formula=f"{formula}; price = landed × (1 + markup)",
        inputs=(*inputs, ("landed", landed), ("markup", written.percent(component.markup_rate, shop.locale))),
        result=written.money(price.unit_price, shop.currency, shop.locale),
        source=f"the offer of {offer.supplier.name}; markup: the component's own",
    )


def _cost_inputs(offer: Offer, prices: PriceList, shop: Shop) -> tuple[tuple[str, str], ...]:
    currency = offer.supplier.currency
    rate = Decimal(1) if currency == shop.currency else prices.rates[currency]
    return (
        ("unit cost", written.money(offer.unit_cost, currency, shop.locale)),
        ("exchange rate", "1" if currency == shop.currency else f"{rate.normalize():f} {shop.currency} per {currency}"),
        ("freight", written.money(offer.freight_share, shop.currency, shop.locale)),
        ("duty", written.percent(offer.duty_rate, shop.locale)),
    )
