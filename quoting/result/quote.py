"""The whole result."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from quoting.request.quote import SCHEMA
from quoting.result.figures import ChargeFigures, PackFigures, RideFigures, WeightFigures, WiringFigures
from quoting.result.finding import Finding
from quoting.result.price import PriceSheet
from quoting.result.promise import Promise


@dataclass(frozen=True, kw_only=True)
class OptionResult:
    """One option worked out. Figures are None where the option has nothing of that kind (a service job has no pack)."""

    key: str
    label: str
    price: PriceSheet
    findings: tuple[Finding, ...]
    rules_checked: int
    promise: Promise | None = None
    pack: PackFigures | None = None
    ride: RideFigures | None = None
    charge: ChargeFigures | None = None
    wiring: WiringFigures | None = None
    weight: WeightFigures | None = None

    def at_level(self, level: str) -> tuple[Finding, ...]:
        """The findings of one level, in rule order."""
        return tuple(finding for finding in self.findings if finding.level == level)


@dataclass(frozen=True, kw_only=True)
class QuoteResult:
    """What a request comes to. `computed_from` is a fingerprint of the request."""

    day: date
    currency: str
    units: str
    options: tuple[OptionResult, ...]
    computed_from: str
    schema: str = SCHEMA
