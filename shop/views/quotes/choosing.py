"""Parts of one kind to choose from: how each would suit the option, what it costs, when it would be here."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from quoting.parts import KINDS
from quoting.request import CatalogueItem, PartLine
from quoting.rules import Fit, fitting
from quoting.setup import setup_of
from shop.models import Component
from shop.selectors.lead_times import lead_times
from shop.views.quotes.page import CounterPage


@dataclass(frozen=True)
class Candidate:
    """One component: `dearer` what a piece costs more than the present one's; `lead_days` None when not known."""

    component_id: str
    item: CatalogueItem
    fit: Fit
    dearer: Decimal | None
    lead_days: int | None

    @property
    def fits(self) -> bool:
        return self.fit.level in ("fits", "note")


@dataclass(frozen=True)
class Choice:
    """What may be taken. `instead` the public id of the component on the option that would be replaced."""

    kind: str
    label: str
    instead: str
    present: PartLine | None
    candidates: tuple[Candidate, ...]

    @property
    def fitting(self) -> tuple[Candidate, ...]:
        return tuple(item for item in self.candidates if item.fits)

    @property
    def doubtful(self) -> tuple[Candidate, ...]:
        return tuple(item for item in self.candidates if item.fit.level == "check")

    @property
    def unfit(self) -> tuple[Candidate, ...]:
        return tuple(item for item in self.candidates if item.fit.level == "stop")


def choice_of(page: CounterPage, kind: str, instead: str) -> Choice:
    """Judge the catalogue's parts of a kind against the option as it stands. Discontinued ones are left out."""
    option, shown = page.asked, page.shown
    rows = {row.component.public_id: row.component.code for row in page.option.parts.all()}
    present = next((line for line in option.parts if line.code == rows.get(instead)), None)
    taken = set(rows.values())
    items = {
        item.code: item
        for item in page.request.catalogue
        if item.kind == kind and item.code not in taken and not item.discontinued
    }
    fits = fitting(
        setup_of(page.request, option),
        kind,
        tuple(items.values()),
        pack=shown.pack if shown else None,
        weight=shown.weight if shown else None,
        ride=shown.ride if shown else None,
        wiring=shown.wiring if shown else None,
        instead_of=present,
    )
    ids = dict(Component.objects.filter(code__in=items).values_list("code", "public_id"))
    leads = lead_times(items)
    return Choice(
        kind=kind,
        label=KINDS[kind].label,
        instead=instead if present else "",
        present=present,
        candidates=tuple(
            Candidate(
                component_id=ids[fit.code],
                item=items[fit.code],
                fit=fit,
                dearer=items[fit.code].unit_price - present.unit_price if present else None,
                lead_days=leads.get(fit.code),
            )
            for fit in fits
        ),
    )
