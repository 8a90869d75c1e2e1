"""What the current passes through: contactor, fuse, pre-charge, cable, connector, lamps."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts.fields import Part, spec
from quoting.parts.words import CIRCUITS, COOLERS, INTERLOCKS


@dataclass(frozen=True, kw_only=True)
class Contactor(Part):
    """Main switch of the pack."""

    max_v: float | None = spec("Highest DC voltage", "V", low=12, high=1500, help="DC rating; an AC rating counts not.")
    cont_a: float | None = spec("Continuous current", "A", low=1, high=2000, help="Closed, for good.")
    make_a: float | None = spec("Making current", "A", low=1, high=10000, help="It may close on.")
    break_a: float | None = spec(
        "Breaking current at that voltage", "A", low=1, high=10000, help="DC, it can open under load."
    )
    coil_v: float | None = spec("Coil voltage", "V", low=3, high=200, help="Of its supply.")
    coil_w: float | None = spec(
        "Coil load", "W", low=0, high=100, help="Held closed; counts against the DC-DC converter."
    )


@dataclass(frozen=True, kw_only=True)
class Fuse(Part):
    """Protects the cable from the pack."""

    rating_a: float | None = spec("Rating", "A", low=1, high=2000, help="Carries for good.")
    dc_v: float | None = spec("DC voltage", "V", low=12, high=1500, help="DC rating; an AC rating counts not.")
    breaking_a: float | None = spec(
        "Breaking capacity", "A", low=100, high=200000, help="DC; at least full voltage over pack resistance."
    )
    clearing_a2s: float | None = spec("Clearing energy", "A2s", low=1, high=1e9, help="Total I2t at that voltage.")


@dataclass(frozen=True, kw_only=True)
class Precharge(Part):
    """Fills the controller's capacitors gently before the contactor closes."""

    resistance_ohm: float | None = spec("Resistance", "ohm", low=0.5, high=10000, help="Between pack and controller.")
    power_w: float | None = spec("Power rating", "W", low=0.5, high=1000, help="For good.")
    pulse_j: float | None = spec("Pulse energy", "J", low=0.1, high=100000, help="Taken in one go.")
    wait_s: float | None = spec("Waits", "s", low=0.05, high=60, help="Time before the contactor closes.")
    max_v: float | None = spec("Highest voltage", "V", low=12, high=1500, help="Absolute.")


@dataclass(frozen=True, kw_only=True)
class Cable(Part):
    """Sold by the meter. Quantity on a quote is meters of conductor, all conductors together."""

    circuit: str | None = spec("Circuit", choices=CIRCUITS, help="What it feeds.")
    area_mm2: float | None = spec("Section", "mm2", low=0.2, high=240, help="4 AWG may be typed; it is kept as mm2.")
    insulation_c: float | None = spec(
        "Insulation temperature", "degC", low=60, high=250, help="Printed on it: 90, 105, 125, 150."
    )
    max_v: float | None = spec("Highest voltage", "V", low=12, high=2000, help="Of its insulation.")
    ampacity_a: float | None = spec("Maker's continuous current", "A", low=1, high=1000, help="Governs when given.")


@dataclass(frozen=True, kw_only=True)
class Connector(Part):
    """A plug pair in a power circuit."""

    circuit: str | None = spec("Circuit", choices=CIRCUITS, help="What it feeds.")
    max_v: float | None = spec("Highest voltage", "V", low=12, high=1500, help="DC, absolute.")
    cont_a: float | None = spec("Continuous current", "A", low=1, high=1000, help="Each contact, for good.")
    peak_a: float | None = spec("Peak current", "A", low=1, high=3000, help="Each contact, for seconds.")


@dataclass(frozen=True, kw_only=True)
class Lamp(Part):
    """Lamps, horn, heated grips, pump or fan: what hangs on the low-voltage supply."""

    load_w: float | None = spec("Load", "W", low=0, high=1000, help="All of the set, switched on.")
    supply_v: float | None = spec("Supply voltage", "V", low=5, high=60, help="What it is made for: 6 or 12.")
    cools: str | None = spec(
        "Cools the motor by", choices=COOLERS, help="A fan: forced-air. A pump with radiator and hoses: liquid."
    )


@dataclass(frozen=True, kw_only=True)
class Switch(Part):
    """Kill switch, side-stand switch, brake cut-off."""

    interlocks: tuple[str, ...] | None = spec(
        "Gives", choices=INTERLOCKS, help="What it tells the controller or contactor."
    )
