"""One option of a quote: parts, steps, extras, and what is taken off the price."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class PartLine:
    """A component on the quote.

    `spec` is the component's spec as JSON (see `quoting.parts`); `unit_price` and `unit_cost` in the quote's
    currency, cost None when not known; `priced_on` the day the price was taken; `stale_after_days` its supplier's
    limit; `conductors` how many run side by side in each leg (cables); `x_m` position behind the front axle [m].
    """

    code: str
    kind: str
    name: str
    quantity: Decimal
    unit_price: Decimal
    spec: Mapping[str, object] = field(default_factory=dict)
    unit: str = "piece"
    unit_cost: Decimal | None = None
    priced_on: date | None = None
    stale_after_days: int | None = None
    tax_class: str = "parts"
    conductors: int = 1
    x_m: float | None = None
    supplier: str = ""
    discontinued: bool = False
    ships_dangerous: bool = False


@dataclass(frozen=True, kw_only=True)
class StepLine:
    """A step of work.

    Hours [h]: `low_h`, `likely_h`, `high_h` the three-point estimate; `hours` what is quoted when set by hand. `rate`
    per hour; `cost_rate` what the hour costs the shop. `lead_days` [calendar days] for outside work, which takes no
    bench. `needs` the kinds of component the step cannot start without. `learned_factor` what `learned_builds` finished
    builds shifted the estimate by (see `quoting.price.learned_hours`); it is in the hours already.
    """

    code: str
    label: str
    skill: str = ""
    bench_type: str = ""
    low_h: Decimal = Decimal(0)
    likely_h: Decimal = Decimal(0)
    high_h: Decimal = Decimal(0)
    hours: Decimal | None = None
    rate: Decimal = Decimal(0)
    cost_rate: Decimal | None = None
    tax_class: str = "fabrication_labor"
    lead_days: int = 0
    needs: tuple[str, ...] = ()
    learned_factor: Decimal = Decimal(1)
    learned_builds: int = 0


@dataclass(frozen=True, kw_only=True)
class ExtraLine:
    """Outside work, consumables, freight or a fee: `kind` one of outside, consumables, freight, fee, other."""

    kind: str
    label: str
    amount: Decimal
    cost: Decimal | None = None
    tax_class: str = "fee"


@dataclass(frozen=True, kw_only=True)
class Discount:
    """Taken off before tax: a share of the lines [0..1] or a fixed amount, with the reason."""

    reason: str
    rate: Decimal = Decimal(0)
    amount: Decimal = Decimal(0)


@dataclass(frozen=True, kw_only=True)
class Allowance:
    """Credit for the old engine or other parts the shop keeps. Settles the price after tax; never taxed away."""

    label: str
    amount: Decimal


@dataclass(frozen=True, kw_only=True)
class PackPlan:
    """How the cells or modules are joined. `link_mohm` all links and bus bars [mohm]; `bays` names of bays used."""

    series: int
    parallel: int
    link_mohm: float = 1.0
    bays: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Option:
    """One way to build it. `contingency_rate` is a share of parts and hours [0..1] added as a line, or with
    `contingency_in_labor` spread over the lines of hours, where there are any, so that no line names it.
    """

    key: str
    label: str
    parts: tuple[PartLine, ...] = ()
    steps: tuple[StepLine, ...] = ()
    extras: tuple[ExtraLine, ...] = ()
    pack: PackPlan | None = None
    discount: Discount | None = None
    allowance: Allowance | None = None
    contingency_rate: Decimal = Decimal(0)
    contingency_in_labor: bool = False


@dataclass(frozen=True, kw_only=True)
class CatalogueItem:
    """A component on offer, for ways out and "fitting ones first". `free_quantity` on the shelf, unreserved."""

    code: str
    kind: str
    name: str
    spec: Mapping[str, object]
    unit_price: Decimal
    free_quantity: Decimal = Decimal(0)
    discontinued: bool = False
