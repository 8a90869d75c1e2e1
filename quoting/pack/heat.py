"""How warm the pack gets: heat taken up by the cells, heat given off through the box."""

from __future__ import annotations

import math

# Heat taken up by lithium-ion cells [J/(kg K)]: 900 to 1100 in published cell tests, from memory.
CELL_HEAT_J_PER_KG_K = 1000.0
# Heat given off by a closed, uncooled box [W/K] per kg of cells: common practice, no source.
BOX_W_PER_K_KG = 0.15
# Hottest the pack should get: data sheets of 21700 cells allow discharge to 60 degC; 5 K kept back.
HOT_C = 55.0


def steady_rise_k(current_a: float, resistance_ohm: float, mass_kg: float) -> float:
    """Warming [K] at which the box gives off what the current makes: I²·R over BOX_W_PER_K_KG times cells [kg]."""
    return current_a**2 * resistance_ohm / (mass_kg * BOX_W_PER_K_KG)


def minutes_until(limit_c: float, start_c: float, current_a: float, resistance_ohm: float, mass_kg: float) -> float:
    """Minutes at a current until the cells reach a temperature.

    T(t) = T0 + rise·(1 − e^(−t/τ)), τ = m·c/(W/K). Temperatures [degC], current [A], resistance [ohm], cells [kg].
    Returns: [min]; infinite when the pack settles below the limit. Source: one-lump heat balance.
    """
    if start_c >= limit_c:
        return 0.0
    rise_k = steady_rise_k(current_a, resistance_ohm, mass_kg)
    if rise_k <= limit_c - start_c:
        return math.inf
    tau_s = CELL_HEAT_J_PER_KG_K / BOX_W_PER_K_KG
    return -tau_s * math.log(1.0 - (limit_c - start_c) / rise_k) / 60.0
