"""The shop's rules for quoting, and what the customer wishes for."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class Wishes:
    """Riding terms. Distances [km], speeds [km/h], `budget` all in, tax included; None means no wish.

    `circuit` where it is charged: (volts AC, breaker amps AC).
    """

    town_km: float | None = None
    back_road_km: float | None = None
    highway_km: float | None = None
    held_kmh: float | None = None
    top_kmh: float | None = None
    hill_percent: float | None = None
    budget: Decimal | None = None
    circuit_v: float | None = None
    circuit_a: float | None = None
    overnight_h: float | None = None
    two_up: bool = False
    need_by_days: int | None = None
    by_carrier: bool = False


@dataclass(frozen=True, kw_only=True)
class Policies:
    """The shop's settings that a quote depends on. Rates are fractions. Masses [kg], temperatures [degC].

    `hours_percentile` of each step's estimate that is quoted, rounded to `hours_step` [h]. `tax_rounding` invoice, rate
    or line (see `quoting.price.tax`). `deposit_fixed` stands instead of rate and minimum. `exempt_with` the authority
    whose certificate it is: it holds where that authority taxes; empty, it holds everywhere. `exempt_expired` and
    `exempt_not_yet` say that the day lies after or before those it holds on.
    """

    hours_percentile: int = 60
    hours_step: Decimal = Decimal("0.25")
    tax_rounding: str = "invoice"
    deposit_rate: Decimal = Decimal("0.30")
    deposit_minimum: Decimal = Decimal(0)
    deposit_fixed: Decimal | None = None
    valid_days: int = 30
    margin_floor: Decimal = Decimal("0.20")
    discount_limit: Decimal = Decimal("0.10")
    stale_after_days: int = 60
    usable_share: float = 0.92
    rider_kg: float = 80.0
    passenger_kg: float = 75.0
    luggage_kg: float = 10.0
    warm_c: float = 20.0
    cold_c: float = 0.0
    auxiliary_w: float = 60.0
    handling_days: int = 1
    customer_tax_exempt: bool = False
    exempt_certificate: str = ""
    exempt_expired: bool = False
    exempt_kind: str = ""
    exempt_with: str = ""
    exempt_not_yet: bool = False
