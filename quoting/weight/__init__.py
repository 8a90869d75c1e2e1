"""Weight of the converted bike, whole and by axle."""

from __future__ import annotations

from quoting.weight.axles import AxleLoads, axle_loads, center_behind_front_m
from quoting.weight.figures import weight_figures
from quoting.weight.tires import ServiceDescription, load_index_kg, service_description

__all__ = [
    "AxleLoads",
    "ServiceDescription",
    "axle_loads",
    "center_behind_front_m",
    "load_index_kg",
    "service_description",
    "weight_figures",
]
