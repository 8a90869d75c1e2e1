"""On the road: range, speed, hills, sprint, trips."""

from __future__ import annotations

from quoting.ride.figures import ride_figures
from quoting.ride.standard import StandardRanges, StandardRow, standard_ranges, standard_rows
from quoting.ride.tires import TireSize, circumference_m, tire_size
from quoting.ride.trip import TripFigures, trip

__all__ = [
    "StandardRanges",
    "StandardRow",
    "TireSize",
    "TripFigures",
    "circumference_m",
    "ride_figures",
    "standard_ranges",
    "standard_rows",
    "tire_size",
    "trip",
]
