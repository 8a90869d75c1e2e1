"""Regeneration: braking puts current back into a pack that may be full or cold."""

from __future__ import annotations

from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Says, above, at_least, at_most, below
from quoting.rules.ways_out import act, exchange, series_at_most
from quoting.show import show_amps, show_volts

REGEN_HEADROOM = 1.2  # public practitioner report, case B1: 63/50.4 = 1.25 lived, 63/54.6 = 1.15 did not


@rule(
    "pack-full-near-controller-max",
    "regeneration",
    title="Little room above the full pack for regeneration",
    levels=("check",),
    reads=("pack.full_v", "controller.max_v", "controller.regen_a"),
    source="public practitioner report, case B1",
)
def pack_full_near_controller_max(facts: Facts, full_v: float, max_v: float, regen_a: float) -> Says:
    """With regeneration on, the controller's highest voltage is at least 1.2 times the full pack."""
    if regen_a <= 0 or above(full_v, max_v) or not below(max_v / full_v, REGEN_HEADROOM):
        return None
    text = (
        f"Braking lifts the voltage above the full pack's {show_volts(full_v)}, and the controller takes "
        f"{show_volts(max_v)}: {max_v / full_v:.2f} times, where 1.2 times has proved safe."
    )
    off = act("Switch regeneration off, or limit it near full charge, and write the setting on the build sheet")
    return at_least(
        "check",
        text,
        max_v,
        REGEN_HEADROOM * full_v,
        "V",
        off,
        series_at_most(max_v / REGEN_HEADROOM),
        exchange("controller"),
    )


@rule(
    "regen-overshoot",
    "regeneration",
    title="Braking on a full pack opens the battery management",
    levels=("stop", "check"),
    reads=("pack.full_v", "pack.resistance_ohm", "controller.regen_a", "controller.max_v", "bms.high_cell_v"),
    about=("cell", "module"),
    source="Ohm's law: U = U_full + I·R; public practitioner report, case B18",
)
def regen_overshoot(
    facts: Facts, full_v: float, resistance_ohm: float, regen_a: float, max_v: float, high_cell_v: float
) -> Says:
    """Regeneration into a full pack lifts it neither past the controller's limit nor past the cell cut-off."""
    if regen_a <= 0 or above(full_v, max_v):
        return None
    lifted_v = full_v + regen_a * resistance_ohm
    rise = f"Braking at {show_amps(regen_a)} lifts the full pack from {show_volts(full_v)} to {show_volts(lifted_v)}"
    hold = act(
        "Switch regeneration off above 95 % charge, or end charging at 4.10 V a cell; tell the rider there is no "
        "engine braking after a full charge"
    )
    if above(lifted_v, max_v):
        text = f"{rise}, past the controller's {show_volts(max_v)}."
        return at_most("stop", text, lifted_v, max_v, "V", hold, exchange("controller"))
    groups = facts.pack.series_cells if facts.pack else 0
    cut_v = high_cell_v * groups
    if not above(lifted_v, cut_v):
        return None
    text = (
        f"{rise}. The battery management opens at {show_volts(cut_v)}, so braking cuts in and out after a full charge."
    )
    return at_most("check", text, lifted_v, cut_v, "V", hold)


@rule(
    "regen-over-charge-limit",
    "regeneration",
    title="Regeneration current above the charge limit",
    levels=("stop",),
    reads=("controller.regen_a", "cell.charge_a", "pack.parallel", "bms.charge_a"),
    source="public practitioner report, case B20: at most the charge current of battery management and cells",
)
def regen_over_charge_limit(facts: Facts, regen_a: float, charge_a: float, parallel: int, bms_a: float) -> Says:
    """Regeneration stays at or under the charge current of battery management and cells."""
    cells_a = charge_a * parallel
    limit_a, whose = min((cells_a, "the cells take"), (bms_a, "the battery management passes"))
    if not above(regen_a, limit_a):
        return None
    text = f"Braking puts back {show_amps(regen_a)}; {whose} {show_amps(limit_a)} when charging, less when cold."
    return at_most("stop", text, regen_a, limit_a, "A", act(f"Set regeneration to {show_amps(limit_a)} or less"))
