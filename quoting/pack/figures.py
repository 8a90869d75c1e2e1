"""All figures of the pack of one option."""

from __future__ import annotations

import math
from dataclasses import replace

from quoting.pack.build import Built, build
from quoting.pack.current import ceiling_power_w, power_at_current
from quoting.pack.curves import open_v
from quoting.pack.demand import Demand, drive_demand
from quoting.pack.fit import PackFit, fit_pack
from quoting.pack.fit_working import fit_working
from quoting.pack.heat import HOT_C, minutes_until, steady_rise_k
from quoting.pack.limits import charge_chain, current_chain
from quoting.pack.sag import SOCS, highest_cutoff, sag_points
from quoting.pack.size_workings import size_workings
from quoting.pack.sizing import least_parallel, most_parallel
from quoting.pack.unit import plan_of, unit_of, units_on
from quoting.pack.workings import built_workings, heat_working, limit_workings, power_workings, sag_working
from quoting.result import PackFigures, SagPoint, Working
from quoting.setup import Setup
from quoting.wiring import short_circuit_a


def pack_figures(setup: Setup) -> PackFigures | None:
    """The pack of an option: what it holds, gives, is limited by, and how it fits.

    Returns: PackFigures with None where a spec is not known, named in `missing`; None when the option has neither
    cells, modules nor a pack plan. Source: Ohm's law, data sheets, and what each Working names.
    """
    units, plan = units_on(setup), plan_of(setup)
    if not units and plan is None:
        return None
    if plan is None or not units or plan.series < 1 or plan.parallel < 1:
        series, parallel = (plan.series, plan.parallel) if plan else (0, 0)
        missing = "cells or modules" if plan and not units else "how many in series and parallel"
        return PackFigures(
            series=series,
            parallel=parallel,
            cells=series * parallel,
            series_cells=0 if units else series,
            missing=(missing,),
        )
    unit = unit_of(units[0].part, units[0].line.name)
    built = build(setup, unit, plan)
    figures = _limited(setup, _basic(setup, built, several=len(units) > 1), built)
    figures = _loaded(setup, figures, built)
    fit = fit_pack(setup, unit, plan)
    return _sized(setup, built, _fitted(figures, fit, fit_working(setup, unit, plan, fit)))


def _fitted(figures: PackFigures, fit: PackFit, workings: list[Working]) -> PackFigures:
    return replace(
        figures,
        fit=fit.fit,
        placed=fit.placed,
        unplaced=fit.unplaced,
        missing=tuple(dict.fromkeys((*figures.missing, *fit.missing))),
        workings=(*figures.workings, *workings),
    )


def _sized(setup: Setup, built: Built, figures: PackFigures) -> PackFigures:
    """Add the smallest pack that carries the drive and the largest that the bays hold."""
    demand = drive_demand(setup)
    figures = replace(
        figures,
        least_parallel=least_parallel(setup, built, demand, figures.cut_v),
        most_parallel=most_parallel(figures),
    )
    return replace(figures, workings=(*figures.workings, *size_workings(setup, built, figures, demand)))


def _basic(setup: Setup, built: Built, *, several: bool) -> PackFigures:
    plan, unit = built.plan, built.unit
    missing = (f"one kind of cell or module: {unit.name} is taken", *built.missing) if several else built.missing
    fault_a = None
    if built.full_v is not None and built.resistance_ohm:
        fault_a = short_circuit_a(built.full_v, built.resistance_ohm)
    return PackFigures(
        series=plan.series,
        parallel=plan.parallel,
        cells=plan.series * plan.parallel,
        series_cells=built.series_cells,
        chemistry=unit.chemistry,
        nominal_v=built.nominal_v,
        full_v=built.full_v,
        empty_v=built.empty_v,
        capacity_ah=built.capacity_ah,
        energy_wh=built.energy_wh,
        usable_wh=None if built.energy_wh is None else built.energy_wh * setup.policies.usable_share,
        resistance_ohm=built.resistance_ohm,
        mass_kg=built.mass_kg,
        short_circuit_a=fault_a,
        missing=missing,
        workings=tuple(built_workings(setup, built)),
    )


def _limited(setup: Setup, figures: PackFigures, built: Built) -> PackFigures:
    """Add the currents of the weakest links and the highest cut-off."""
    chain = current_chain(setup, built.unit, built.plan.parallel)
    charge = charge_chain(setup, built.unit, built.plan.parallel)
    cont, peak, taken = chain.weakest_cont(), chain.weakest_peak(), charge.weakest_cont()
    cut = highest_cutoff(setup, built.series_cells, built.empty_v)
    limited = replace(
        figures,
        cont_a=cont.cont_a if cont else None,
        cont_limit=cont.name if cont else None,
        peak_a=peak.peak_a if peak else None,
        peak_limit=peak.name if peak else None,
        charge_a=taken.cont_a if taken else None,
        charge_limit=taken.name if taken else None,
        cut_v=cut.volts if cut else None,
        cut_by=cut.by if cut else None,
        missing=tuple(dict.fromkeys((*figures.missing, *chain.missing, *charge.missing))),
    )
    return replace(limited, workings=(*limited.workings, *limit_workings(limited, chain, charge)))


def _loaded(setup: Setup, figures: PackFigures, built: Built) -> PackFigures:
    """Add powers, sag and heat, where voltages and resistance are known."""
    unit, pack_ohm = built.unit, built.resistance_ohm
    if unit.chemistry is None or unit.full_v is None or unit.empty_v is None or pack_ohm is None:
        return figures
    if unit.full_v <= unit.empty_v:
        return replace(figures, missing=(*figures.missing, f"{unit.word} full voltage above its empty voltage"))
    rested = {
        soc: built.plan.series * open_v(unit.chemistry, unit.full_v, unit.empty_v, soc, unit.groups or None)
        for soc in SOCS
    }
    half_v = rested[0.5]
    demand = drive_demand(setup)
    sag = tuple(_with_cell_a(point, figures.parallel) for point in sag_points(demand, rested, pack_ohm))
    ceiling_w = ceiling_power_w(half_v, pack_ohm)
    figures = replace(
        figures,
        cont_w=_power(figures.cont_a, half_v, pack_ohm),
        peak_w=_power(figures.peak_a, half_v, pack_ohm),
        ceiling_w=ceiling_w if math.isfinite(ceiling_w) else None,
        sag=sag,
        missing=tuple(dict.fromkeys((*figures.missing, *demand.missing))),
    )
    figures = replace(
        figures, workings=(*figures.workings, *power_workings(figures, half_v), *sag_working(figures, demand))
    )
    return _heated(setup, figures, built.cell_kg, demand)


def _with_cell_a(point: SagPoint, parallel: int) -> SagPoint:
    return point if point.current_a is None else replace(point, cell_a=point.current_a / parallel)


def _power(current_a: float | None, rested_v: float, pack_ohm: float) -> float | None:
    """Power at a current [W], never past the current of the ceiling."""
    if current_a is None:
        return None
    return power_at_current(rested_v, pack_ohm, min(current_a, rested_v / (2.0 * pack_ohm) if pack_ohm else current_a))


def _heated(setup: Setup, figures: PackFigures, cell_kg: float | None, demand: Demand) -> PackFigures:
    """Add the heat at continuous power: the motor's at half charge where known, else the pack's own."""
    held = next((p.current_a for p in figures.sag if p.load == "continuous" and p.soc == 0.5), None)
    current_a = held if held is not None else figures.cont_a
    if current_a is None or cell_kg is None or figures.resistance_ohm is None:
        return figures
    minutes = minutes_until(HOT_C, setup.policies.warm_c, current_a, figures.resistance_ohm, cell_kg)
    figures = replace(
        figures,
        heat_minutes=minutes if math.isfinite(minutes) else None,
        heat_steady_c=setup.policies.warm_c + steady_rise_k(current_a, figures.resistance_ohm, cell_kg),
    )
    return replace(figures, workings=(*figures.workings, *heat_working(setup, figures, current_a, cell_kg)))
