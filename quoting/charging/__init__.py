"""Charging: what the wall gives, what the pack takes, how long it takes."""

from __future__ import annotations

from quoting.charging.figures import charge_figures
from quoting.charging.supply import CONTINUOUS_SHARE, USUAL_CIRCUITS, Circuit, least_breaker_a, pilot_amps
from quoting.charging.time import ChargedPack, charge_h, constant_current_h, constant_power_h

__all__ = [
    "CONTINUOUS_SHARE",
    "USUAL_CIRCUITS",
    "ChargedPack",
    "Circuit",
    "charge_figures",
    "charge_h",
    "constant_current_h",
    "constant_power_h",
    "least_breaker_a",
    "pilot_amps",
]
