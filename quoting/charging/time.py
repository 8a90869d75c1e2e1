"""How long a charge takes: constant current or power, then a taper at the end voltage."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from quoting.pack import open_v, open_volts

# In the taper the slow part of a cell's resistance counts too: twice the 10 s figure. Common practice, no source.
TAPER_RESISTANCE_FACTOR = 2.0
# The charge ends when the current has fallen to this share of capacity an hour: usual for 21700 cells, from memory.
END_SHARE = 0.05
# Charge put in over charge got out: more than 0.99 for lithium ion, 0.85 for lead-acid; from memory.
CHARGE_RETURN = {"lead": 0.85}
STEPS = 200  # slices of the state of charge; doubling them moves the time by less than 0.2 %


def constant_current_h(share: float, capacity_ah: float, current_a: float) -> float:
    """Time [h] for a share of capacity [0..1] at a steady current [A]: share × capacity [Ah] / current."""
    return share * capacity_ah / current_a


def constant_power_h(share: float, energy_wh: float, ac_w: float, efficiency: float) -> float:
    """Time [h] for a share of the energy [0..1] at a steady wall power [W]: energy × share / (power × efficiency)."""
    return share * energy_wh / (ac_w * efficiency)


@dataclass(frozen=True, kw_only=True)
class ChargedPack:
    """What a charge time needs of a pack: curve, end voltages [V], cells in series, capacity [Ah], resistance [ohm]."""

    chemistry: str
    full_v: float
    empty_v: float
    series_cells: int
    capacity_ah: float
    resistance_ohm: float


def charge_h(pack: ChargedPack, start: float, end: float, limit_a: float, limit_w: float) -> float:
    """Time to charge from one state of charge to another.

    The current is the least of the direct-current limit, the charger's power over the pack's voltage, and what the end
    voltage drives through twice the pack's resistance; it never falls under 5 % of capacity, where a full charge ends.
    Parameters: `start`, `end` [0..1]; `limit_a` [A]; `limit_w` charger output [W]. Returns: [h].
    Source: constant current, constant voltage charging of lithium-ion cells; factors as named above.
    """
    edges = np.linspace(start, end, STEPS + 1)
    middle = (edges[:-1] + edges[1:]) / 2.0
    cells = pack.series_cells or None
    rested = open_volts(pack.chemistry, pack.full_v, pack.empty_v, middle, cells)
    ohm = pack.resistance_ohm
    by_power = 2.0 * limit_w / (rested + np.sqrt(np.square(rested) + 4.0 * ohm * limit_w))
    current = np.minimum(limit_a, by_power)
    if ohm > 0.0:
        current = np.minimum(current, (pack.full_v - rested) / (TAPER_RESISTANCE_FACTOR * ohm))
    least_a = min(END_SHARE * pack.capacity_ah, limit_a, limit_w / pack.full_v)
    slice_ah = pack.capacity_ah * (end - start) / STEPS / CHARGE_RETURN.get(pack.chemistry, 1.0)
    return float((slice_ah / np.maximum(current, least_a)).sum())


def current_from_power(pack: ChargedPack, soc: float, limit_w: float) -> float:
    """Charge current [A] that a charger output `limit_w` [W] drives at a state of charge [0..1]: W = (U + I·R)·I."""
    rested_v = open_v(pack.chemistry, pack.full_v, pack.empty_v, soc, pack.series_cells or None)
    return 2.0 * limit_w / (rested_v + math.sqrt(rested_v**2 + 4.0 * pack.resistance_ohm * limit_w))
