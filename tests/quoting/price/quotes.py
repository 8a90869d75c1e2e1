"""Invented quotes for the price tests, as short to write as the arithmetic beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal

from quoting.price import price_sheet
from quoting.request import (
    TAX_CLASSES,
    Authority,
    DatedRate,
    ExtraLine,
    Option,
    PartLine,
    Policies,
    QuoteRequest,
    ShopState,
    StepLine,
    TaxPlace,
)
from quoting.result import PriceSheet

DAY = date(2026, 3, 2)
LONG_AGO = date(2020, 1, 1)
Line = PartLine | StepLine | ExtraLine


def part(price: str, quantity: str = "1", code: str = "P1", **fields: object) -> PartLine:
    line = PartLine(code=code, kind="other", name=f"Part {code}", quantity=Decimal(quantity), unit_price=Decimal(price))
    return replace(line, **fields)  # type: ignore[arg-type]


def step(hours: str | None, rate: str, code: str = "S1", **fields: object) -> StepLine:
    by_hand = None if hours is None else Decimal(hours)
    line = StepLine(code=code, label=f"Step {code}", hours=by_hand, rate=Decimal(rate))
    return replace(line, **fields)  # type: ignore[arg-type]


def extra(amount: str, kind: str = "freight", tax_class: str = "freight", cost: str | None = None) -> ExtraLine:
    known = None if cost is None else Decimal(cost)
    return ExtraLine(kind=kind, label=kind.title(), amount=Decimal(amount), tax_class=tax_class, cost=known)


def rate(tax_class: str, value: str, **fields: object) -> DatedRate:
    return replace(DatedRate(tax_class=tax_class, rate=Decimal(value), begin=LONG_AGO), **fields)  # type: ignore[arg-type]


def not_taxed(tax_class: str) -> DatedRate:
    return DatedRate(tax_class=tax_class, rate=Decimal(0), begin=LONG_AGO, taxed=False)


def authority(name: str, value: str, level: str = "state", **own: str | None) -> Authority:
    """Every class at `value`; `own` names classes with another rate, None for not taxed."""
    rates = []
    for tax_class in TAX_CLASSES:
        text = own.get(tax_class, value)
        rates.append(not_taxed(tax_class) if text is None else rate(tax_class, text))
    return Authority(name=name, level=level, rates=tuple(rates))


def place(*authorities: Authority, mode: str = "added") -> TaxPlace:
    return TaxPlace(code="PW", name="Port Wren", mode=mode, authorities=authorities)


def option(lines: Sequence[Line] = (), **fields: object) -> Option:
    made = Option(
        key="a",
        label="Option A",
        parts=tuple(line for line in lines if isinstance(line, PartLine)),
        steps=tuple(line for line in lines if isinstance(line, StepLine)),
        extras=tuple(line for line in lines if isinstance(line, ExtraLine)),
    )
    return replace(made, **fields)  # type: ignore[arg-type]


def quote(
    made: Option,
    taxed_in: TaxPlace | None = None,
    policies: Policies | None = None,
    currency: str = "USD",
    day: date = DAY,
) -> QuoteRequest:
    return QuoteRequest(
        day=day,
        now=datetime(day.year, day.month, day.day, 15, tzinfo=UTC),
        currency=currency,
        options=(made,),
        shop=ShopState(zone="America/New_York"),
        tax_place=taxed_in,
        policies=policies or Policies(),
    )


def sheet(
    made: Option,
    taxed_in: TaxPlace | None = None,
    policies: Policies | None = None,
    currency: str = "USD",
    day: date = DAY,
) -> PriceSheet:
    return price_sheet(quote(made, taxed_in, policies, currency, day), made)


def amounts(priced: PriceSheet) -> dict[str, Decimal]:
    """Each authority's tax."""
    return {share.authority: share.amount for share in priced.taxes}
