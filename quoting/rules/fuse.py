"""The main fuse: it carries what is wanted, breaks a short circuit, and protects the cable."""

from __future__ import annotations

from quoting.parts import Cable
from quoting.rules.cables import carries, in_circuit, thin_level
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below
from quoting.rules.ways_out import act, exchange
from quoting.setup import Fitted
from quoting.show import show_amps, show_section
from quoting.wiring import FUSE_FACTOR, FUSE_TEN_SECOND_FACTOR, cable_withstand_a2s


@rule(
    "fuse-under-steady-current",
    "fuse",
    title="Fuse too small for the steady current",
    levels=("stop", "check"),
    reads=("fuse.rating_a", "wiring.battery_cont_a"),
    source="fuse makers' application notes: rating at least 1.25 × the continuous current",
)
def fuse_under_steady_current(facts: Facts, rating_a: float, cont_a: float) -> Says:
    """The fuse is rated at least 1.25 times the continuous battery current."""
    limit_a = FUSE_FACTOR * cont_a
    if not below(rating_a, limit_a):
        return None
    level = "stop" if below(rating_a, cont_a) else "check"
    text = (
        f"{show_amps(cont_a)} runs for good; 1.25 × that is {show_amps(limit_a)}, the fuse is "
        f"{show_amps(rating_a)}. It ages and opens on the road."
    )
    return at_least(level, text, rating_a, limit_a, "A", exchange("fuse"))


@rule(
    "fuse-under-peak-current",
    "fuse",
    title="Fuse too small for the peak current",
    levels=("check",),
    reads=("fuse.rating_a", "controller.battery_peak_a"),
    source="2 × rating for 10 s; common practice, no source; the maker's time-current curve governs",
)
def fuse_under_peak_current(facts: Facts, rating_a: float, one_a: float) -> Says:
    """The controller's peak current is at most twice the fuse's rating."""
    peak_a, limit_a = one_a * facts.count("controller"), FUSE_TEN_SECOND_FACTOR * rating_a
    if not above(peak_a, limit_a):
        return None
    text = f"Peaks reach {show_amps(peak_a)}; a {show_amps(rating_a)} fuse bears about {show_amps(limit_a)} for 10 s."
    return at_most(
        "check", text, peak_a, limit_a, "A", exchange("fuse"), act("Set the controller's peak battery current lower")
    )


@rule(
    "fuse-breaking-capacity",
    "fuse",
    title="Fuse cannot break the pack's short circuit",
    levels=("stop",),
    reads=("fuse.breaking_a", "pack.short_circuit_a"),
    source="fuse makers' application notes: breaking capacity at least U_full / R; public practitioner report, "
    "case B17",
)
def fuse_breaking_capacity(facts: Facts, breaking_a: float, short_a: float) -> Says:
    """The fuse breaks the current of a dead short at full voltage."""
    if not below(breaking_a, short_a):
        return None
    text = (
        f"A dead short draws {show_amps(short_a)}; the fuse breaks {show_amps(breaking_a)}. Past that it arcs "
        "and burns."
    )
    return at_least("stop", text, breaking_a, short_a, "A", exchange("fuse"))


@rule(
    "fuse-over-cable",
    "fuse",
    title="Fuse does not protect the battery cable",
    levels=("stop", "check"),
    reads=("fuse.rating_a",),
    each="cable",
    where=in_circuit("battery"),
    may_read=("cable.ampacity_a", "cable.area_mm2", "cable.circuit", "cable.insulation_c"),
    source="a fuse is rated at or under the cable it protects; IEC 60364-4-43 as a yardstick",
)
def fuse_over_cable(facts: Facts, item: Fitted[Cable], rating_a: float) -> Says:
    """The fuse is rated at or under what every battery cable carries for good."""
    carries_a = carries(item)
    if isinstance(carries_a, Lacks):
        return carries_a
    if not above(rating_a, carries_a):
        return None
    text = f"The fuse lets {show_amps(rating_a)} pass for ever; {item.line.name} carries {show_amps(carries_a)}."
    level = thin_level(item, rating_a, carries_a)
    return at_most(level, text, rating_a, carries_a, "A", exchange("cable"), exchange("fuse"))


@rule(
    "fuse-clearing-over-cable",
    "fuse",
    title="Short circuit harms the cable before the fuse clears",
    levels=("stop",),
    reads=("fuse.clearing_a2s", "cable.area_mm2", "cable.insulation_c", "cable.circuit"),
    each="cable",
    where=in_circuit("battery"),
    source="IEC 60364-4-43 434.5.2: I²t at most k²S², k = 115 (PVC) or 143 (cross-linked)",
)
def fuse_clearing_over_cable(
    facts: Facts, item: Fitted[Cable], clearing_a2s: float, area_mm2: float, insulation_c: float, _: str
) -> Says:
    """The fuse's clearing energy is at most what every battery cable bears."""
    whole_mm2 = area_mm2 * max(1, item.line.conductors)
    limit_a2s = cable_withstand_a2s(whole_mm2, insulation_c)
    if not above(clearing_a2s, limit_a2s):
        return None
    section = show_section(whole_mm2, facts.setup.units)
    text = f"The fuse lets {clearing_a2s:,.0f} A²s through; {section} bears {limit_a2s:,.0f} A²s."
    return at_most("stop", text, clearing_a2s, limit_a2s, "A2s", exchange("fuse"), exchange("cable"))
