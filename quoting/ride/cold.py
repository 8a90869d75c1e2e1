"""What cold and age do to a pack and to tires. Curves from memory of published cell tests, no single source."""

from __future__ import annotations

import numpy as np

DEGREES_C = (-20.0, -10.0, 0.0, 10.0, 20.0, 30.0)
# Share of the capacity at 20 °C that can be drawn, at about the one- to two-hour current. From memory, no one source.
CAPACITY_SHARES = {
    "nmc": (0.70, 0.82, 0.91, 0.97, 1.00, 1.00),
    "lfp": (0.55, 0.70, 0.84, 0.95, 1.00, 1.00),
    "lead": (0.50, 0.64, 0.78, 0.90, 1.00, 1.05),
}
RESISTANCE_FACTORS = (3.5, 2.4, 1.7, 1.25, 1.0, 0.9)  # against 20 °C; from memory, no single source
# Rolling resistance rises by this share per degree the air is colder. UN R117 corrects measured values so; from memory.
ROLLING_PER_K = 0.008
# A pack at 80 % of its capacity has this much more resistance. From memory: end of life is often 1.5 to 2 times.
AGED_HEALTH = 0.8
AGED_RESISTANCE = 1.5
# Lead-acid capacity is rated over 20 hours; a ride empties it in about one. Peukert's law with exponent 1.2, from
# memory: 20^(1/1.2 − 1) = 0.61.
LEAD_HOUR_SHARE = 0.61
COLD_SOURCE = "capacity and resistance in the cold from memory of published cell tests, no single source"


def capacity_share(chemistry: str | None, air_c: float) -> float:
    """Share of the capacity at 20 degC that can be drawn at a temperature [degC]; nmc where chemistry is not known."""
    return float(np.interp(air_c, DEGREES_C, CAPACITY_SHARES.get(chemistry or "nmc", CAPACITY_SHARES["nmc"])))


def resistance_factor(air_c: float) -> float:
    """Pack resistance at a temperature [degC] over that at 20 degC [-]."""
    return float(np.interp(air_c, DEGREES_C, RESISTANCE_FACTORS))


def rolling_factor(air_c: float, warm_c: float) -> float:
    """Rolling resistance at a temperature over that at another [degC] [-]."""
    return 1.0 + ROLLING_PER_K * (warm_c - air_c)
