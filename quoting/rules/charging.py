"""Charging: the charger against the pack, the cells, the wall and the frost."""

from __future__ import annotations

from quoting.parts import Charger
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange, parallel_at_least
from quoting.show import show_amps, show_temperature, show_volts
from quoting.wiring import AMBIENT_C

END_TOLERANCE = 0.005  # public practitioner report, case B7: end voltage = series × cell voltage within 0.5 %
CONTINUOUS = 0.80  # NEC 210.20(A), 625.41: a circuit carries 80 % of its breaker for 3 h or more
FROST_C = 0.0  # public practitioner report, case B49: charging ends at 0 degC or above


@rule(
    "charger-end-voltage",
    "charging",
    title="Charger ends at the wrong voltage",
    levels=("stop", "check"),
    reads=("pack.full_v", "pack.nominal_v"),
    when=("charger",),
    judges=("charger",),
    may_read=("charger.end_high_v", "charger.end_low_v", "charger.end_v"),
    source="public practitioner report, cases B7 and B9: series × full cell voltage within 0.5 %",
)
def charger_end_voltage(facts: Facts, full_v: float, nominal_v: float) -> Says:
    """The charger ends at the full pack's voltage within 0.5 %, or can be set to it."""
    found = facts.setup.one(Charger)
    if found is None:
        return None
    charger = found.part
    settable = (
        charger.end_low_v is not None
        and charger.end_high_v is not None
        and charger.end_low_v <= full_v <= charger.end_high_v
    )
    end_v = charger.end_v
    if end_v is None:
        if charger.end_low_v is None or charger.end_high_v is None:
            return Lacks("charger", "end_v")
        end_v = min(max(full_v, charger.end_low_v), charger.end_high_v)
    ways = (act(f"Set the charger to {show_volts(full_v)} and mark it for this pack only"),) if settable else ()
    seen = f"The charger ends at {show_volts(end_v)}; this pack is full at {show_volts(full_v)}."
    if above(end_v, full_v * (1 + END_TOLERANCE)):
        text = f"{seen} It would overcharge every cell."
        return at_most("stop", text, end_v, full_v * (1 + END_TOLERANCE), "V", *ways, exchange("charger"))
    if below(end_v, full_v * (1 - END_TOLERANCE)):
        text = f"{seen} The pack never fills. Is this charger meant for another count in series?"
        level = "check" if above(end_v, nominal_v) else "stop"
        return at_least(level, text, end_v, full_v * (1 - END_TOLERANCE), "V", *ways, exchange("charger"))
    return None


@rule(
    "charger-start-over-empty",
    "charging",
    title="Charger does not start on an empty pack",
    levels=("check",),
    reads=("pack.empty_v", "charger.start_v"),
    source="the maker's lowest starting voltage; common practice, no source",
)
def charger_start_over_empty(facts: Facts, empty_v: float, start_v: float) -> Says:
    """The charger starts on a pack that is empty."""
    if not above(start_v, empty_v):
        return None
    text = f"It wants to see {show_volts(start_v)} before it starts; an empty pack is {show_volts(empty_v)}."
    return at_most("check", text, start_v, empty_v, "V", exchange("charger"), act("Set the low cut-off higher"))


@rule(
    "charge-current-over-cells",
    "charging",
    title="Charge current above what the cells take",
    levels=("stop",),
    reads=("charger.output_a", "cell.charge_a", "pack.parallel"),
    source="the cell maker's charge current",
)
def charge_current_over_cells(facts: Facts, one_a: float, charge_a: float, parallel: int) -> Says:
    """The charger's output stays at or under what the cells in parallel take."""
    output_a, limit_a = one_a * facts.count("charger"), charge_a * parallel
    if not above(output_a, limit_a):
        return None
    text = (
        f"The charger gives {show_amps(output_a)}; {parallel} in parallel at {show_amps(charge_a)} take "
        f"{show_amps(limit_a)}."
    )
    setting = act(f"Set the charger to {show_amps(limit_a)} or less, if it can be set")
    return at_most(
        "stop", text, output_a, limit_a, "A", exchange("charger"), parallel_at_least(output_a / limit_a), setting
    )


@rule(
    "charge-current-over-bms",
    "charging",
    title="Charge current above the battery management's limit",
    levels=("stop",),
    reads=("charger.output_a", "bms.charge_a"),
    source="the maker's charge current",
)
def charge_current_over_bms(facts: Facts, one_a: float, charge_a: float) -> Says:
    """The charger's output stays at or under the battery management's charge current."""
    output_a = one_a * facts.count("charger")
    if not above(output_a, charge_a):
        return None
    text = (
        f"The charger gives {show_amps(output_a)}; the battery management passes {show_amps(charge_a)} when charging."
    )
    return at_most("stop", text, output_a, charge_a, "A", exchange("charger"), exchange("bms"))


@rule(
    "charging-below-cell-cold-limit",
    "charging",
    title="Charging is not blocked in the cold",
    levels=("stop", "check"),
    reads=("bms.charge_low_c", "cell.charge_low_c"),
    where=lambda facts, item: facts.pack is None or facts.pack.chemistry != "lead",
    source="cell makers' data sheets: none below 0 degC; public practitioner report, case B49",
)
def charging_below_cell_cold_limit(facts: Facts, blocks_c: float, cell_c: float) -> Says:
    """The battery management blocks charging at the cell's coldest charging temperature, and at 0 degC or above."""
    units = facts.setup.units
    blocks = show_temperature(blocks_c, units)
    limit_c = max(cell_c, FROST_C)
    ways = (act(f"Set the charging block to {show_temperature(limit_c, units)} or warmer"), exchange("bms"))
    if blocks_c < cell_c:
        text = (
            f"Charging is blocked below {blocks}; the cells must not be charged below "
            f"{show_temperature(cell_c, units)}."
        )
        return at_least("stop", text, blocks_c, cell_c, "degC", *ways)
    if blocks_c < FROST_C:
        text = (
            f"Charging is blocked only below {blocks}. Lithium plates out on a freezing cell, in regeneration as well."
        )
        return at_least("check", text, blocks_c, FROST_C, "degC", *ways)
    return None


@rule(
    "charging-above-cell-hot-limit",
    "charging",
    title="Charging is not blocked in the heat",
    levels=("stop", "note"),
    reads=("bms.charge_high_c", "cell.charge_high_c"),
    where=lambda facts, item: facts.pack is None or facts.pack.chemistry != "lead",
    source="cell makers' data sheets: 45 degC is usual, 50 or 55 for some; 40 degC beside a pack: common practice, no "
    "source",
)
def charging_above_cell_hot_limit(facts: Facts, blocks_c: float, cell_c: float) -> Says:
    """The battery management blocks charging at the cell's hottest charging temperature; a hot day stays under it."""
    units = facts.setup.units
    limit = show_temperature(cell_c, units)
    if above(blocks_c, cell_c):
        blocks = show_temperature(blocks_c, units)
        text = f"Charging is blocked above {blocks}; the cells must not be charged above {limit}."
        ways = (act(f"Set the charging block to {limit} or cooler"), exchange("bms"))
        return at_most("stop", text, blocks_c, cell_c, "degC", *ways)
    if below(cell_c, AMBIENT_C):
        text = (
            f"The cells take no charge above {limit}, and beside a pack it may be {show_temperature(AMBIENT_C, units)} "
            "after a ride on a hot day: charging waits until they have cooled."
        )
        return at_least("note", text, cell_c, AMBIENT_C, "degC", act("Say so at handover"), exchange("cell"))
    return None


@rule(
    "wall-circuit-overloaded",
    "charging",
    title="Charger draws more than the wall circuit carries",
    levels=("stop", "check"),
    reads=("wishes.circuit_a", "charger.input_a"),
    source="NEC 210.20(A) and 625.41, continuous load at most 80 % of the breaker; public practitioner report, "
    "case B48; "
    "local code decides",
)
def wall_circuit_overloaded(facts: Facts, circuit_a: float, one_a: float) -> Says:
    """The charger's input current is at most 80 % of the customer's breaker."""
    input_a, limit_a = one_a * facts.count("charger"), circuit_a * CONTINUOUS
    if not above(input_a, limit_a):
        return None
    level = "stop" if above(input_a, circuit_a) else "check"
    text = (
        f"The charger draws {show_amps(input_a)} for hours; a {show_amps(circuit_a)} breaker carries "
        f"{show_amps(limit_a)} "
        "that long, and less when something else is on the circuit."
    )
    ways = (act(f"Turn the charger down to {show_amps(limit_a)} input"), exchange("charger"))
    return at_most(
        level, text, input_a, limit_a, "A AC", *ways, act("Have a licensed electrician fit a dedicated circuit")
    )


@rule(
    "charger-input-voltage",
    "charging",
    title="Charger does not take the wall voltage",
    levels=("stop",),
    reads=("wishes.circuit_v", "charger.input_low_v", "charger.input_high_v"),
    source="the maker's input range",
)
def charger_input_voltage(facts: Facts, circuit_v: float, low_v: float, high_v: float) -> Says:
    """The customer's wall voltage is within the charger's input range."""
    if not below(circuit_v, low_v) and not above(circuit_v, high_v):
        return None
    text = f"The outlet gives {circuit_v:.0f} V AC; the charger takes {low_v:.0f} to {high_v:.0f} V AC."
    if circuit_v < low_v:
        return at_least("stop", text, circuit_v, low_v, "V AC", exchange("charger"))
    return at_most("stop", text, circuit_v, high_v, "V AC", exchange("charger"))


@rule(
    "charge-inhibit-missing",
    "charging",
    title="Nothing keeps the bike from riding off while plugged in",
    levels=("check",),
    reads=("controller.interlocks", "bms.interlocks"),
    when=("charger",),
    about=("switch",),
    source="common practice, no source",
)
def charge_inhibit_missing(facts: Facts, controller: tuple[str, ...], bms: tuple[str, ...]) -> Says:
    """Controller or battery management holds the drive off while the charger is plugged in."""
    if "charge-inhibit" in (*controller, *bms):
        return None
    text = "Neither controller nor battery management has a charge inhibit: the bike can be driven off on its cord."
    return plainly(
        "check", text, exchange("bms"), exchange("controller"), act("Wire a contact at the inlet into the key line")
    )
