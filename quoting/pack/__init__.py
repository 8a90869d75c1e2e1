"""The battery pack: what it holds, what it can give, what limits it, how it fits."""

from __future__ import annotations

from quoting.pack.current import ceiling_power_w, current_at_power, currents_at_powers, power_at_current
from quoting.pack.curves import CURVE_SOURCE, open_curve, open_v, open_volts
from quoting.pack.demand import Demand, drive_demand
from quoting.pack.figures import pack_figures
from quoting.pack.packing import hexagonal_count, square_count
from quoting.pack.read import pack_current_a, pack_open_v
from quoting.pack.sag import SOCS, highest_cutoff, worst_point
from quoting.pack.size_workings import size_words
from quoting.pack.sizing import largest_pack, least_parallel, most_parallel, smallest_parallel

__all__ = [
    "CURVE_SOURCE",
    "SOCS",
    "Demand",
    "ceiling_power_w",
    "current_at_power",
    "currents_at_powers",
    "drive_demand",
    "hexagonal_count",
    "highest_cutoff",
    "largest_pack",
    "least_parallel",
    "most_parallel",
    "open_curve",
    "open_v",
    "open_volts",
    "pack_current_a",
    "pack_figures",
    "pack_open_v",
    "power_at_current",
    "size_words",
    "smallest_parallel",
    "square_count",
    "worst_point",
]
