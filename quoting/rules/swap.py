"""The same facts with one part exchanged: what ways out and fitting parts are tried on."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from quoting.errors import SpecError
from quoting.pack import pack_figures
from quoting.parts import Adapter, Cell, Module, Part, part_from_spec
from quoting.request import CatalogueItem, PartLine
from quoting.rules.facts import Facts
from quoting.rules.registry import Read, Rule
from quoting.setup import Fitted
from quoting.wiring import wiring_figures

STORES = ("cell", "module")
LOADED: frozenset[Read] = frozenset({("pack", "sag"), ("pack", "heat_steady_c")})
STEADY: frozenset[Read] = frozenset({("wiring", "battery_cont_a"), ("wiring", "battery_drop_v")})
PRECHARGED: frozenset[Read] = frozenset(
    ("wiring", f"precharge_{what}") for what in ("95_s", "99_s", "energy_j", "peak_w")
)
PHASE: frozenset[Read] = frozenset({("wiring", "phase_cont_a"), ("wiring", "phase_drop_v")})
CUT_OFF: frozenset[Read] = frozenset({("pack", "sag"), ("pack", "cut_v")})
PLACES: frozenset[Read] = frozenset({("pack", "unplaced")})
# Figures that are out of date once a part of the kind is exchanged.
STALE: dict[str, frozenset[Read]] = {
    "cell": LOADED | STEADY | CUT_OFF | PLACES | {("pack", "fit")},
    "module": LOADED | STEADY | CUT_OFF | PLACES | {("pack", "fit")},
    "motor": LOADED | STEADY | PHASE,
    "controller": LOADED | STEADY | PHASE | CUT_OFF | PRECHARGED | PLACES,
    "bms": CUT_OFF | PLACES,
    "charger": PLACES,
    "dcdc": PLACES,
    "contactor": PLACES,
    "enclosure": PLACES | {("pack", "fit")},
    "cable": frozenset({("wiring", "battery_drop_v"), ("wiring", "phase_drop_v")}),
    "precharge": PRECHARGED,
}


def offers(facts: Facts, kind: str) -> tuple[tuple[CatalogueItem, Part], ...]:
    """The catalogue's parts of a kind that are still made and can be read: on the shelf first, then cheapest."""
    if kind not in facts.offers:
        items = [item for item in facts.setup.catalogue if item.kind == kind and not item.discontinued]
        read = ((item, readable(item)) for item in sorted(items, key=best_first))
        facts.offers[kind] = tuple((item, part) for item, part in read if isinstance(part, Part))
    return facts.offers[kind]


def best_first(item: CatalogueItem) -> tuple[bool, Decimal, str]:
    """Order of offers: on the shelf, then cheapest, then by code."""
    return (item.free_quantity <= 0, item.unit_price, item.code)


def readable(item: CatalogueItem) -> Part | SpecError:
    """The item's spec as a part, or what is wrong with it."""
    try:
        return part_from_spec(item.kind, item.spec)
    except SpecError as error:
        return error


def exchanged(facts: Facts, item: CatalogueItem, part: Part, line: PartLine | None) -> tuple[Facts, Fitted[Part]]:
    """The facts with `item` in place of `line`, or added where `line` is None, and the item as fitted.

    Quantity is kept, or the kind's usual one. Figures stay as they were: see `refreshed`.
    """
    new = Fitted(
        PartLine(
            code=item.code,
            kind=item.kind,
            name=item.name,
            quantity=line.quantity if line else usual_quantity(facts, part),
            unit_price=item.unit_price,
            conductors=line.conductors if line else 1,
            x_m=line.x_m if line else None,
            discontinued=item.discontinued,
        ),
        part,
    )
    old = facts.setup.fitted
    fitted = (*old, new) if line is None else tuple(new if each.line is line else each for each in old)
    return replace(facts, setup=replace(facts.setup, fitted=fitted)), new


def usual_quantity(facts: Facts, part: Part) -> Decimal:
    """How many an option takes when none is on it yet: the pack plan's cells, a torque arm on both sides, else one."""
    plan = facts.setup.option.pack
    if plan and isinstance(part, (Cell, Module)):
        return Decimal(plan.series * plan.parallel)
    return Decimal(2) if isinstance(part, Adapter) and part.purpose == "axle" else Decimal(1)


def refreshed(facts: Facts, rule: Rule, kind: str) -> Facts:
    """The facts with those figures worked out again that the rule reads and an exchange of the kind has changed."""
    touched = {read for read in rule.reads if is_stale(read, kind)}
    if not touched:
        return facts
    pack = facts.pack
    if kind in STORES or any(subject == "pack" for subject, _ in touched):
        pack = pack_figures(facts.setup)
    wiring = facts.wiring
    if any(subject == "wiring" for subject, _ in touched):
        fresh = pack if pack is facts.pack or kind in STORES else pack_figures(facts.setup)
        wiring = wiring_figures(facts.setup, fresh, facts.ride)
    return replace(facts, pack=pack, wiring=wiring)


def tells_apart(rule: Rule, kind: str) -> bool:
    """Whether a rule can tell a good part of a kind from a bad one; cells and modules through the pack they make."""
    if kind in rule.judges:
        return True
    return kind in STORES and ("cell" in rule.judges or any(subject == "pack" for subject, _ in rule.reads))


def is_stale(read: Read, kind: str) -> bool:
    """Whether a figure is out of date once a part of the kind is exchanged."""
    return read in STALE.get(kind, ()) or (kind in STORES and read[0] == "pack")
