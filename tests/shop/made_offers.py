"""Offered quotes, and deposits taken for them, by the services: what builds come from in a shop."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User

from quoting import from_json
from quoting.result import PriceSheet, QuoteResult
from shop.models import Component, OptionPart, Quote, QuoteOption, QuoteVersion, Shop
from shop.services.cash import DepositTaken, deposit_take
from shop.services.quotes import version_offer
from tests.shop import made_parts, made_quotes, made_shop
from tests.shop.replayed import replayed, replayed_while_clock_stands

DAY = date(2026, 3, 2)  # a Monday
MORNING = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)  # 9:00 in New York


def make_offered(shop: Shop, person: User | None = None) -> QuoteVersion:
    """The sound build, offered on the morning of the 2nd of March 2026."""
    draft = made_quotes.make_sound_draft(shop, DAY)
    key = ("offered", draft.pk, person and person.pk)
    return replayed(key, lambda: version_offer(version=draft, person=person, now=MORNING))


def make_kit(number: str, parts: dict[Component, int | str], person: User | None = None) -> QuoteVersion:
    """An offered parts kit for a customer of its own: no bike, no bench."""
    key = ("kit", number, tuple((part.pk, quantity) for part, quantity in parts.items()), person and person.pk)
    return replayed_while_clock_stands(key, lambda: _kit(number, parts, person))


def _kit(number: str, parts: dict[Component, int | str], person: User | None) -> QuoteVersion:
    customer = made_shop.make_customer(f"Customer of {number}")
    quote = Quote.objects.create(number=number, customer=customer, job="parts_kit")
    place = made_shop.make_shop().home_tax_place
    version = QuoteVersion.objects.create(quote=quote, tax_place=place)
    option = QuoteOption.objects.create(version=version, key="A")
    for component, quantity in parts.items():
        OptionPart.objects.create(option=option, component=component, quantity=Decimal(quantity))
    return version_offer(version=version, person=person, now=MORNING)


def make_part(code: str, *, offered: bool = True) -> Component:
    """A component of the sound build, with an offer unless nobody sells it."""
    component = made_parts.make_component(code)
    if offered:
        made_parts.make_offer(component, priced_on=DAY)
    return component


def price_of(version: QuoteVersion) -> PriceSheet:
    return from_json(QuoteResult, version.result).options[0].price


def take(version: QuoteVersion, person: User, key: str = "till-1", **changed: Any) -> DepositTaken:
    """The deposit the policy asks, in cash."""
    values: dict[str, Any] = {"option_key": "A", "amount": price_of(version).deposit, "method": "cash", **changed}
    return deposit_take(version=version, person=person, key=key, **values)


def take_again(version: QuoteVersion, person: User, key: str = "till-1", **changed: Any) -> DepositTaken:
    """The same for tests that only begin with it: put back where it was taken before."""
    what = ("taken", version.pk, person.pk, key, repr(changed))
    return replayed_while_clock_stands(what, lambda: take(version, person, key, **changed))
