"""Whether the option is a whole build: kinds that must be there, and packs that must not be mixed."""

from __future__ import annotations

from quoting.parts import KINDS, Cell, Module
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Says, plainly
from quoting.rules.ways_out import act
from quoting.setup import Fitted

PACK_KINDS = ("cell", "bms", "charger", "motor", "controller")
WHOLE_KINDS = (*PACK_KINDS, "fuse", "contactor", "throttle", "dcdc")
MAY_BE_SHOP_MADE = ("cable", "enclosure")


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
    title="Different cells in one pack",
    levels=("stop",),
    when=("cell",),
    about=("module",),
    source="public practitioner report, case B10: 3 in series beside 4 in series caught fire in seconds",
)
def packs_mixed(facts: Facts) -> Says:
    """All cells or modules of the pack are of one type."""
    lines: tuple[Fitted[Cell] | Fitted[Module], ...] = (*facts.setup.all(Cell), *facts.setup.all(Module))
    codes = {item.line.code for item in lines}
    if len(codes) < 2:
        return None
    names = " and ".join(dict.fromkeys(item.line.name for item in lines))
    text = (
        f"{names} stand on one pack. Side by side they must have one count in series, one chemistry and "
        "voltages within "
        "0.05 V a cell, or the stronger burns the weaker."
    )
    return plainly("stop", text, act("Keep one type, and quote a second pack apart"))
