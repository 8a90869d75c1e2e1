"""Weight of the converted bike, whole and by axle."""

from __future__ import annotations

from quoting.weight.axles import AxleLoads, axle_loads, center_behind_front_m
from quoting.weight.figures import weight_figures

__all__ = ["AxleLoads", "axle_loads", "center_behind_front_m", "weight_figures"]
