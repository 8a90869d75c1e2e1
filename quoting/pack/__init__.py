"""The battery pack: what it holds, what it can give, what limits it, how it fits."""

from __future__ import annotations

from quoting.pack.current import ceiling_power_w, current_at_power, currents_at_powers, power_at_current
from quoting.pack.curves import CURVE_SOURCE, open_curve, open_v, open_volts
from quoting.pack.read import pack_current_a, pack_open_v

__all__ = [
    "CURVE_SOURCE",
    "ceiling_power_w",
    "current_at_power",
    "currents_at_powers",
    "open_curve",
    "open_v",
    "open_volts",
    "pack_current_a",
    "pack_open_v",
    "power_at_current",
]
