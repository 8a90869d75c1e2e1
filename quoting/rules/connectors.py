"""Connectors in the power path."""

from __future__ import annotations

from quoting.parts import Connector
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, above, at_most
from quoting.rules.ways_out import exchange
from quoting.setup import Fitted
from quoting.show import show_amps

MAKERS_A = "the maker's continuous current"


@rule(
    "connector-current",
    "cables",
    title="Connector too small",
    levels=("stop",),
    reads=("connector.cont_a", "connector.circuit"),
    each="connector",
    may_read=("charger.output_a",),
    source=MAKERS_A,
)
def connector_current(facts: Facts, item: Fitted[Connector], limit_a: float, circuit: str) -> Says:
    """Every connector carries the continuous current of its circuit."""
    if circuit == "low-voltage":
        return None
    found = _current_of(facts, circuit)
    if found is None:
        return None
    if isinstance(found, Lacks):
        return found
    if not above(found, limit_a):
        return None
    text = f"{item.line.name} carries {show_amps(limit_a)}; {show_amps(found)} runs in the {circuit} circuit for good."
    return at_most("stop", text, found, limit_a, "A", exchange("connector"))


def _current_of(facts: Facts, circuit: str) -> float | Lacks | None:
    """Continuous current of a circuit, None where the option has no such circuit yet."""
    subject, field = {
        "battery": ("wiring", "battery_cont_a"),
        "phase": ("wiring", "phase_cont_a"),
        "charge": ("charger", "output_a"),
    }[circuit]
    owner = facts.subject(subject)
    value: float | None = getattr(owner, field, None)
    if owner is None or value is not None:
        return value
    return Lacks(subject, field)


@rule(
    "connector-peak",
    "cables",
    title="Connector gets hot at peak current",
    levels=("check",),
    reads=("controller.battery_peak_a", "connector.peak_a"),
    each="connector",
    where=lambda facts, item: item is not None and getattr(item.part, "circuit", None) == "battery",
    may_read=("connector.circuit",),
    source="the maker's peak current",
)
def connector_peak(facts: Facts, item: Fitted[Connector], one_a: float, limit_a: float) -> Says:
    """Every battery connector bears the controller's peak current."""
    peak_a = one_a * facts.count("controller")
    if not above(peak_a, limit_a):
        return None
    text = f"{item.line.name} bears {show_amps(limit_a)} at peak; the controller may draw {show_amps(peak_a)}."
    return at_most("check", text, peak_a, limit_a, "A", exchange("connector"))
