"""Transport of packs. Local law decides; these rules point at it."""

from __future__ import annotations

from quoting.parts import Cell, Module
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Says, above, at_most, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_energy

SMALL_PACK_WH = 100.0  # 49 CFR 173.185(c): a battery of at most 100 Wh may use the small-battery relief


@rule(
    "pack-by-carrier",
    "law",
    title="Pack leaves by carrier: dangerous goods",
    levels=("check",),
    reads=("pack.energy_wh",),
    when=("cell",),
    where=lambda facts, item: facts.setup.wishes.by_carrier,
    source="49 CFR 173.185: class 9, UN 3480 alone, UN 3481 with equipment, above 100 Wh a battery; whole bike UN 3171 "
    "or UN 3556, 49 CFR 173.220",
)
def pack_by_carrier(facts: Facts, energy_wh: float) -> Says:
    """A pack above 100 Wh that leaves by carrier goes as dangerous goods, by someone trained to ship it."""
    if not above(energy_wh, SMALL_PACK_WH):
        return None
    whole = facts.setup.job in ("conversion", "pack_upgrade")
    how = "In the bike it goes as UN 3171 or UN 3556" if whole else "It goes as class 9, UN 3480 or UN 3481"
    text = (
        f"The pack holds {show_energy(energy_wh)}. {how}, packed, marked and papered by a trained shipper; by "
        "air at 30 % charge."
    )
    ways = (act("Name the carrier and who signs the papers"), act("Have it collected at the shop"))
    return at_most("check", text, energy_wh, SMALL_PACK_WH, "Wh", *ways)


@rule(
    "pack-design-untested",
    "law",
    title="Cells or pack not tested for transport",
    levels=("stop", "check"),
    when=("cell",),
    reads=("cell.transport_tested",),
    where=lambda facts, item: facts.setup.wishes.by_carrier,
    source="UN Manual of Tests and Criteria 38.3: a pack of tested cells is a new type; 49 CFR 173.185(e): at "
    "most 100 a year",
)
def pack_design_untested(facts: Facts, tested: bool) -> Says:
    """A pack that leaves by carrier is of a design that passed UN 38.3, and so are its cells."""
    whole = facts.setup.job in ("conversion", "pack_upgrade")
    made_here = bool(facts.setup.all(Cell)) or sum(item.line.quantity for item in facts.setup.all(Module)) > 1
    if not tested:
        text = "There is no UN 38.3 test summary for the cells: no carrier may take them."
        return plainly("stop", text, exchange("cell"), act("Have the customer collect it"))
    if not made_here or whole:
        return None
    text = (
        "The cells are tested, the pack made of them here is a new design and is not. Only a run of at most "
        "100 a year may "
        "go without the test, in special packing."
    )
    return plainly(
        "check", text, act("Ship tested modules instead"), act("Write down the yearly count and the packing used")
    )
