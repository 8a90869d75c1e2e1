"""What holds the charge current and power back: charger, cells, BMS, plug, cable."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.charging.supply import Circuit
from quoting.parts import Cable, Charger, Connector
from quoting.result import PackFigures
from quoting.setup import Fitted, Setup
from quoting.wiring import legs_of

# On-board chargers convert 0.88 to 0.95 of what they draw; from memory. Stands in when the data sheet says nothing.
ASSUMED_EFFICIENCY = 0.90


@dataclass(frozen=True)
class Limit:
    """One thing that limits: whose, and how much [A] or [W]."""

    name: str
    value: float


@dataclass(frozen=True)
class ChargerFigures:
    """The charger (or several alike): output [W], efficiency [0..1], least of the current limits [A], all of them."""

    output_w: float
    efficiency: float
    efficiency_known: bool
    current_limits: tuple[Limit, ...]

    @property
    def least_a(self) -> Limit:
        return min(self.current_limits, key=lambda limit: limit.value)


def charger_figures(
    setup: Setup, pack: PackFigures, charger: Fitted[Charger]
) -> tuple[ChargerFigures | None, tuple[str, ...]]:
    """The charger against this pack, and what is not known. None when output or charge current is not known."""
    part, count = charger.part, float(charger.line.quantity)
    limits, missing = _current_limits(setup, pack, charger)
    output_w = part.power_w
    if output_w is None and part.output_a is not None and pack.full_v is not None:
        output_w = part.output_a * pack.full_v
    if output_w is None:
        missing.append("charger output power")
    if output_w is None or pack.charge_a is None:
        return None, tuple(missing)
    efficiency = part.efficiency or ASSUMED_EFFICIENCY
    return ChargerFigures(output_w * count, efficiency, part.efficiency is not None, tuple(limits)), tuple(missing)


def _current_limits(setup: Setup, pack: PackFigures, charger: Fitted[Charger]) -> tuple[list[Limit], list[str]]:
    limits, missing = [], []
    if pack.charge_a is None:
        missing.append("charge current of cells and battery management")
    else:
        limits.append(Limit(pack.charge_limit or "pack", pack.charge_a))
    if charger.part.output_a is not None:
        limits.append(Limit("charger output", charger.part.output_a * float(charger.line.quantity)))
    for connector in setup.all(Connector):
        if connector.part.circuit != "charge":
            continue
        if connector.part.cont_a is None:
            missing.append(f"continuous current of {connector.line.name}")
        else:
            limits.append(Limit("charge connector", connector.part.cont_a))
    for leg in legs_of(setup.all(Cable), "charge"):
        missing.extend(leg.missing)
        if leg.ampacity_a is not None:
            limits.append(Limit("charge cable", leg.ampacity_a))
    return limits, missing


def wall_limits(circuit: Circuit, charger: Fitted[Charger], output_w: float, efficiency: float) -> tuple[Limit, ...]:
    """Limits on the power drawn from the wall [W]: circuit × 0.8, charger input, charger output over efficiency."""
    limits = [Limit("wall circuit", circuit.continuous_w)]
    if charger.part.input_a is not None:
        drawn_w = circuit.volts * charger.part.input_a * float(charger.line.quantity)
        limits.append(Limit("charger input", drawn_w))
    limits.append(Limit("charger output", output_w / efficiency))
    return tuple(limits)
