"""The engine's figures without their words: what rules and road read of a partial option, thousands of times.

Made of the same functions as quoting.pack.figures and quoting.wiring.figures, which add workings and what is missing;
a test holds the two against each other, field by field.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from quoting.pack import SOCS, drive_demand, highest_cutoff, open_v
from quoting.pack.demand import Demand
from quoting.pack.limits import Link, charge_chain, current_chain
from quoting.pack.sag import CutOff, sag_points
from quoting.pack.unit import PackUnit, plan_of, unit_of, units_on
from quoting.result import PackFigures, WiringFigures
from quoting.rules.fitting import bare_pack
from quoting.setup import Setup
from quoting.wiring import wiring_figures
from quoting.wiring.steady import battery_steady, phase_steady


def lean_pack(setup: Setup) -> PackFigures | None:
    """Voltages [V], energy [Wh], resistance [ohm], limits [A] and sag of the pack, without heat, fit and workings.

    None without cells or a plan. Source: as quoting.pack.pack_figures.
    """
    bare, plan, units = bare_pack(setup), plan_of(setup), units_on(setup)
    if bare is None or plan is None or not units:
        return None
    unit = unit_of(units[0].part, units[0].line.name)
    carried = carried_of(setup, unit, plan.parallel)
    cut = highest_cutoff(setup, bare.series_cells, bare.empty_v)
    return loaded(bare, setup.policies.usable_share, carried, cut, drive_demand(setup), rested_v(bare))


@dataclass(frozen=True)
class Carried:
    """What the chain carries for good and at peak, and what the pack takes when charged [A]; None: not known."""

    cont: Link | None
    peak: Link | None
    charge: Link | None


def carried_of(setup: Setup, unit: PackUnit, parallel: int) -> Carried:
    """The weakest links around `parallel` units [-]."""
    chain = current_chain(setup, unit, parallel)
    return Carried(chain.weakest_cont(), chain.weakest_peak(), charge_chain(setup, unit, parallel).weakest_cont())


def loaded(
    bare: PackFigures,
    usable_share: float,
    carried: Carried,
    cut: CutOff | None,
    demand: Demand,
    rested: Mapping[float, float],
) -> PackFigures:
    """The pack with its limits and under load, put together. Parameters: `rested` as rested_v() gives it."""
    cont, peak, taken = carried.cont, carried.peak, carried.charge
    sag = bare.sag
    if rested and bare.resistance_ohm is not None:
        sag = sag_points(demand, dict(rested), bare.resistance_ohm)
    return replace(
        bare,
        usable_wh=None if bare.energy_wh is None else bare.energy_wh * usable_share,
        cont_a=cont.cont_a if cont else None,
        cont_limit=cont.name if cont else None,
        peak_a=peak.peak_a if peak else None,
        peak_limit=peak.name if peak else None,
        charge_a=taken.cont_a if taken else None,
        cut_v=cut.volts if cut else None,
        cut_by=cut.by if cut else None,
        sag=sag,
    )


def rested_v(pack: PackFigures) -> Mapping[float, float]:
    """Rested voltage by state of charge [V]; empty when a figure it is made of is not known."""
    series, full_v, empty_v = pack.series, pack.full_v or 0.0, pack.empty_v or 0.0
    if pack.chemistry is None or not full_v > empty_v or None in (pack.full_v, pack.empty_v):
        return {}
    groups = pack.series_cells // series if pack.series_cells else None
    return {soc: series * open_v(pack.chemistry, full_v / series, empty_v / series, soc, groups) for soc in SOCS}


def lean_wiring(setup: Setup, pack: PackFigures | None, *, precharged: bool) -> WiringFigures | None:
    """Steady currents [A], and with `precharged` all of the engine's wiring figures."""
    if pack is None:
        return None
    if precharged:
        return wiring_figures(setup, pack, None)
    battery, phase = battery_steady(setup, pack, None), phase_steady(setup)
    return WiringFigures(battery_cont_a=battery.amps if battery else None, phase_cont_a=phase.amps if phase else None)
