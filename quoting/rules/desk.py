"""The desk: prices that are old, dates nobody knows, margins, discounts, tax."""

from __future__ import annotations

from decimal import Decimal

from quoting.price import exempt_in_force
from quoting.request import PartLine
from quoting.result import PartPromise
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Said, Says, plainly
from quoting.rules.ways_out import act, quantity
from quoting.show import show_percent

SETTING = "shop setting"
NAMED = 5  # parts named in one finding before "and n more"; our own choice


def _names(lines: list[str]) -> str:
    more = f" and {len(lines) - NAMED} more" if len(lines) > NAMED else ""
    return ", ".join(lines[:NAMED]) + more


@rule(
    "tax-place-missing",
    "desk",
    title="No tax place, so no firm price",
    levels=("stop",),
    reads=("price.total",),
    source="the price must carry the tax of its place; shop setting",
)
def tax_place_missing(facts: Facts, total: Decimal) -> Says:
    """The price has its tax."""
    if facts.price is None or facts.price.tax_total is not None:
        return None
    lacks = "; ".join(facts.price.missing)
    text = f"Without tax the total of {facts.currency} {total:,} is not what the customer pays." + (
        f" Missing: {lacks}." if lacks else ""
    )
    return plainly("stop", text, act("Choose the tax place, or add the rate that is missing"))


@rule(
    "price-stale",
    "desk",
    title="Supplier prices are old",
    levels=("check",),
    reads=("policies.stale_after_days",),
    where=lambda facts, item: facts.day is not None,
    source=SETTING,
)
def price_stale(facts: Facts, setting_days: int) -> Says:
    """Every price was taken within its supplier's limit."""
    old = [line.name for line in facts.setup.option.parts if _age_days(facts, line) > _limit_days(line, setting_days)]
    undated = [line.name for line in facts.setup.option.parts if line.priced_on is None]
    if not old and not undated:
        return None
    texts = [
        f"Taken too long ago: {_names(old)}." if old else "",
        f"No day on the price: {_names(undated)}." if undated else "",
    ]
    return plainly("check", " ".join(text for text in texts if text), act("Ask the supplier, or enter today's price"))


def _age_days(facts: Facts, line: PartLine) -> int:
    return (facts.day - line.priced_on).days if facts.day and line.priced_on else 0


def _limit_days(line: PartLine, setting_days: int) -> int:
    return setting_days if line.stale_after_days is None else line.stale_after_days


@rule(
    "part-discontinued",
    "desk",
    title="Part is no longer made",
    levels=("check",),
    reads=("policies.stale_after_days",),
    source="the catalogue",
)
def part_discontinued(facts: Facts, _: int) -> Says:
    """No part on the quote is discontinued, unless the shelf has it."""
    on_shelf = {part.code for part in facts.promise.parts if part.origin == "stock"} if facts.promise else set()
    gone = [line.name for line in facts.setup.option.parts if line.discontinued and line.code not in on_shelf]
    if not gone:
        return None
    return plainly(
        "check", f"No longer made and not on the shelf: {_names(gone)}.", act("Choose another part of the kind")
    )


@rule(
    "lead-time-unknown",
    "desk",
    title="Nobody knows how long a part takes",
    levels=("check",),
    reads=("promise.parts",),
    source="a date rests on every part's lead time; shop setting",
)
def lead_time_unknown(facts: Facts, parts: tuple[PartPromise, ...]) -> Says:
    """Every part that has to be ordered has a lead time."""
    unknown = [part.name or part.code for part in parts if part.origin == "to_order" and part.lead_days is None]
    if not unknown:
        return None
    text = f"No lead time: {_names(unknown)}. The finish date does not wait for them."
    return plainly("check", text, act("Ask the supplier and enter the lead time"))


@rule(
    "no-finish-date",
    "desk",
    title="No finish date can be given",
    levels=("check",),
    reads=("promise.blocked",),
    source="the plan",
)
def no_finish_date(facts: Facts, blocked: str) -> Says:
    """The plan gives a finish window."""
    return (
        plainly("check", blocked, act("Clear what blocks it, or quote without a date and say so")) if blocked else None
    )


@rule(
    "margin-under-floor",
    "desk",
    title="Margin is below the floor",
    levels=("check",),
    reads=("price.margin_rate", "policies.margin_floor"),
    where=lambda facts, item: facts.price is not None and bool(facts.price.lines),
    source=SETTING,
)
def margin_under_floor(facts: Facts, margin_rate: Decimal, floor: Decimal) -> Says:
    """The margin is at or above the shop's floor."""
    if margin_rate >= floor:
        return None
    value, limit = float(margin_rate) * 100, float(floor) * 100
    text = f"The margin is {show_percent(float(margin_rate), 1)}; the floor is {show_percent(float(floor), 1)}."
    return Said(
        "check", text, value, limit, value - limit, "%", (act("Take back the discount, or raise hours or markup"),)
    )


@rule(
    "discount-over-limit",
    "desk",
    title="Discount is above the limit",
    levels=("check",),
    reads=("price.discount", "price.net", "policies.discount_limit"),
    where=lambda facts, item: facts.setup.option.discount is not None,
    source=SETTING,
)
def discount_over_limit(facts: Facts, discount: Decimal, net: Decimal, limit: Decimal) -> Says:
    """The discount stays within what may be given without asking."""
    before = net + abs(discount)
    share = abs(discount) / before if before else Decimal(0)
    if share <= limit:
        return None
    text = f"{show_percent(float(share), 1)} is taken off; up to {show_percent(float(limit), 1)} may be given."
    value, most = float(share) * 100, float(limit) * 100
    return Said("check", text, value, most, most - value, "%", (act("Have the owner agree and say why"),))


@rule(
    "exempt-certificate",
    "desk",
    title="Tax exemption does not hold",
    levels=("check",),
    reads=("policies.exempt_certificate",),
    source="an expired or missing certificate means the sale is taxed; the authority decides",
)
def exempt_certificate(facts: Facts, certificate: str) -> Says:
    """A customer who is exempt from tax has a certificate that has not expired and holds in the tax place."""
    policies = facts.setup.policies
    if policies.exempt_expired:
        return plainly("check", "The certificate has expired, so the sale is taxed.", act("Ask for a new certificate"))
    if policies.exempt_not_yet:
        return plainly(
            "check",
            "The certificate holds from a later day on, so the sale is taxed.",
            act("Ask for one that holds now"),
        )
    place = facts.tax_place
    if policies.customer_tax_exempt and certificate and place is not None and not exempt_in_force(policies, place):
        text = f"The certificate is {policies.exempt_with}'s, which does not tax in {place.name}, so the sale is taxed."
        return plainly("check", text, act("Ask for a certificate of that place"))
    if policies.customer_tax_exempt and not certificate:
        return plainly("check", "The customer is marked exempt without a certificate number.", act("Enter the number"))
    return None


@rule(
    "cells-short-of-plan",
    "desk",
    title="Fewer cells on the quote than the pack has",
    levels=("stop",),
    reads=("pack.cells",),
    when=("cell",),
    source="count in series × count in parallel",
)
def cells_short_of_plan(facts: Facts, cells: int) -> Says:
    """The quantity of cells or modules covers the pack."""
    lines = [item.line for kind in ("cell", "module") for item in facts.fitted.get(kind, ())]
    has = float(sum(line.quantity for line in lines))
    if not lines or has >= cells:
        return None
    item = lines[0]
    text = f"The pack takes {cells}, the quote has {has:g} of {item.name}: the price is too low."
    return Said("stop", text, has, cells, has - cells, "pieces", (quantity(item.code, cells),))
