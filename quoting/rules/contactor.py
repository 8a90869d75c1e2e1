"""Contactor and pre-charge: what happens when the key is turned."""

from __future__ import annotations

from quoting.parts import Bms, Precharge
from quoting.rules.facts import Facts
from quoting.rules.registry import BUILDS, rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_amps, show_seconds, show_volts, show_watts
from quoting.wiring import closing_step_a

# Share of its nominal a contactor coil works at: relay makers' usual pull-in and overvoltage limits, from memory.
COIL_LOW, COIL_HIGH = 0.80, 1.20
WATTS_AND_JOULES = "energy ½·C·U², first-order RC circuit; public practitioner report, case B12"


@rule(
    "contactor-continuous",
    "contactor",
    title="Contactor too small",
    levels=("stop",),
    reads=("contactor.cont_a", "wiring.battery_cont_a"),
    source="the maker's continuous current",
)
def contactor_continuous(facts: Facts, limit_a: float, cont_a: float) -> Says:
    """The contactor carries the continuous battery current for good."""
    if not above(cont_a, limit_a):
        return None
    text = f"{show_amps(cont_a)} runs through it for good; it carries {show_amps(limit_a)}."
    return at_most("stop", text, cont_a, limit_a, "A", exchange("contactor"))


@rule(
    "contactor-breaking",
    "contactor",
    title="Contactor cannot open under full load",
    levels=("check",),
    reads=("contactor.break_a", "controller.battery_peak_a"),
    source="the maker's breaking current at that voltage; common practice, no source",
)
def contactor_breaking(facts: Facts, limit_a: float, one_a: float) -> Says:
    """The contactor can break the controller's peak current: the kill switch opens it under load."""
    peak_a = one_a * facts.count("controller")
    if not above(peak_a, limit_a):
        return None
    text = (
        f"The kill switch opens it while the controller may draw {show_amps(peak_a)}; it breaks {show_amps(limit_a)}. "
        "Past that the contacts weld and the drive stays live."
    )
    return at_most(
        "check", text, peak_a, limit_a, "A", exchange("contactor"), act("Let the kill switch stop the controller first")
    )


@rule(
    "contactor-making",
    "contactor",
    title="Contacts can weld when the contactor closes",
    levels=("check",),
    reads=("contactor.make_a", "pack.full_v", "pack.resistance_ohm"),
    when=("controller",),
    about=("precharge",),
    source="5 % of pack voltage over the pack's resistance; public practitioner report, case B11",
)
def contactor_making(facts: Facts, limit_a: float, full_v: float, resistance_ohm: float) -> Says:
    """The contactor bears the step that is left when it closes at 95 % of pack voltage."""
    step_a = closing_step_a(full_v, resistance_ohm)
    if not above(step_a, limit_a):
        return None
    text = (
        f"Closing at 95 % of {show_volts(full_v)} still makes {show_amps(step_a)}; the contacts make "
        f"{show_amps(limit_a)}."
    )
    return at_most("check", text, step_a, limit_a, "A", exchange("contactor"), act("Wait for 99 % before closing"))


@rule(
    "contactor-coil-voltage",
    "contactor",
    title="Nothing on the bike feeds the contactor's coil",
    levels=("stop",),
    reads=("contactor.coil_v", "dcdc.output_v", "pack.empty_v", "pack.full_v"),
    source="coil voltage within 80 to 120 % of nominal; relay makers' usual limits, from memory",
)
def contactor_coil_voltage(facts: Facts, coil_v: float, output_v: float, empty_v: float, full_v: float) -> Says:
    """The coil works on the DC-DC converter's output, or on the pack from empty to full."""
    low_v, high_v = COIL_LOW * coil_v, COIL_HIGH * coil_v
    on_dcdc = not below(output_v, low_v) and not above(output_v, high_v)
    on_pack = not below(empty_v, low_v) and not above(full_v, high_v)
    if on_dcdc or on_pack:
        return None
    text = (
        f"The coil is for {show_volts(coil_v)}. The DC-DC converter gives {show_volts(output_v)} and the pack "
        f"{show_volts(empty_v)} to {show_volts(full_v)}; neither is within 80 to 120 %."
    )
    return plainly("stop", text, exchange("contactor"), exchange("dcdc"))


@rule(
    "precharge-missing",
    "contactor",
    title="No pre-charge",
    levels=("stop",),
    when=("controller", "cell"),
    about=("precharge", "bms", "contactor"),
    jobs=BUILDS,
    may_read=("bms.has_precharge",),
    source="public practitioner report, cases B11 and B15",
)
def precharge_missing(facts: Facts) -> Says:
    """The controller's capacitors are filled through a resistor, by a pre-charge unit or the battery management."""
    bms = facts.setup.one(Bms)
    if facts.setup.one(Precharge) or (bms and bms.part.has_precharge):
        return None
    if bms and bms.part.has_precharge is None:
        return Lacks("bms", "has_precharge")
    text = (
        "Without pre-charge the empty capacitors draw thousands of amps as the contactor closes: contacts "
        "weld, and the "
        "battery management takes it for a short circuit."
    )
    return plainly("stop", text, exchange("precharge"), exchange("bms"))


@rule(
    "precharge-time",
    "contactor",
    title="Contactor closes before the capacitors are full",
    levels=("stop", "note"),
    reads=("precharge.wait_s", "wiring.precharge_95_s", "wiring.precharge_99_s"),
    about=("controller",),
    source="u = U·(1 − e^(−t/RC)); public practitioner report, case B11: closes at 95 % or more",
)
def precharge_time(facts: Facts, wait_s: float, to_95_s: float, to_99_s: float) -> Says:
    """The pre-charge waits until the capacitors stand at 95 % of pack voltage, better at 99 %."""
    longer = act(f"Set the wait to {show_seconds(to_99_s)} or more")
    if below(wait_s, to_95_s):
        text = (
            f"It waits {show_seconds(wait_s)}; the capacitors need {show_seconds(to_95_s)} to reach 95 % of "
            "pack voltage."
        )
        return at_least("stop", text, wait_s, to_95_s, "s", longer, exchange("precharge"))
    if below(wait_s, to_99_s):
        text = (
            f"It waits {show_seconds(wait_s)}: past 95 %, but 99 % takes {show_seconds(to_99_s)} and spares the "
            "contacts."
        )
        return at_least("note", text, wait_s, to_99_s, "s", longer)
    return None


@rule(
    "precharge-energy",
    "contactor",
    title="Pre-charge resistor cannot take the energy",
    levels=("stop",),
    reads=("precharge.pulse_j", "wiring.precharge_energy_j"),
    about=("controller",),
    source=WATTS_AND_JOULES,
)
def precharge_energy(facts: Facts, pulse_j: float, energy_j: float) -> Says:
    """The resistor bears the energy of one pre-charge, which is what the capacitors store."""
    if not above(energy_j, pulse_j):
        return None
    text = f"Each time the key is turned it takes {energy_j:.1f} J; it bears {pulse_j:.1f} J in a pulse."
    return at_most("stop", text, energy_j, pulse_j, "J", exchange("precharge"))


@rule(
    "precharge-into-short",
    "contactor",
    title="Pre-charge resistor burns if the controller is shorted",
    levels=("check", "note"),
    reads=("precharge.power_w", "wiring.precharge_peak_w"),
    about=("controller",),
    may_read=("precharge.pulse_j", "precharge.wait_s"),
    source="U²/R against the rating, U²/R × wait against the pulse; public practitioner report, case B14",
)
def precharge_into_short(facts: Facts, power_w: float, peak_w: float) -> Says:
    """Pre-charge into a dead controller ends before the resistor burns."""
    if not above(peak_w, power_w):
        return None
    first = act("First power-up: wheel off the ground and turning freely, phases off, then pre-charge")
    gives_up = act("Use a pre-charge that checks the voltage and gives up")
    text = (
        f"Into a shorted controller the resistor takes {show_watts(peak_w)} and is rated {show_watts(power_w)}. If the "
        "voltage has not come up to 95 % in time, pre-charge must end and the contactor stay open."
    )
    item = facts.setup.one(Precharge)
    pulse_j, wait_s = (item.part.pulse_j, item.part.wait_s) if item else (None, None)
    if pulse_j is not None and wait_s is not None and not above(peak_w * wait_s, pulse_j):
        kept = f"{text} Its pulse rating bears one wait of {wait_s:g} s, not a second try at once."
        return at_most("note", kept, peak_w, power_w, "W", gives_up, first)
    return at_most("check", text, peak_w, power_w, "W", exchange("precharge"), gives_up, first)
