"""The same facts with one part exchanged: what ways out and fitting parts are tried on."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quoting.parts import Part, part_from_spec
from quoting.request import CatalogueItem, PartLine
from quoting.rules.facts import Facts
from quoting.setup import Fitted


def typed(item: CatalogueItem) -> Part:
    """A catalogue item's spec as a part. Raises SpecError."""
    return part_from_spec(item.kind, item.spec)


def exchanged(facts: Facts, item: CatalogueItem, line: PartLine | None) -> Facts:
    """The facts with `item` in place of `line`, or added where `line` is None; quantity kept, or the kind's usual one.

    Figures that hang on the part are dropped or worked out again; the ride is left as it was.
    """
    new = Fitted(
        PartLine(
            code=item.code,
            kind=item.kind,
            name=item.name,
            quantity=line.quantity if line else usual_quantity(facts, item.kind),
            unit_price=item.unit_price,
            conductors=line.conductors if line else 1,
            x_m=line.x_m if line else None,
            discontinued=item.discontinued,
        ),
        typed(item),
    )
    old = facts.setup.fitted
    fitted = (*old, new) if line is None else tuple(new if item.line is line else item for item in old)
    return replace(facts, setup=replace(facts.setup, fitted=fitted))


def usual_quantity(facts: Facts, kind: str) -> Decimal:
    """How many of a kind an option takes when none is on it yet: the pack plan's cells, else one."""
    plan = facts.setup.option.pack
    return Decimal(plan.series * plan.parallel) if plan and kind in ("cell", "module") else Decimal(1)
