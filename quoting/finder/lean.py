"""The engine's figures without their words: what rules and road read of a partial option, thousands of times.

Made of the same functions as quoting.pack.figures and quoting.wiring.figures, which add workings and what is missing;
a test holds the two against each other, field by field.
"""

from __future__ import annotations

from dataclasses import replace

from quoting.pack import SOCS, drive_demand, highest_cutoff, open_v
from quoting.pack.build import build
from quoting.pack.limits import charge_chain, current_chain
from quoting.pack.sag import sag_points
from quoting.pack.unit import plan_of, unit_of, units_on
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
    built = build(setup, unit, plan)
    chain, charge = current_chain(setup, unit, plan.parallel), charge_chain(setup, unit, plan.parallel)
    cont, peak, taken = chain.weakest_cont(), chain.weakest_peak(), charge.weakest_cont()
    cut = highest_cutoff(setup, built.series_cells, built.empty_v)
    return replace(
        bare,
        usable_wh=None if built.energy_wh is None else built.energy_wh * setup.policies.usable_share,
        cont_a=cont.cont_a if cont else None,
        cont_limit=cont.name if cont else None,
        peak_a=peak.peak_a if peak else None,
        peak_limit=peak.name if peak else None,
        charge_a=taken.cont_a if taken else None,
        cut_v=cut.volts if cut else None,
        cut_by=cut.by if cut else None,
        **({"sag": sag_points(drive_demand(setup), _rested(bare), bare.resistance_ohm)} if _can_sag(bare) else {}),  # type: ignore[arg-type]
    )


def _can_sag(pack: PackFigures) -> bool:
    known = None not in (pack.chemistry, pack.full_v, pack.empty_v, pack.resistance_ohm)
    return known and (pack.full_v or 0.0) > (pack.empty_v or 0.0)


def _rested(pack: PackFigures) -> dict[float, float]:
    """Rested voltage by state of charge [V]."""
    series, full_v, empty_v = pack.series, pack.full_v or 0.0, pack.empty_v or 0.0
    groups = pack.series_cells // series if pack.series_cells else None
    return {soc: series * open_v(pack.chemistry or "", full_v / series, empty_v / series, soc, groups) for soc in SOCS}


def lean_wiring(setup: Setup, pack: PackFigures | None, *, precharged: bool) -> WiringFigures | None:
    """Steady currents [A], and with `precharged` all of the engine's wiring figures."""
    if pack is None:
        return None
    if precharged:
        return wiring_figures(setup, pack, None)
    battery, phase = battery_steady(setup, pack, None), phase_steady(setup)
    return WiringFigures(battery_cont_a=battery.amps if battery else None, phase_cont_a=phase.amps if phase else None)
