"""What a component is sold for and costs, on a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Max

from quoting.price import landed_cost, price_from_markup
from quoting.request import CatalogueItem
from shop.models import Component, ExchangeRate, Offer, Shop
from shop.selectors.balances import Balance, stock_balances
from shop.selectors.offers import offer_cost
from shop.selectors.shop import shop_today, the_shop

NO_STOCK = Balance()
ONE = Decimal(1)


@dataclass(frozen=True, kw_only=True)
class ComponentPrice:
    """Per unit, in the shop's currency. `unit_price` None: nobody has priced it; `remedy` then says what to enter.

    `origin` is by hand, list price, cost and markup, or empty. `unit_cost` is not rounded: a line rounds its cost once.
    """

    unit_price: Decimal | None
    unit_cost: Decimal | None
    origin: str
    offer: Offer | None = None
    remedy: str = ""

    @property
    def priced_on(self) -> date | None:
        return self.offer.priced_on if self.offer else None


class PriceList:
    """What prices are made of on one day: the shop's currency, its preferred offers, the exchange rates in force."""

    def __init__(self, shop: Shop, day: date, components: Iterable[Component] | None = None) -> None:
        """Three queries, whatever the number of components; None stands for the whole catalogue."""
        self.shop = shop
        offers = Offer.objects.filter(preferred=True).select_related("supplier").prefetch_related("breaks").order_by()
        if components is not None:
            offers = offers.filter(component__in=[component.pk for component in components])
        self.offers: Mapping[int, Offer] = {offer.component_id: offer for offer in offers}
        self.rates = exchange_rates(day)

    def price(self, component: Component, by_hand: Decimal | None = None, quantity: Decimal = ONE) -> ComponentPrice:
        """By hand, else the list price, else landed cost of so many and markup."""
        offer = self.offers.get(component.pk)
        unit_cost, remedy = self._cost(component, offer, quantity)
        if by_hand is not None:
            return ComponentPrice(unit_price=by_hand, unit_cost=unit_cost, origin="by hand", offer=offer)
        if component.list_price is not None:
            return ComponentPrice(
                unit_price=component.list_price, unit_cost=unit_cost, origin="list price", offer=offer
            )
        if unit_cost is None:
            return ComponentPrice(unit_price=None, unit_cost=None, origin="", offer=offer, remedy=remedy)
        unit_price = price_from_markup(unit_cost, component.markup_rate, self.shop.currency)
        return ComponentPrice(unit_price=unit_price, unit_cost=unit_cost, origin="cost and markup", offer=offer)

    def _cost(self, component: Component, offer: Offer | None, quantity: Decimal) -> tuple[Decimal | None, str]:
        if offer is None:
            return None, f"Enter a list price for {component.code}, or a supplier's offer marked as preferred."
        currency = offer.supplier.currency
        rate = Decimal(1) if currency == self.shop.currency else self.rates.get(currency)
        if rate is None:
            return None, f"Enter an exchange rate for {currency}: {component.code} is bought in it."
        asked = offer_cost(offer, quantity)
        on_freight = self.shop.duty_on_freight
        cost = landed_cost(
            asked, rate, freight=offer.freight_share, duty_rate=offer.duty_rate, duty_on_freight=on_freight
        )
        return cost, ""

    def stale_after_days(self, offer: Offer | None) -> int:
        """How old a price may be: the supplier's figure, else the shop's."""
        limit = offer.supplier.stale_after_days if offer else None
        return self.shop.stale_after_days if limit is None else limit


def exchange_rates(day: date) -> Mapping[str, Decimal]:
    """The rate of each currency in force on a day: its newest on or before it. One unit in the shop's currency."""
    until = ExchangeRate.objects.filter(day__lte=day)
    newest = until.order_by().values("currency").annotate(newest=Max("day"))
    days = {(row["currency"], row["newest"]) for row in newest}
    rows = until.filter(day__in={day for _, day in days}).order_by()
    return {row.currency: row.rate for row in rows if (row.currency, row.day) in days}


def component_price(component: Component, *, day: date | None = None) -> ComponentPrice:
    """The price of one component, today unless a day is given. For many, make one PriceList."""
    shop = the_shop()
    return PriceList(shop, day or shop_today(shop), [component]).price(component)


def catalogue_items(
    *,
    day: date | None = None,
    kind: str = "",
    prices: PriceList | None = None,
    balances: Mapping[int, Balance] | None = None,
) -> tuple[CatalogueItem, ...]:
    """The catalogue as the engine sees it, for ways out and pickers. Unpriced components can't be offered: left out.

    A list of prices of the whole catalogue, and the balances of all stock, save their queries when they are at hand;
    `day` is then that list's own.
    """
    if prices is None:
        shop = the_shop()
        prices = PriceList(shop, day or shop_today(shop))
    balances = stock_balances() if balances is None else balances
    components = Component.objects.filter(discontinued=False)
    found = []
    for component in components.filter(kind=kind) if kind else components:
        unit_price = prices.price(component).unit_price
        if unit_price is not None:
            found.append(
                CatalogueItem(
                    code=component.code,
                    kind=component.kind,
                    name=component.name,
                    spec=component.spec,
                    unit_price=unit_price,
                    free_quantity=balances.get(component.pk, NO_STOCK).free,
                    discontinued=component.discontinued,
                )
            )
    return tuple(found)
