"""Cables in the power path."""

from __future__ import annotations

from collections.abc import Callable

from quoting.parts import Cable
from quoting.rules.facts import Facts
from quoting.rules.registry import Applies, rule
from quoting.rules.said import Lacks, Says, above, at_most, plainly
from quoting.rules.ways_out import act, exchange, exchange_of
from quoting.setup import Fitted
from quoting.show import show_amps, show_percent, show_section, show_volts
from quoting.wiring import TEN_SECOND_ALLOWANCE, leg_of, phase_voltage_v

DROP_SHARE = 0.03  # NEC 210.19(A) informational note, from memory: 3 %; advice for buildings, a yardstick here
AMPACITY = (
    "the cable maker's figure, else NEC 2023 table 310.16, a check, and 310.17, a stop, as yardsticks (the "
    "code leaves vehicles out)"
)
SAME_SECTION = 0.01  # two neighboring gauges differ by 26 %; within 1 % it is one section


# NEC table 310.17 (one conductor in free air) over 310.16 (three in a sleeve), 90 degC: 4 AWG 140/95, 1/0 260/170. From
# memory; a motorcycle's battery cable lies between the two.
FREE_AIR = 1.5


def with_cable(circuit: str) -> Applies:
    """Where a cable of that circuit is on the option."""
    return lambda facts, item: any(cable.part.circuit == circuit for cable in facts.setup.all(Cable))


def cable_of(circuit: str) -> Callable[[Facts], Fitted[Cable] | None]:
    """The first cable of that circuit."""
    return lambda facts: next((item for item in facts.setup.all(Cable) if item.part.circuit == circuit), None)


def in_circuit(circuit: str) -> Applies:
    """For the cables of that circuit, and for those that do not say theirs: `carries` then asks."""
    return lambda facts, item: item is not None and getattr(item.part, "circuit", None) in (circuit, None)


def carries(item: Fitted[Cable]) -> float | Lacks:
    """What the cable carries for good, all its conductors together [A]; Lacks what it cannot be judged without."""
    if item.part.circuit is None:
        return Lacks("cable", "circuit", item)
    found = leg_of(item).ampacity_a
    if found is not None:
        return found
    return Lacks("cable", "area_mm2" if item.part.area_mm2 is None else "insulation_c", item)


def thin_level(item: Fitted[Cable], wanted_a: float, carries_a: float) -> str:
    """stop past the maker's figure; by the table alone, check up to its free-air value and stop past that."""
    by_table = item.part.ampacity_a is None
    return "check" if by_table and not above(wanted_a, FREE_AIR * carries_a) else "stop"


def _thin(item: Fitted[Cable], cont_a: float, whose: str) -> Says:
    carries_a = carries(item)
    if isinstance(carries_a, Lacks):
        return carries_a
    if not above(cont_a, carries_a):
        return None
    by = "by its maker" if item.part.ampacity_a is not None else "by the table for cable in a sleeve"
    text = (
        f"{show_amps(cont_a)} of {whose} current runs through {item.line.name} for good; {by} it carries "
        f"{show_amps(carries_a)}."
    )
    second = act("Run a second conductor beside it")
    return at_most(thin_level(item, cont_a, carries_a), text, cont_a, carries_a, "A", exchange("cable"), second)


@rule(
    "battery-cable-current",
    "cables",
    title="Battery cable too thin",
    levels=("stop", "check"),
    reads=("wiring.battery_cont_a",),
    each="cable",
    where=in_circuit("battery"),
    may_read=("cable.ampacity_a", "cable.area_mm2", "cable.circuit", "cable.insulation_c"),
    source=AMPACITY,
)
def battery_cable_current(facts: Facts, item: Fitted[Cable], cont_a: float) -> Says:
    """Every battery cable carries the continuous battery current for good."""
    return _thin(item, cont_a, "battery")


@rule(
    "phase-cable-current",
    "cables",
    title="Phase cable too thin",
    levels=("stop", "check"),
    reads=("wiring.phase_cont_a",),
    each="cable",
    where=in_circuit("phase"),
    may_read=("cable.ampacity_a", "cable.area_mm2", "cable.circuit", "cable.insulation_c"),
    source=f"{AMPACITY}; public practitioner report, case B32: by phase current, not battery current",
)
def phase_cable_current(facts: Facts, item: Fitted[Cable], cont_a: float) -> Says:
    """Every phase cable carries the continuous phase current for good."""
    return _thin(item, cont_a, "phase")


@rule(
    "charge-cable-current",
    "cables",
    title="Charge cable too thin",
    levels=("stop", "check"),
    reads=("charger.output_a",),
    each="cable",
    where=in_circuit("charge"),
    may_read=("cable.ampacity_a", "cable.area_mm2", "cable.circuit", "cable.insulation_c"),
    source=AMPACITY,
)
def charge_cable_current(facts: Facts, item: Fitted[Cable], output_a: float) -> Says:
    """Every charge cable carries the charger's output for good."""
    return _thin(item, output_a * facts.count("charger"), "charge")


@rule(
    "battery-cable-peak",
    "cables",
    title="Battery cable gets hot at peak current",
    levels=("check",),
    reads=("controller.battery_peak_a",),
    each="cable",
    where=in_circuit("battery"),
    may_read=("cable.ampacity_a", "cable.area_mm2", "cable.circuit", "cable.insulation_c"),
    source="1.5 × continuous for 10 s; common practice, no source",
)
def battery_cable_peak(facts: Facts, item: Fitted[Cable], one_a: float) -> Says:
    """The controller's peak current is at most 1.5 times what the battery cable carries for good."""
    carries_a = carries(item)
    if isinstance(carries_a, Lacks):
        return carries_a
    peak_a, limit_a = one_a * facts.count("controller"), TEN_SECOND_ALLOWANCE * carries_a
    if item.part.ampacity_a is None:
        limit_a *= FREE_AIR
    if not above(peak_a, limit_a):
        return None
    text = f"Peaks of {show_amps(peak_a)} run through {item.line.name}; it bears {show_amps(limit_a)} for 10 s."
    return at_most("check", text, peak_a, limit_a, "A", exchange("cable"))


@rule(
    "battery-cable-drop",
    "cables",
    title="Battery cable loses too much voltage",
    levels=("check",),
    reads=("wiring.battery_drop_v", "pack.nominal_v"),
    where=with_cable("battery"),
    about=("cable",),
    may_read=("cable.circuit",),
    source="NEC 210.19(A) informational note, from memory: 3 %",
)
def battery_cable_drop(facts: Facts, drop_v: float, nominal_v: float) -> Says:
    """The battery cable drops at most 3 % of the nominal voltage at continuous current."""
    limit_v = DROP_SHARE * nominal_v
    if not above(drop_v, limit_v):
        return None
    text = (
        f"It drops {show_volts(drop_v)}, {show_percent(drop_v / nominal_v, 1)} of {show_volts(nominal_v)}; 3 % "
        "is the most."
    )
    thicker = exchange_of("cable", cable_of("battery"))
    return at_most("check", text, drop_v, limit_v, "V", act("Shorten the run"), thicker)


@rule(
    "phase-cable-drop",
    "cables",
    title="Phase cable loses too much voltage",
    levels=("check",),
    reads=("wiring.phase_drop_v", "pack.nominal_v", "controller.modulation"),
    where=with_cable("phase"),
    about=("cable",),
    may_read=("cable.circuit",),
    source="drop √3·I·R, IEC 60364-5-52 annex G; 3 % as for the battery cable, NEC 210.19(A) informational note, from "
    "memory",
)
def phase_cable_drop(facts: Facts, drop_v: float, nominal_v: float, modulation: float) -> Says:
    """At continuous current the phase cables drop at most 3 % of the voltage between two phases at full voltage use."""
    motor_v = phase_voltage_v(nominal_v, modulation)
    limit_v = DROP_SHARE * motor_v
    if not above(drop_v, limit_v):
        return None
    text = (
        f"It drops {show_volts(drop_v)} between two phases, {show_percent(drop_v / motor_v, 1)} of the "
        f"{show_volts(motor_v)} the motor gets at full voltage use; 3 % is the most."
    )
    second, thicker = act("Run a second conductor beside each phase"), exchange_of("cable", cable_of("phase"))
    return at_most("check", text, drop_v, limit_v, "V", act("Shorten the run"), second, thicker)


@rule(
    "cable-sections-differ",
    "cables",
    title="Cables of one circuit differ in section",
    levels=("check",),
    reads=("cable.area_mm2",),
    about=("cable",),
    may_read=("cable.circuit",),
    source="NEC 310.10(G) on parallel conductors, a yardstick here: same length, material, section and termination",
)
def cable_sections_differ(facts: Facts, first_mm2: float) -> Says:
    """All battery cables have one section, and all phase cables have one section."""
    for circuit in ("battery", "phase"):
        areas = [
            cable.part.area_mm2
            for cable in facts.setup.all(Cable)
            if cable.part.circuit == circuit and cable.part.area_mm2 is not None
        ]
        if len(areas) > 1 and above(max(areas), min(areas) * (1 + SAME_SECTION)):
            thin, thick = (show_section(area, facts.setup.units) for area in (min(areas), max(areas)))
            text = (
                f"The {circuit} circuit has {thin} and {thick}. One after the other, the thin one decides; side "
                "by side, "
                "they do not share the current evenly."
            )
            return plainly("check", text, act(f"Use {thick} throughout"))
    return None


@rule(
    "parallel-cable-outlives-fuse",
    "cables",
    title="One of the parallel conductors is not protected alone",
    levels=("note",),
    reads=("fuse.rating_a",),
    each="cable",
    where=lambda facts, item: in_circuit("battery")(facts, item) and item is not None and item.line.conductors > 1,
    may_read=("cable.ampacity_a", "cable.area_mm2", "cable.circuit", "cable.insulation_c"),
    source="common practice, no source: if one conductor opens the other carries everything",
)
def parallel_cable_outlives_fuse(facts: Facts, item: Fitted[Cable], rating_a: float) -> Says:
    """With conductors side by side, one of them alone bears the fuse's rating."""
    count, carries_a = item.line.conductors, carries(item)
    if isinstance(carries_a, Lacks):
        return carries_a
    limit_a = carries_a / count
    if not above(rating_a, limit_a):
        return None
    text = (
        f"If one of {count} conductors opens, the others carry all behind a {show_amps(rating_a)} fuse; each is "
        f"good for about {show_amps(limit_a)}."
    )
    return at_most("note", text, rating_a, limit_a, "A", act("Fuse each conductor, or check every lug at service"))
