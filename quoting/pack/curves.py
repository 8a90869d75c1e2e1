"""Open-circuit voltage against state of charge, per chemistry.

Source: the three reference curves are written down from memory of published cell tests, no single source; they are
stretched to the full and empty voltages of the cell's own data sheet. A measured curve of the cell would be better.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

CURVE_SOURCE = "open-circuit curve from memory of published cell tests, stretched to the cell's full and empty voltage"


@dataclass(frozen=True)
class ReferenceCurve:
    """Rested voltage of one cell [V] at rising states of charge [0..1]; first point empty, last point full."""

    socs: tuple[float, ...]
    volts: tuple[float, ...]
    middle_v: float


# From memory, no single source: layered-oxide lithium ion, 4.2 V full, 2.5 V empty, 3.69 V at half charge.
NMC = ReferenceCurve(
    (0.0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0),
    (2.50, 2.95, 3.20, 3.38, 3.51, 3.58, 3.63, 3.69, 3.78, 3.88, 3.98, 4.08, 4.20),
    3.69,
)
# From memory, no single source: iron phosphate, 3.65 V full, 2.5 V empty, flat at 3.30 V.
LFP = ReferenceCurve(
    (0.0, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97, 1.0),
    (2.50, 2.85, 3.05, 3.18, 3.24, 3.27, 3.29, 3.30, 3.31, 3.33, 3.335, 3.345, 3.37, 3.65),
    3.30,
)
# From memory, no single source: lead-acid per 2 V cell, charged to 2.40 V, rests at 2.12 V, 1.75 V empty.
LEAD = ReferenceCurve(
    (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97, 1.0),
    (1.75, 1.88, 1.92, 1.95, 1.97, 1.99, 2.02, 2.04, 2.06, 2.08, 2.10, 2.12, 2.40),
    2.02,
)
CURVES = {"nmc": NMC, "lfp": LFP, "lead": LEAD}


@lru_cache(maxsize=512)
def open_curve(
    chemistry: str, full_v: float, empty_v: float, cells: int | None = None
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The chemistry's curve stretched to a cell's own end voltages.

    Above half charge it is stretched towards `full_v`, below towards `empty_v`; half charge keeps the chemistry's own
    voltage where it lies between the two, else the whole curve is stretched evenly.
    Parameters: `chemistry` nmc, lfp or lead; `full_v`, `empty_v` [V] of the cell, block or pack; `cells` how many
    cells of the chemistry stand in series in it [-], None: worked out of `full_v`.
    Returns: states of charge [0..1], voltages [V], both rising. Raises: KeyError for an unknown chemistry,
    ValueError when `full_v` is not above `empty_v`. Source: CURVE_SOURCE.
    """
    if full_v <= empty_v:
        raise ValueError(f"full voltage {full_v:g} V is not above empty voltage {empty_v:g} V.")
    curve = CURVES[chemistry]
    first_v, last_v = curve.volts[0], curve.volts[-1]
    count = cells or max(1, round(full_v / last_v))
    middle_v = curve.middle_v * count
    if not empty_v < middle_v < full_v:
        middle_v = empty_v + (full_v - empty_v) * (curve.middle_v - first_v) / (last_v - first_v)
    above = (full_v - middle_v) / (last_v - curve.middle_v)
    below = (middle_v - empty_v) / (curve.middle_v - first_v)
    volts = tuple(
        middle_v + (reference - curve.middle_v) * (above if reference > curve.middle_v else below)
        for reference in curve.volts
    )
    return curve.socs, volts


def open_v(chemistry: str, full_v: float, empty_v: float, soc: float, cells: int | None = None) -> float:
    """Rested voltage at a state of charge.

    Parameters: `chemistry` nmc, lfp or lead; `full_v`, `empty_v` [V] of the cell, block or pack; `soc` [0..1], held to
    that span; `cells` in series in it [-]. Returns: voltage [V]. Raises: as open_curve. Source: CURVE_SOURCE.
    """
    socs, volts = open_curve(chemistry, full_v, empty_v, cells)
    if soc <= 0.0:
        return volts[0]
    if soc >= 1.0:
        return volts[-1]
    right = bisect_right(socs, soc)
    left = right - 1
    share = (soc - socs[left]) / (socs[right] - socs[left])
    return volts[left] + share * (volts[right] - volts[left])


def open_volts(chemistry: str, full_v: float, empty_v: float, socs: FloatArray, cells: int | None = None) -> FloatArray:
    """open_v over an array of states of charge [0..1]: array of voltages [V] of the same shape."""
    known_socs, known_volts = open_curve(chemistry, full_v, empty_v, cells)
    return np.interp(socs, known_socs, known_volts)
