"""Random quotes for properties: any currency and locale, one to three options, tax added, included or exempt."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from random import Random

from quoting import QuoteRequest, QuoteResult
from quoting.example import example_request
from quoting.price import price_sheet
from quoting.request import (
    TAX_CLASSES,
    Allowance,
    Authority,
    DatedRate,
    Discount,
    ExtraLine,
    Option,
    PartLine,
    Policies,
    StepLine,
    TaxPlace,
)
from quoting.result import OptionResult

# Locale and currency; the currency's decimals as ISO 4217 has them.
PLACES = (
    ("en-US", "USD", 2), ("fr-FR", "EUR", 2), ("de-CH", "CHF", 2), ("en-GB", "GBP", 2), ("ja-JP", "JPY", 0),
    ("en-KW", "KWD", 3), ("ar-KW", "KWD", 3), ("en-IN", "INR", 2), ("sv-SE", "SEK", 2), ("pl-PL", "PLN", 2),
    ("is-IS", "ISK", 0), ("pt-BR", "BRL", 2),
)  # fmt: skip
DAY = date(2026, 3, 2)


def random_quote(seed: int, *, with_costs: bool = True) -> tuple[QuoteRequest, QuoteResult, str, int]:
    """Request, result (prices alone), locale and the currency's decimals. The same for a seed but for the costs."""
    chance = Random(seed)  # noqa: S311 - test data
    locale, currency, digits = chance.choice(PLACES)
    request = replace(
        example_request(),
        currency=currency,
        options=tuple(_option(chance, key, digits, with_costs) for key in "ABC"[: chance.randint(1, 3)]),
        tax_place=_place(chance),
        policies=_policies(chance),
        units=chance.choice(("us", "metric")),
    )
    results = tuple(
        OptionResult(
            key=option.key, label=option.label, price=price_sheet(request, option), findings=(), rules_checked=0
        )
        for option in request.options
    )
    result = QuoteResult(
        day=request.day, currency=currency, units=request.units, options=results, computed_from=f"{seed:064x}"
    )
    return request, result, locale, digits


def _amount(chance: Random, most: int, places: int) -> Decimal:
    return Decimal(chance.randint(1, most * 10**places)).scaleb(-places)


def _option(chance: Random, key: str, digits: int, with_costs: bool) -> Option:
    parts = tuple(_part(chance, number, with_costs) for number in range(chance.randint(1, 12)))
    steps = tuple(_step(chance, number, with_costs) for number in range(chance.randint(0, 6)))
    extras = tuple(_extra(chance, number, digits, with_costs) for number in range(chance.randint(0, 3)))
    rate = chance.choice((Decimal(0), Decimal("0.05"), Decimal("0.333333")))
    allowance = Allowance(label="Engine taken in", amount=_amount(chance, 900, digits))
    return Option(
        key=key,
        label=chance.choice(("", "Back road")),
        parts=parts,
        steps=steps,
        extras=extras,
        discount=Discount(reason="Returning customer", rate=rate) if rate else None,
        allowance=chance.choice((None, allowance)),
        contingency_rate=chance.choice((Decimal(0), Decimal("0.03"), Decimal("0.075"))),
    )


def _part(chance: Random, number: int, with_costs: bool) -> PartLine:
    price, cost = _amount(chance, 3000, 4), _amount(chance, 2000, 4)
    return PartLine(
        code=f"P-{number}",
        kind="hardware",
        name=f"part {number}",
        quantity=chance.choice((Decimal(1), Decimal(2), Decimal(480), Decimal("2.5"))),
        unit=chance.choice(("piece", "m")),
        unit_price=price,
        unit_cost=cost if with_costs else None,
        tax_class=chance.choice(TAX_CLASSES),
    )


def _step(chance: Random, number: int, with_costs: bool) -> StepLine:
    cost = _amount(chance, 60, 2)
    return StepLine(
        code=f"s-{number}",
        label=f"Step {number}",
        hours=Decimal(chance.randint(0, 160)) / 4,
        rate=_amount(chance, 150, 2),
        cost_rate=cost if with_costs else None,
        tax_class=chance.choice(("fabrication_labor", "repair_labor")),
    )


def _extra(chance: Random, number: int, digits: int, with_costs: bool) -> ExtraLine:
    amount, cost = _amount(chance, 700, digits), _amount(chance, 600, digits)
    return ExtraLine(
        kind="outside",
        label=f"Powder coat {number}",
        amount=amount,
        cost=cost if with_costs else None,
        tax_class=chance.choice(TAX_CLASSES),
    )


def _place(chance: Random) -> TaxPlace:
    mode = chance.choice(("added", "added", "included"))
    authorities = tuple(_authority(chance, number, mode) for number in range(chance.randint(1, 4)))
    return TaxPlace(code="x", name="Port Example", mode=mode, authorities=authorities)


def _authority(chance: Random, number: int, mode: str) -> Authority:
    rates = []
    for tax_class in TAX_CLASSES:
        taxed = chance.random() < 0.8
        cap = _amount(chance, 5000, 0) if mode == "added" and taxed and chance.random() < 0.2 else None
        rate = Decimal(chance.randint(1, 120000)).scaleb(-6) if taxed else Decimal(0)
        rates.append(DatedRate(tax_class=tax_class, rate=rate, begin=date(2026, 1, 1), taxed=taxed, cap=cap))
    return Authority(name=f"Authority {number}", level="county", rates=tuple(rates))


def _policies(chance: Random) -> Policies:
    exempt = chance.random() < 0.15
    return Policies(
        tax_rounding=chance.choice(("invoice", "rate", "line")),
        deposit_rate=Decimal("0.30"),
        customer_tax_exempt=exempt,
        exempt_certificate="EX-1" if exempt else "",
    )
