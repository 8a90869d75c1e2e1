"""What the rules look at: one option with its parts, its figures, its price and its promise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from quoting.parts import KINDS, Part
from quoting.request import CatalogueItem, TaxPlace
from quoting.result import (
    ChargeFigures,
    PackFigures,
    PriceSheet,
    Promise,
    RideFigures,
    WeightFigures,
    WiringFigures,
)
from quoting.setup import Fitted, Setup

FIGURES = ("pack", "weight", "ride", "wiring", "charge", "price", "promise")
GIVEN = ("donor", "wishes", "policies", "country")


@dataclass(frozen=True, kw_only=True)
class Facts:
    """Everything the rules may read. Figures are None where the option has nothing of that kind.

    `day` the quote's date in the shop's zone; `currency` ISO 4217. Both are only needed by the desk's rules.
    """

    setup: Setup
    pack: PackFigures | None = None
    weight: WeightFigures | None = None
    ride: RideFigures | None = None
    wiring: WiringFigures | None = None
    charge: ChargeFigures | None = None
    price: PriceSheet | None = None
    promise: Promise | None = None
    day: date | None = None
    currency: str = ""
    tax_place: TaxPlace | None = None

    @cached_property
    def fitted(self) -> Mapping[str, tuple[Fitted[Part], ...]]:
        """Parts by kind, in line order."""
        found: dict[str, list[Fitted[Part]]] = {}
        for item in self.setup.fitted:
            found.setdefault(item.line.kind, []).append(item)
        return {kind: tuple(items) for kind, items in found.items()}

    @cached_property
    def offers(self) -> dict[str, tuple[tuple[CatalogueItem, Part], ...]]:
        """Catalogue parts already read, by kind: filled by whoever looks for ways out, so that each is read once."""
        return {}

    def of(self, kind: str) -> tuple[Fitted[Part], ...]:
        """The parts of a kind. "cell" gives the modules where a pack is made of modules."""
        items = self.fitted.get(kind, ())
        return items if items or kind != "cell" else self.fitted.get("module", ())

    def first(self, kind: str) -> Fitted[Part] | None:
        """The first part of a kind, or None."""
        items = self.of(kind)
        return items[0] if items else None

    def count(self, kind: str) -> float:
        """How many of the first part of a kind: two controllers draw twice what one does."""
        item = self.first(kind)
        return float(item.line.quantity) if item else 0.0

    def subject(self, name: str) -> object | None:
        """What a read's first word stands for: a part's spec, a set of figures, or what was given; None if absent."""
        if name in KINDS:
            item = self.first(name)
            return item.part if item else None
        if name in FIGURES:
            return getattr(self, name, None)
        return getattr(self.setup, name, None)
