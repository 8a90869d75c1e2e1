"""Rows to the engine's request: everything a quote is worked out from, in a fixed number of queries."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal

from django.db.models import QuerySet

from quoting.request import (
    Allowance,
    Discount,
    ExtraLine,
    Option,
    PackPlan,
    PartLine,
    Policies,
    QuoteRequest,
    StepLine,
    TaxPlace,
    Wishes,
)
from shop.models import Component, Customer, OptionPart, OptionStep, Quote, QuoteOption, QuoteVersion, Shop
from shop.selectors.balances import stock_balances
from shop.selectors.certificates import certificate_for
from shop.selectors.country import engine_sheet
from shop.selectors.donors import engine_donor
from shop.selectors.prices import ComponentPrice, PriceList, catalogue_items
from shop.selectors.running import change_of, with_change
from shop.selectors.shop import shop_now, the_shop
from shop.selectors.shop_state import only_about, shop_state
from shop.selectors.tax import engine_tax_place

# Settings that carry the same name in the engine.
POLICY_NAMES = (
    "hours_percentile",
    "tax_rounding",
    "deposit_rate",
    "deposit_minimum",
    "deposit_fixed",
    "valid_days",
    "margin_floor",
    "discount_limit",
    "stale_after_days",
    "usable_share",
    "rider_kg",
    "passenger_kg",
    "luggage_kg",
    "warm_c",
    "cold_c",
    "auxiliary_w",
    "handling_days",
)
WISH_NAMES = (
    "town_km",
    "back_road_km",
    "highway_km",
    "held_kmh",
    "top_kmh",
    "hill_percent",
    "budget",
    "circuit_v",
    "circuit_a",
    "overnight_h",
    "two_up",
    "by_carrier",
)


def quote_request(
    version: QuoteVersion,
    *,
    now: datetime | None = None,
    with_catalogue: bool = True,
    shop: Shop | None = None,
    rows: list[QuoteOption] | None = None,
) -> QuoteRequest:
    """The request of a version as its rows stand at this moment.

    An offered version's own request is frozen in it: read that instead. `with_catalogue` feeds ways out, no figure.
    A part nobody has priced counts as zero here; see `unpriced_parts`. `shop` and `rows` (of `options_with_lines`) save
    their queries when they are at hand.
    """
    shop = shop or the_shop()
    now = (now or shop_now(shop)).replace(second=0, microsecond=0)
    day = now.astimezone(shop_now(shop).tzinfo).date()
    quote = Quote.objects.select_related("customer", "donor__family", "donor__registered_in").get(pk=version.quote_id)
    rows = list(options_with_lines(version)) if rows is None else rows
    prices = PriceList(shop, day) if with_catalogue else _prices(rows, shop, day)
    options = _options(rows, prices)
    codes = {part.code for option in options for part in option.parts}
    balances = stock_balances()
    state, changes = shop_state(now=now, shop=shop, balances=balances), ""
    if change := change_of(version):
        state, changes = with_change(change, state, options[0])
    place = engine_tax_place(version.tax_place_id, day) if version.tax_place_id else None
    return QuoteRequest(
        day=day,
        now=now,
        currency=shop.currency,
        options=options,
        shop=only_about(state, codes),
        donor=engine_donor(quote.donor) if quote.donor else None,
        wishes=Wishes(**{name: getattr(version, name) for name in WISH_NAMES}),
        tax_place=place,
        policies=engine_policies(shop, quote.customer, day, place),
        country=engine_sheet(shop, quote.donor),
        job=quote.job,
        units=shop.units,
        note=version.note,
        changes=changes,
        catalogue=catalogue_items(prices=prices, balances=balances) if with_catalogue else (),
    )


def options_with_lines(version: QuoteVersion) -> QuerySet[QuoteOption]:
    """A version's options with all that stands on them, read afresh."""
    return QuoteOption.objects.filter(version=version).prefetch_related(
        "parts__component", "steps__skill", "steps__bench_type", "extras", "decisions__person"
    )


def unpriced_parts(version: QuoteVersion) -> tuple[tuple[OptionPart, str], ...]:
    """Parts on a version that have no price, each with what to enter."""
    shop = the_shop()
    rows = list(options_with_lines(version))
    prices = _prices(rows, shop, shop_now(shop).date())
    parts = [part for row in rows for part in row.parts.all()]
    found = ((part, prices.price(part.component, part.unit_price, part.quantity)) for part in parts)
    return tuple((part, price.remedy) for part, price in found if price.unit_price is None)


def engine_policies(shop: Shop, customer: Customer | None, day: date, place: TaxPlace | None = None) -> Policies:
    """The shop's rules, and whether this customer may be taxed in a place on a day: by the certificate that counts."""
    own = {name: getattr(shop, name) for name in POLICY_NAMES}
    row = certificate_for(customer, place, day) if customer else None
    if row is None:
        return Policies(**own)
    held = row.certificate
    return Policies(
        customer_tax_exempt=True,
        exempt_certificate=held.number,
        exempt_kind=held.get_kind_display(),
        exempt_with=held.authority.name if held.authority else "",
        exempt_expired=row.has_expired,
        exempt_not_yet=row.is_not_yet,
        **own,
    )


def _prices(rows: list[QuoteOption], shop: Shop, day: date) -> PriceList:
    return PriceList(shop, day, {part.component for row in rows for part in row.parts.all()})


def _options(rows: list[QuoteOption], prices: PriceList) -> tuple[Option, ...]:
    return tuple(
        Option(
            key=row.key,
            label=row.label,
            parts=tuple(_part(part, prices) for part in row.parts.all()),
            steps=tuple(_step(step) for step in row.steps.all()),
            extras=tuple(
                ExtraLine(
                    kind=extra.kind,
                    label=extra.label,
                    amount=extra.amount,
                    cost=extra.cost,
                    tax_class=extra.tax_class,
                )
                for extra in row.extras.all()
            ),
            pack=_pack(row),
            discount=_discount(row),
            allowance=_allowance(row),
            contingency_rate=row.contingency_rate,
            contingency_in_labor=row.contingency_in_labor,
        )
        for row in rows
    )


def _part(row: OptionPart, prices: PriceList) -> PartLine:
    price = prices.price(row.component, row.unit_price, row.quantity)
    return component_line(row.component, price, prices, quantity=row.quantity, conductors=row.conductors)


def component_line(
    component: Component, price: ComponentPrice, prices: PriceList, *, quantity: Decimal, conductors: int = 1
) -> PartLine:
    """A component as the engine's line at a price; one nobody has priced counts as zero."""
    supplier = price.offer.supplier if price.offer else None
    return PartLine(
        code=component.code,
        kind=component.kind,
        name=component.name,
        quantity=quantity,
        unit_price=Decimal(0) if price.unit_price is None else price.unit_price,
        spec=component.spec,
        unit=component.unit,
        unit_cost=price.unit_cost,
        priced_on=price.priced_on,
        stale_after_days=prices.stale_after_days(price.offer),
        tax_class=component.tax_class,
        conductors=conductors,
        x_m=component.x_m,
        supplier=supplier.name if supplier else "",
        discontinued=component.discontinued,
        ships_dangerous=supplier.ships_dangerous if supplier else False,
    )


def _step(row: OptionStep) -> StepLine:
    step = StepLine(
        code=row.code,
        label=row.label,
        bench_type=row.bench_type.code if row.bench_type else "",
        low_h=row.low_h,
        likely_h=row.likely_h,
        high_h=row.high_h,
        hours=row.hours,
        lead_days=row.lead_days,
        needs=tuple(row.needs_kinds),
        learned_factor=row.learned_factor,
        learned_builds=row.learned_builds,
    )
    if row.skill is None:
        return step
    skill = row.skill
    rate = skill.rate if row.rate is None else row.rate
    return replace(step, skill=skill.code, rate=rate, cost_rate=skill.cost_rate, tax_class=skill.tax_class)


def _pack(row: QuoteOption) -> PackPlan | None:
    if row.series is None or row.parallel is None:
        return None
    return PackPlan(series=row.series, parallel=row.parallel, link_mohm=row.link_mohm, bays=tuple(row.bay_names))


def _discount(row: QuoteOption) -> Discount | None:
    if not (row.discount_rate or row.discount_amount):
        return None
    return Discount(reason=row.discount_reason, rate=row.discount_rate, amount=row.discount_amount)


def _allowance(row: QuoteOption) -> Allowance | None:
    return Allowance(label=row.allowance_label, amount=row.allowance_amount) if row.allowance_amount else None
