"""Whether the option is a whole build: kinds that must be there, and packs that must not be mixed."""

from __future__ import annotations

from typing import Any

from quoting.parts import KINDS, Cell, Module
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Says, above, plainly
from quoting.rules.ways_out import act
from quoting.setup import Fitted

PACK_KINDS = ("cell", "bms", "charger", "motor", "controller")
WHOLE_KINDS = (*PACK_KINDS, "fuse", "contactor", "throttle", "dcdc")
MAY_BE_SHOP_MADE = ("cable", "enclosure")
MOST_APART_V = 0.05  # a cell, between packs side by side; public practitioner report, case B10


@rule(
    "incomplete-build",
    "build",
    title="Build is not complete",
    levels=("stop", "check"),
    about=(*WHOLE_KINDS, *MAY_BE_SHOP_MADE),
    jobs=BUILDS,
    source="what a bike cannot run without; public practitioner report, cases A29 and B5",
)
def incomplete_build(facts: Facts) -> Says:
    """Every kind of part the job cannot do without is on the option."""
    whole = facts.setup.job == "conversion"
    lacking = [_label(kind) for kind in (WHOLE_KINDS if whole else PACK_KINDS) if not facts.of(kind)]
    if facts.pack is None or not facts.pack.cells:
        lacking.append("how many in series and parallel")
    if whole and facts.setup.donor is None:
        lacking.append("donor")
    unmade = [_label(kind) for kind in MAY_BE_SHOP_MADE if not facts.of(kind)] if whole else []
    if lacking:
        also = f" Also not listed: {', '.join(unmade)}." if unmade else ""
        return plainly("stop", f"Still to choose: {', '.join(lacking)}.{also}", act("Add the parts that are missing"))
    if unmade:
        text = f"Not on the quote: {', '.join(unmade)}. Is the shop's own stock or work priced elsewhere?"
        return plainly("check", text, act("Add the lines, or say where they are priced"))
    return None


def _label(kind: str) -> str:
    if kind == "cell":
        return "cells or modules"
    label = KINDS[kind].label
    return label.lower() if label[1].islower() else label


@rule(
    "packs-mixed",
    "build",
    title="Different cells side by side in one pack",
    levels=("stop", "check"),
    when=("cell",),
    about=("module",),
    may_read=("cell.chemistry", "cell.full_v", "cell.capacity_ah", "module.cells_in_series"),
    source="public practitioner report, case B10: equal count in series, equal chemistry, within 0.05 V a cell; 3 in "
    "series beside 4 in series caught fire in seconds",
)
def packs_mixed(facts: Facts) -> Says:
    """Cells or modules that stand side by side are equal: in series, chemistry, voltage and capacity."""
    stores: tuple[Fitted[Cell] | Fitted[Module], ...] = (*facts.setup.all(Cell), *facts.setup.all(Module))
    each = {item.line.code: item for item in stores}
    if len(each) < 2:
        return None
    names = " and ".join(dict.fromkeys(item.line.name for item in stores))
    unlike = _unlike([item.part for item in each.values()])
    apart = act("Keep one type, and quote a second pack apart")
    if unlike:
        text = f"{names} stand on one pack and differ in {', '.join(unlike)}: the stronger burns the weaker."
        return plainly("stop", text, apart)
    text = (
        f"{names} stand on one pack. Their data sheets agree. Before they are joined every group must be within "
        f"{MOST_APART_V:g} V of the others."
    )
    return plainly("check", text, act("Measure and write down each group's voltage before joining"), apart)


def _unlike(parts: list[Cell | Module]) -> list[str]:
    """What keeps cells or modules from standing side by side; what is not known counts as different."""
    groups = {part.cells_in_series if isinstance(part, Module) else 1 for part in parts}
    chemistries = {part.chemistry for part in parts}
    volts = [_group_v(part) for part in parts]
    known_v = [value for value in volts if value is not None]
    capacities = {part.capacity_ah for part in parts}
    unlike = []
    if len(groups) > 1 or None in groups:
        unlike.append(f"count in series ({_or_unknown(groups)})")
    if len(chemistries) > 1 or None in chemistries:
        unlike.append(f"chemistry ({_or_unknown(chemistries)})")
    if len(known_v) < len(volts) or above(max(known_v) - min(known_v), MOST_APART_V):
        unlike.append(f"full voltage of a cell ({_or_unknown({value and round(value, 3) for value in volts})} V)")
    if len(capacities) > 1 or None in capacities:
        unlike.append(f"capacity ({_or_unknown(capacities)} Ah)")
    return unlike


def _group_v(part: Cell | Module) -> float | None:
    """Full voltage of one cell group [V]."""
    groups = part.cells_in_series if isinstance(part, Module) else 1
    return part.full_v / groups if part.full_v is not None and groups else None


def _or_unknown(values: set[Any]) -> str:
    return " and ".join(sorted("not known" if value is None else f"{value}" for value in values))
