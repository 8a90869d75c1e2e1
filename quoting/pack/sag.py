"""The pack under load: loaded voltage and current at three states of charge against the highest cut-off."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.pack.current import current_at_power, power_at_current
from quoting.pack.demand import Demand
from quoting.parts import Bms, Controller
from quoting.result import SagPoint
from quoting.setup import Setup

SOCS = (1.0, 0.5, 0.2)


@dataclass(frozen=True)
class CutOff:
    """The highest of the voltages [V] below which something lets go, and whose it is."""

    volts: float
    by: str


def highest_cutoff(setup: Setup, series_cells: int, empty_v: float | None) -> CutOff | None:
    """Controller low limits, BMS cell cut-off × series, cells' own empty voltage [V]: the highest. None: none known."""
    known: list[CutOff] = []
    for controller in setup.all(Controller):
        known += [CutOff(v, "controller") for v in (controller.part.low_cut_v, controller.part.min_v) if v is not None]
    known += [CutOff(b.part.low_cell_v * series_cells, "BMS") for b in setup.all(Bms) if b.part.low_cell_v is not None]
    if empty_v is not None:
        known.append(CutOff(empty_v, "cells"))
    return max(known, key=lambda item: item.volts, default=None)


def sag_point(load: str, soc: float, rested_v: float, pack_ohm: float, power_w: float, cap_a: float | None) -> SagPoint:
    """One load at one state of charge.

    The controller's battery limit `cap_a` [A] holds the current; the power is then what that current gives.
    Parameters: `load` continuous or peak; `soc` [0..1]; `rested_v` [V]; `pack_ohm` [ohm]; `power_w` wanted [W].
    Returns: SagPoint; its voltage and current None when the pack cannot give the power. `cell_a` is left None.
    """
    current = current_at_power(rested_v, pack_ohm, power_w)
    if cap_a is not None and (current is None or current > cap_a) and rested_v > 2.0 * cap_a * pack_ohm:
        current, power_w = cap_a, power_at_current(rested_v, pack_ohm, cap_a)
    return SagPoint(
        soc=soc,
        load=load,
        power_w=power_w,
        open_v=rested_v,
        loaded_v=None if current is None else rested_v - current * pack_ohm,
        current_a=current,
        cell_a=None,
    )


def sag_points(demand: Demand, rested_v: dict[float, float], pack_ohm: float) -> tuple[SagPoint, ...]:
    """Continuous and peak load at each state of charge in `rested_v` (soc [0..1] to rested voltage [V])."""
    loads = (("continuous", demand.cont_w, demand.cont_cap_a), ("peak", demand.peak_w, demand.peak_cap_a))
    return tuple(
        sag_point(load, soc, volts, pack_ohm, power, cap)
        for load, power, cap in loads
        if power is not None
        for soc, volts in rested_v.items()
    )


def worst_point(points: tuple[SagPoint, ...]) -> SagPoint | None:
    """The point that cannot be given at all, else the one with the lowest loaded voltage."""
    return min(points, key=lambda point: -1.0 if point.loaded_v is None else point.loaded_v, default=None)
