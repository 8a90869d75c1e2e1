"""A frozen request as of another day: that day's tax rates, and whether the customer is exempt on it."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date

from quoting import QuoteRequest
from quoting.request import Option
from shop.models import Customer
from shop.selectors.requests import engine_policies
from shop.selectors.shop import the_shop
from shop.selectors.tax import engine_tax_place

EXEMPT = ("customer_tax_exempt", "exempt_")  # how the engine's policies about an exempt customer begin


def priced_on(
    request: QuoteRequest, option: Option, *, place: int | None, customer: Customer | None, day: date
) -> QuoteRequest:
    """The request with one option, taxed in a place (by its id) by what holds on `day`; prices stay as they were."""
    taxed = engine_tax_place(place, day) if place else None
    now = engine_policies(the_shop(), customer, day, taxed)
    exempt = {each.name: getattr(now, each.name) for each in fields(now) if each.name.startswith(EXEMPT)}
    policies = replace(request.policies, **exempt)
    return replace(request, day=day, options=(option,), tax_place=taxed, policies=policies)
