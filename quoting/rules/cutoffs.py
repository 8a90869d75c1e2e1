"""Voltage of the emptying pack: who stops first, and what goes dark before that."""

from __future__ import annotations

from quoting.parts import Controller
from quoting.result import SagPoint
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange, parallel_at_least
from quoting.show import show_amps, show_percent, show_volts, show_watts

# Lowest voltage per cell at which riding should end. 3.0 V: public practitioner report, case B53 (14s: 42 V).
# LFP 2.8 V and lead 1.75 V per 2 V cell: common practice, no source.
LOWEST_RIDING_CELL_V = {"nmc": 3.0, "lfp": 2.8, "lead": 1.75}
HALF_CHARGE = 0.5  # dropping out at half charge or above is no bike; below it is a limp home; shop setting
HIGH_CUT_ROOM_V = 0.10  # most a high cell cut-off stands above full; common practice, no source


@rule(
    "controller-min-over-pack",
    "cut-offs",
    title="Controller stops while the pack still holds charge",
    levels=("stop", "check"),
    reads=("pack.empty_v", "pack.nominal_v", "controller.min_v"),
    may_read=("controller.low_cut_v",),
    source="the maker's lowest voltage; common practice, no source",
)
def controller_min_over_pack(facts: Facts, empty_v: float, nominal_v: float, min_v: float) -> Says:
    """The controller works down to the empty pack, or to the cut-off that is set."""
    controller = facts.setup.one(Controller)
    set_v = (controller.part.low_cut_v if controller else None) or 0.0
    ends_v = max(empty_v, set_v)
    if not above(min_v, ends_v):
        return None
    level = "check" if below(min_v, nominal_v) else "stop"
    text = f"The controller needs {show_volts(min_v)}; the pack goes down to {show_volts(ends_v)}. " + (
        "The charge below the controller's limit cannot be ridden, so the range is less than shown."
        if level == "check"
        else f"That is not under the nominal {show_volts(nominal_v)}: it stops at about half charge."
    )
    return at_most(level, text, min_v, ends_v, "V", exchange("controller"), act("Use more cells in series"))


@rule(
    "low-cut-under-cell-floor",
    "cut-offs",
    title="Low-voltage cut-off set too low",
    levels=("check",),
    reads=("controller.low_cut_v", "pack.chemistry", "pack.series_cells"),
    source="public practitioner report, case B53: at least 3.0 V a cell for NMC",
)
def low_cut_under_cell_floor(facts: Facts, low_cut_v: float, chemistry: str, groups: int) -> Says:
    """The controller's cut-off leaves every cell group above the lowest riding voltage."""
    cell_v = LOWEST_RIDING_CELL_V.get(chemistry, 0.0)
    floor_v = groups * cell_v
    if not below(low_cut_v, floor_v):
        return None
    text = (
        f"The controller stops at {show_volts(low_cut_v)}, {low_cut_v / groups:.2f} V a cell on average; the weakest "
        f"cell is then lower. {groups} × {cell_v:g} V = {show_volts(floor_v)} is the least."
    )
    return at_least("check", text, low_cut_v, floor_v, "V", act(f"Set the cut-off to {show_volts(floor_v)} or more"))


@rule(
    "low-cut-after-bms",
    "cut-offs",
    title="Battery management opens before the controller stops",
    levels=("check",),
    reads=("controller.low_cut_v", "bms.low_cell_v", "pack.series_cells"),
    source="public practitioner report, case B53: controller before battery management",
)
def low_cut_after_bms(facts: Facts, low_cut_v: float, low_cell_v: float, groups: int) -> Says:
    """The controller stops the ride before the battery management opens the pack."""
    opens_v = low_cell_v * groups
    if above(low_cut_v, opens_v):
        return None
    text = (
        f"The battery management opens at {show_volts(opens_v)}, the controller would stop at {show_volts(low_cut_v)}: "
        "the bike goes dead without warning instead of slowing down."
    )
    return at_least(
        "check", text, low_cut_v, opens_v, "V", act(f"Set the controller's cut-off above {show_volts(opens_v)}")
    )


@rule(
    "bms-low-cut-under-cell-empty",
    "cut-offs",
    title="Battery management lets cells go below empty",
    levels=("stop",),
    reads=("bms.low_cell_v", "pack.empty_v", "pack.series_cells"),
    source="the cell maker's lowest voltage; common practice, no source",
)
def bms_low_cut_under_cell_empty(facts: Facts, low_cell_v: float, empty_v: float, groups: int) -> Says:
    """The low cell cut-off is at or above the cell's empty voltage."""
    cell_v = empty_v / groups
    if not below(low_cell_v, cell_v):
        return None
    text = f"It opens at {low_cell_v:.2f} V a cell; the cell's lowest voltage is {cell_v:.2f} V."
    return at_least(
        "stop", text, low_cell_v, cell_v, "V", act(f"Set the low cut-off to {cell_v:.2f} V or more"), exchange("bms")
    )


@rule(
    "bms-high-cut-off-full",
    "cut-offs",
    title="High cell cut-off does not fit the full cell",
    levels=("stop", "check"),
    reads=("bms.high_cell_v", "pack.full_v", "pack.series_cells"),
    source="common practice, no source",
)
def bms_high_cut_off_full(facts: Facts, high_cell_v: float, full_v: float, groups: int) -> Says:
    """The high cell cut-off is above the full cell, and close to it."""
    cell_v = full_v / groups
    setting = act(f"Set the high cut-off between {cell_v:.2f} V and {cell_v + HIGH_CUT_ROOM_V:.2f} V a cell")
    if below(high_cell_v, cell_v):
        text = f"It opens at {high_cell_v:.2f} V a cell; a full cell is {cell_v:.2f} V, so the pack never fills."
        return at_least("check", text, high_cell_v, cell_v, "V", setting, exchange("bms"))
    if above(high_cell_v, cell_v + HIGH_CUT_ROOM_V):
        text = (
            f"It opens only at {high_cell_v:.2f} V a cell; a full cell is {cell_v:.2f} V. It would not stop an "
            "overcharge."
        )
        return at_most("stop", text, high_cell_v, cell_v + HIGH_CUT_ROOM_V, "V", setting, exchange("bms"))
    return None


@rule(
    "dcdc-min-over-pack-empty",
    "cut-offs",
    title="Lamps go dark before the pack is empty",
    levels=("stop", "check"),
    reads=("pack.empty_v", "dcdc.input_low_v"),
    about=("controller",),
    may_read=("controller.low_cut_v",),
    source="the maker's input range; public practitioner report, case B35",
)
def dcdc_min_over_pack_empty(facts: Facts, empty_v: float, low_v: float) -> Says:
    """The DC-DC converter works down to the empty pack."""
    if not above(low_v, empty_v):
        return None
    controller = facts.setup.one(Controller)
    low_cut_v = controller.part.low_cut_v if controller else None
    stands_first = low_cut_v is not None and not above(low_v, low_cut_v)
    text = f"The DC-DC converter needs {show_volts(low_v)}; an empty pack is {show_volts(empty_v)}. " + (
        f"The controller stops first, at {show_volts(low_cut_v)}, but the lamps fail while the bike stands."
        if stands_first
        else "Lamps and brake light fail while the bike is still moving."
    )
    return at_most("check" if stands_first else "stop", text, low_v, empty_v, "V", exchange("dcdc"))


@rule(
    "sag-under-cut-off",
    "cut-offs",
    title="Pack sags under the cut-off",
    levels=("stop", "check"),
    reads=("pack.sag", "pack.cut_v", "pack.resistance_ohm"),
    when=("motor", "controller", "cell"),
    source="loaded voltage U − I·R against the highest cut-off; see the pack's working",
)
def sag_under_cut_off(facts: Facts, points: tuple[SagPoint, ...], cut_v: float, resistance_ohm: float) -> Says:
    """Under load the pack stays above every cut-off, at full, half and 20 % charge."""
    if not points:
        return Lacks("pack", "peak_w")
    found = [point for point in points if point.loaded_v is None or below(point.loaded_v, cut_v)]
    if not found:
        return None
    worst = max(found, key=lambda point: (point.soc, point.loaded_v is None))
    level = "check" if worst.soc < HALF_CHARGE else "stop"
    by = facts.pack.cut_by if facts.pack else None
    load = f"At {show_percent(worst.soc)} charge, {worst.load} load of {show_watts(worst.power_w)}"
    room_v = worst.open_v - cut_v
    if worst.loaded_v is None or worst.current_a is None:
        return plainly(
            level,
            f"{load}: the pack cannot give that much.",
            act("Set the controller's current lower"),
            exchange("cell"),
        )
    text = (
        f"{load} pulls the pack from {show_volts(worst.open_v)} to {show_volts(worst.loaded_v)}; the cut-off "
        f"({by or 'the highest'}) is at {show_volts(cut_v)}, so the drive drops out."
    )
    ways = [exchange("cell")]
    if room_v > 0 and resistance_ohm > 0:
        ways.insert(0, act(f"Set the controller's battery current to {show_amps(room_v / resistance_ohm)} or less"))
        ways.insert(1, parallel_at_least(worst.current_a * resistance_ohm / room_v))
    return at_least(level, text, worst.loaded_v, cut_v, "V", *ways)


@rule(
    "bms-series-range",
    "cut-offs",
    title="Battery management does not take this many in series",
    levels=("stop",),
    reads=("pack.series_cells", "bms.series_low", "bms.series_high"),
    source="the maker's range",
)
def bms_series_range(facts: Facts, groups: int, low: int, high: int) -> Says:
    """The count of cell groups in series is within the battery management's range."""
    if low <= groups <= high:
        return None
    text = f"The pack has {groups} groups in series; the battery management takes {low} to {high}."
    if groups > high:
        return at_most(
            "stop", text, groups, high, "in series", exchange("bms"), act(f"At most {high} groups in series")
        )
    return at_least("stop", text, groups, low, "in series", exchange("bms"), act(f"At least {low} groups in series"))


@rule(
    "bms-chemistry",
    "cut-offs",
    title="Battery management is not made for this chemistry",
    levels=("stop",),
    reads=("pack.chemistry", "bms.chemistries"),
    source="the maker's list",
)
def bms_chemistry(facts: Facts, chemistry: str, takes: tuple[str, ...]) -> Says:
    """The battery management is made for the pack's chemistry."""
    if chemistry in takes:
        return None
    made_for = ", ".join(word.upper() for word in takes) or "no chemistry stated"
    return plainly(
        "stop", f"The pack is {chemistry.upper()}; the battery management is for {made_for}.", exchange("bms")
    )


@rule(
    "bms-senses-no-groups",
    "cut-offs",
    title="Cell groups are not watched one by one",
    levels=("stop",),
    reads=("bms.senses_each_group",),
    source="public practitioner report, case B39",
)
def bms_senses_no_groups(facts: Facts, senses: bool) -> Says:
    """The battery management senses every cell group."""
    if senses:
        return None
    text = "One shorted or weak cell drains its group, and nothing notices until the pack is lost or burns."
    return plainly("stop", text, exchange("bms"))
