"""What a cancelled build's customer gets back, what the shop keeps, and why: by the terms printed on the quote."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from quoting.price import percent, round_money, tax_of
from shop.models import Build, KeptBasis, RefundStage
from shop.selectors.agreement import Agreed, agreed_of
from shop.selectors.build_money import build_money
from shop.selectors.document_facts import Letterhead, quote_facts
from shop.selectors.ledger_sums import uncleared
from shop.selectors.plan import line_plan
from shop.selectors.stock import need_rows
from shop.selectors.tax_ahead import ahead_settled, standing_ahead

NONE = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class SpentPart:
    """Units of a part that were ordered, kept or issued for a build, at the agreed price; `cost` None: not known."""

    label: str
    quantity: Decimal
    amount: Decimal
    cost: Decimal | None


@dataclass(frozen=True, kw_only=True)
class SpentStep:
    """Hours worked on a step, at the agreed rate."""

    label: str
    hours: Decimal
    amount: Decimal


@dataclass(frozen=True, kw_only=True)
class Spent:
    """What was done for a build so far, before tax."""

    currency: str
    parts: tuple[SpentPart, ...]
    steps: tuple[SpentStep, ...]

    @property
    def parts_amount(self) -> Decimal:
        return sum((part.amount for part in self.parts), NONE)

    @property
    def hours_amount(self) -> Decimal:
        return sum((step.amount for step in self.steps), NONE)

    @property
    def amount(self) -> Decimal:
        return self.parts_amount + self.hours_amount

    @property
    def parts_cost(self) -> Decimal | None:
        """What its parts cost the shop; None when one is not known."""
        costs = [part.cost for part in self.parts]
        return None if None in costs else sum((cost for cost in costs if cost is not None), NONE)


@dataclass(frozen=True, kw_only=True)
class Settlement:
    """What cancelling now would do with the money. `kept` by the terms, `why` in words; `uncleared` not yet real.

    `tax_back` was charged on what goes back and is taken back; `tax_kept` on what is kept and stays with the authority.
    """

    build: Build
    currency: str
    held: Decimal
    kept: Decimal
    why: tuple[str, ...]
    uncleared: Decimal
    spent: Spent
    tax_back: Decimal = NONE
    tax_kept: Decimal = NONE

    @property
    def refunded(self) -> Decimal:
        return self.held - self.kept


def settlement_of(build: Build) -> Settlement:
    """By the terms kept with the version that was accepted."""
    agreed = agreed_of(build)
    spent = spent_on(build, agreed)
    held = round_money(build_money([build])[build.pk].held, agreed.price.currency)
    terms = quote_facts(agreed.version).letterhead
    kept, why = _kept(held, terms, spent)
    tax = ahead_settled(standing_ahead(build), held, held - kept, kept, agreed.price.currency)
    return Settlement(
        build=build,
        currency=agreed.price.currency,
        held=held,
        kept=kept,
        why=why,
        uncleared=round_money(min(uncleared(build), held), agreed.price.currency),
        spent=spent,
        tax_back=tax_of(tax.back),
        tax_kept=tax_of(tax.kept),
    )


def spent_on(build: Build, agreed: Agreed) -> Spent:
    """Parts ordered, kept or issued for a build, and the hours worked on it."""
    currency = agreed.price.currency
    lines = {part.code: part for part in agreed.option.parts}
    own = line_plan().build(build.number) if build.is_open else None
    ordered: dict[str, Decimal] = {}
    for part in own.parts if own else ():
        if part.origin == "order":
            ordered[part.code] = ordered.get(part.code, NONE) + part.quantity
    parts = []
    for row in need_rows(build.needs.select_related("component", "instead_of").order_by("pk")):
        need = row.need
        units = row.reserved + row.issued + ordered.get(need.component.code, NONE)
        line = lines.get((need.instead_of or need.component).code)
        if units and line is not None:
            cost = None if line.unit_cost is None else round_money(units * line.unit_cost, currency)
            amount = round_money(units * line.unit_price, currency)
            parts.append(SpentPart(label=line.name, quantity=units, amount=amount, cost=cost))
    rates = {step.code: step.rate for step in agreed.option.steps}
    steps = [
        SpentStep(
            label=step.label,
            hours=step.actual_h,
            amount=round_money(step.actual_h * rates.get(step.code, NONE), currency),
        )
        for step in build.steps.order_by("position")
        if step.actual_h
    ]
    return Spent(currency=currency, parts=tuple(parts), steps=tuple(steps))


def _kept(held: Decimal, terms: Letterhead, spent: Spent) -> tuple[Decimal, tuple[str, ...]]:
    stage = RefundStage(terms.keep_from)
    if stage == RefundStage.NEVER:
        return NONE, ("The terms give the whole deposit back.",)
    begun = bool(spent.steps)
    if not (begun or (stage == RefundStage.PARTS and spent.parts)):
        waits = (
            "No part is ordered or kept for it and no work has begun"
            if stage == RefundStage.PARTS
            else ("No work has begun")
        )
        return NONE, (f"{waits}: the terms give the whole deposit back.",)
    if terms.kept_basis == KeptBasis.SHARE:
        kept = min(round_money(held * terms.kept_rate, spent.currency), held)
        return kept, (f"{percent(terms.kept_rate)} of {held:,} is kept by the terms.",)
    sums = (
        ("Parts ordered, kept or fitted", spent.parts_amount),
        ("Hours worked at the agreed rates", spent.hours_amount),
    )
    why = [f"{words}: {amount:,}." for words, amount in sums if amount]
    if spent.amount > held:
        why.append(f"Together {spent.amount:,}, more than the {held:,} that is held: no more than that is kept.")
    return min(spent.amount, held), tuple(why)
