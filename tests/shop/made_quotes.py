"""Draft quotes on invented rows, made straight in the tables so that selectors can be tested without services."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from shop.models import (
    Customer,
    Donor,
    OptionPart,
    OptionStep,
    Quote,
    QuoteOption,
    QuoteVersion,
    RoutingStep,
    Shop,
)
from tests.shop import made_parts, made_shop
from tests.shop.replayed import replayed


def make_draft(
    number: str = "Q-1", *, customer: Customer | None = None, donor: Donor | None = None, **changed: Any
) -> QuoteVersion:
    """A quote with an empty draft version 1."""
    quote = Quote.objects.create(number=number, customer=customer, donor=donor)
    return QuoteVersion.objects.create(quote=quote, **changed)


def make_sound_draft(shop: Shop, priced_on: date, number: str = "Q-1") -> QuoteVersion:
    """A draft that can be offered: customer, donor, tax place, and option A with the sound build and its steps."""
    key = ("sound draft", priced_on, number, shop.home_tax_place_id, shop.contingency_rate)
    return replayed(key, lambda: _sound_draft(shop, priced_on, number))


def _sound_draft(shop: Shop, priced_on: date, number: str) -> QuoteVersion:
    components = made_parts.make_sound_components(priced_on)
    version = make_draft(
        number, customer=made_shop.make_customer(), donor=made_parts.make_donor(), tax_place=shop.home_tax_place
    )
    option = QuoteOption.objects.create(
        version=version,
        key="A",
        label="Back road",
        series=made_parts.SERIES,
        parallel=made_parts.PARALLEL,
        link_mohm=2,
        bay_names=["main"],
        contingency_rate=shop.contingency_rate,
    )
    for code, component in components.items():
        quantity = made_parts.SOUND[code][3]
        OptionPart.objects.create(option=option, component=component, quantity=Decimal(quantity))
    add_routing(option)
    return version


def add_routing(option: QuoteOption) -> None:
    """The general steps of the quote's job, copied onto an option."""
    for step in RoutingStep.objects.filter(job=option.version.quote.job, family=None):
        names = ("position", "code", "label", "skill", "bench_type", "low_h", "likely_h", "high_h", "needs_kinds")
        OptionStep.objects.create(option=option, **{name: getattr(step, name) for name in names})
