"""Builds in line and orders on their way, made straight in the tables."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

from shop.models import (
    Build,
    BuildStep,
    Component,
    Customer,
    Donor,
    PartNeed,
    PurchaseOrder,
    PurchaseOrderLine,
    Quote,
    QuoteVersion,
    Supplier,
)
from tests.shop import made_parts, made_shop

ACCEPTED_AT = datetime(2026, 2, 2, 15, 0, tzinfo=UTC)


def make_accepted(number: str, customer: Customer, option: str = "A", **changed: Any) -> QuoteVersion:
    """An accepted version whose frozen request and result are empty: enough for a build to hang on."""
    quote = Quote.objects.create(number=number, customer=customer)
    values: dict[str, Any] = {
        "state": "accepted",
        "accepted_option": option,
        "offered_at": ACCEPTED_AT,
        "valid_until": date(2026, 3, 4),
        "request": {},
        "result": {},
        **changed,
    }
    return QuoteVersion.objects.create(quote=quote, **values)


def make_build(place: int = 1, *, donor: Donor | None = None, steps: bool = False, **changed: Any) -> Build:
    """An open build in line at a place; with `steps`, the invented routing still to do."""
    customer = changed.pop("customer", None) or made_shop.make_customer(f"Customer {place} Example")
    values: dict[str, Any] = {
        "number": f"B-{1000 + place}",
        "version": make_accepted(f"Q-{1000 + place}", customer),
        "option_key": "A",
        "job": "conversion",
        "title": "Anvil 500",
        "total": Decimal(15000),
        "accepted_at": ACCEPTED_AT,
        **changed,
    }
    build = Build.objects.create(place=place, customer=customer, donor=donor, **values)
    if steps:
        add_steps(build)
    return build


def add_steps(build: Build) -> list[BuildStep]:
    return [
        BuildStep.objects.create(
            build=build,
            position=position,
            code=code,
            label=label,
            skill=made_shop.make_skill(skill),
            bench_type=made_shop.make_bench_type(bench),
            low_h=Decimal(low),
            likely_h=Decimal(likely),
            high_h=Decimal(high),
            quoted_h=Decimal(likely),
        )
        for position, (code, label, skill, bench, low, likely, high, _) in enumerate(made_shop.STEPS, start=1)
    ]


def make_day_build(place: int = 1, **changed: Any) -> Build:
    """An open build of one step, "wiring", of exactly six hours: most of a day, at either pace."""
    build = make_build(place, **changed)
    BuildStep.objects.create(
        build=build,
        position=1,
        code="wiring",
        label="Wire and set up",
        skill=made_shop.make_skill("electric"),
        bench_type=made_shop.make_bench_type("pack"),
        low_h=Decimal(6),
        likely_h=Decimal(6),
        high_h=Decimal(6),
        quoted_h=Decimal(6),
    )
    return build


def make_need(build: Build, component: Component, quantity: int | str, step_code: str = "") -> PartNeed:
    return PartNeed.objects.create(build=build, component=component, quantity=Decimal(quantity), step_code=step_code)


def make_order(number: str = "P-1", *, supplier: Supplier | None = None, **changed: Any) -> PurchaseOrder:
    """An order that has been sent."""
    values = {"state": "sent", "ordered_on": date(2026, 2, 2), **changed}
    return PurchaseOrder.objects.create(number=number, supplier=supplier or made_parts.make_supplier(), **values)


def make_order_line(
    component: Component, quantity: int | str, *, order: PurchaseOrder | None = None, expected_on: date | None = None
) -> PurchaseOrderLine:
    return PurchaseOrderLine.objects.create(
        order=order or make_order(),
        component=component,
        quantity=Decimal(quantity),
        unit_cost=Decimal(10),
        expected_on=expected_on,
    )
