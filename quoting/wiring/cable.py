"""Cable lines of a quote as electrical legs: section, length, resistance, current carried."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quoting.parts import Cable
from quoting.setup import Fitted
from quoting.wiring.conductors import AMBIENT_C, WARM_CONDUCTOR_C, ampacity_a, ohm_per_m


@dataclass(frozen=True)
class Leg:
    """One cable line: `conductors` side by side, `area_mm2` of them all [mm2], `length_m` there and back [m].

    `ampacity_a` [A] of them all, `resistance_ohm` [ohm] warm, there and back; None: not known, see `missing`.
    """

    name: str
    conductors: int
    area_mm2: float | None
    length_m: float
    ampacity_a: float | None
    resistance_ohm: float | None
    missing: tuple[str, ...]


def leg_of(cable: Fitted[Cable]) -> Leg:
    """One cable line as a leg. The maker's current goes before the table; side by side it grows as the table's does."""
    part, line = cable.part, cable.line
    conductors = max(1, line.conductors)
    length_m = float(line.quantity) / conductors
    if part.area_mm2 is None:
        amps = carried_a(part, conductors)
        return Leg(line.name, conductors, None, length_m, amps, None, (f"section of {line.name}",))
    resistance = ohm_per_m(part.area_mm2, WARM_CONDUCTOR_C) * length_m / conductors
    amps = carried_a(part, conductors)
    missing = () if amps is not None else (f"insulation temperature or maker's current of {line.name}",)
    return Leg(line.name, conductors, part.area_mm2 * conductors, length_m, amps, resistance, missing)


def carried_a(part: Cable, conductors: int) -> float | None:
    """Current [A] the cable carries for good with `conductors` [-] side by side; None when not known.

    Source: the maker's figure, else NEC 2023 table 310.16 at AMBIENT_C.
    """
    if part.area_mm2 is None:
        return part.ampacity_a if conductors == 1 else None
    if part.ampacity_a is None:
        return ampacity_a(part.area_mm2, part.insulation_c, AMBIENT_C, conductors) if part.insulation_c else None
    one = ampacity_a(part.area_mm2, part.insulation_c or 90.0, 30.0)
    joined = ampacity_a(part.area_mm2, part.insulation_c or 90.0, 30.0, conductors)
    return part.ampacity_a * joined / one if one and joined else part.ampacity_a


def legs_of(cables: Iterable[Fitted[Cable]], circuit: str) -> tuple[Leg, ...]:
    """The legs of one circuit: battery, phase, charge or low-voltage. Lines of a circuit follow one another."""
    return tuple(leg_of(cable) for cable in cables if cable.part.circuit == circuit)
