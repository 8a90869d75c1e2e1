"""All wiring figures of one option."""

from __future__ import annotations

from dataclasses import replace

from quoting.parts import Bms, Cable, Controller, Motor, Precharge
from quoting.result import PackFigures, RideFigures, WiringFigures, Working
from quoting.setup import Setup
from quoting.wiring.cable import Leg, leg_of, legs_of
from quoting.wiring.conductors import ampacity_a
from quoting.wiring.joints import with_joints
from quoting.wiring.phase import phase_drop_v, phase_loss_w, phase_run_ohm
from quoting.wiring.protection import (
    DC_OHM_PER_V,
    fuse_least_a,
    least_insulation_ohm,
    precharge_times,
    standard_fuse_a,
)
from quoting.wiring.steady import battery_steady, phase_steady
from quoting.wiring.workings import (
    ampacity_working,
    drop_working,
    fuse_working,
    insulation_working,
    phase_drop_working,
    precharge_working,
    steady_working,
)


def wiring_figures(setup: Setup, pack: PackFigures | None, ride: RideFigures | None) -> WiringFigures | None:
    """Cables, fuse, pre-charge, insulation, contactor, connectors and converter of an option.

    Parameters: `pack` its pack figures, `ride` its ride figures (read when the motor's power is not known).
    Returns: WiringFigures with None where a spec is not known, named in `missing`; None without a pack.
    Source: NEC 2023 tables as a yardstick, IEC 60228, UN R100 and what each Working names.
    """
    if pack is None:
        return None
    figures = WiringFigures(
        short_circuit_a=pack.short_circuit_a,
        missing=() if pack.short_circuit_a is not None else ("pack full voltage and resistance",),
    )
    figures = _battery(setup, pack, ride, figures)
    figures = _phase(setup, pack, figures)
    figures = _precharge(setup, pack, figures)
    figures = _insulation(pack, figures)
    return with_joints(setup, pack, figures)


def _with(figures: WiringFigures, missing: tuple[str, ...], workings: list[Working]) -> WiringFigures:
    return replace(
        figures,
        missing=tuple(dict.fromkeys((*figures.missing, *missing))),
        workings=(*figures.workings, *workings),
    )


def _least(values: list[float | None]) -> float | None:
    """The least of some figures; None when there is none or one of them is not known."""
    known = [value for value in values if value is not None]
    return min(known) if known and len(known) == len(values) else None


def _battery(setup: Setup, pack: PackFigures, ride: RideFigures | None, figures: WiringFigures) -> WiringFigures:
    legs = legs_of(setup.all(Cable), "battery")
    steady = battery_steady(setup, pack, ride)
    missing = [name for leg in legs for name in leg.missing]
    if not legs:
        missing.append("battery cable")
    if steady is None:
        missing.append("motor continuous power or controller continuous battery current")
    figures = replace(
        figures,
        battery_ampacity_a=_least([leg.ampacity_a for leg in legs]),
        battery_area_mm2=_least([leg.area_mm2 for leg in legs]),
        battery_cont_a=None if steady is None else steady.amps,
    )
    workings = []
    if steady is not None:
        workings.append(steady_working("battery_cont_a", "Battery current, steady", steady))
        least_a = fuse_least_a(steady.amps)
        figures = replace(figures, fuse_least_a=least_a, fuse_standard_a=standard_fuse_a(least_a))
        workings.append(fuse_working(steady.amps, least_a, figures.fuse_standard_a))
    if figures.battery_ampacity_a is not None:
        label = "Battery cable carries"
        workings.append(ampacity_working(setup, "battery_ampacity_a", label, legs, figures.battery_ampacity_a))
    loop_ohm = _sum([leg.resistance_ohm for leg in legs])
    if steady is not None and loop_ohm is not None:
        drop_v, loss_w = steady.amps * loop_ohm, steady.amps**2 * loop_ohm
        figures = replace(figures, battery_drop_v=drop_v, battery_loss_w=loss_w)
        power_w = pack.nominal_v and pack.nominal_v * steady.amps
        workings.append(drop_working(setup, legs, steady.amps, drop_v, loss_w, power_w))
    return _with(figures, tuple(missing), workings)


def _sum(values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return sum(known) if known and len(known) == len(values) else None


def _phase(setup: Setup, pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    cables = [cable for cable in setup.all(Cable) if cable.part.circuit == "phase"]
    legs = [leg_of(cable) for cable in cables]
    motor, steady = setup.one(Motor), phase_steady(setup)
    if cables and motor is not None and motor.part.phase_lead_mm2 is not None and motor.part.phase_cont_a is None:
        legs.append(_motor_lead(motor.part.phase_lead_mm2, cables[0].part))
    missing = [name for leg in legs for name in leg.missing]
    if motor is not None and not cables:
        missing.append("phase cable")
    if motor is not None and steady is None:
        missing.append("continuous phase current of motor or controller")
    figures = replace(
        figures,
        phase_ampacity_a=_least([leg.ampacity_a for leg in legs]),
        phase_area_mm2=_least([leg.area_mm2 for leg in legs]),
        phase_cont_a=None if steady is None else steady.amps,
    )
    workings = []
    if steady is not None:
        workings.append(steady_working("phase_cont_a", "Phase current, steady", steady))
    if figures.phase_ampacity_a is not None:
        label = "Phase cable carries"
        workings.append(ampacity_working(setup, "phase_ampacity_a", label, tuple(legs), figures.phase_ampacity_a))
    figures = _with(figures, tuple(missing), workings)
    return _phase_drop(setup, pack, tuple(leg_of(cable) for cable in cables), figures)


def _phase_drop(setup: Setup, pack: PackFigures, legs: tuple[Leg, ...], figures: WiringFigures) -> WiringFigures:
    """With what the phase cables lose; the motor's own leads are counted with the motor."""
    motor, current_a = setup.one(Motor), figures.phase_cont_a
    summed_ohm = _sum([leg.resistance_ohm for leg in legs])
    if motor is None or current_a is None or summed_ohm is None:
        return figures
    motors = float(motor.line.quantity)
    run_ohm = phase_run_ohm(summed_ohm, motors)
    drop_v, loss_w = phase_drop_v(current_a, run_ohm), motors * phase_loss_w(current_a, run_ohm)
    power_w = pack.nominal_v and figures.battery_cont_a and pack.nominal_v * figures.battery_cont_a
    working = phase_drop_working(setup, legs, (current_a, run_ohm, motors), drop_v, loss_w, power_w)
    return _with(replace(figures, phase_drop_v=drop_v, phase_loss_w=loss_w), (), [working])


def _motor_lead(area_mm2: float, cable: Cable) -> Leg:
    """The motor's own lead, often the narrowest (public practitioner report, case B32), its insulation as the cable's.

    Only looked at when the motor states no continuous phase current: the maker's figure covers the leads.
    """
    insulation_c = cable.insulation_c or 90.0
    amps = ampacity_a(area_mm2, insulation_c)
    missing = () if amps is not None else ("current of the motor's leads",)
    return Leg("motor leads, insulation as the cable's (assumed)", 1, area_mm2, 0.0, amps, None, missing)


def _precharge(setup: Setup, pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    precharge, controller = setup.one(Precharge), setup.one(Controller)
    has_own = any(bms.part.has_precharge for bms in setup.all(Bms))
    if precharge is None:
        named = "resistance of the battery management's pre-charge" if has_own else "pre-charge"
        return _with(figures, (named,), [])
    capacitance_uf = controller.part.capacitance_uf if controller else None
    resistance_ohm = precharge.part.resistance_ohm
    missing = tuple(
        name
        for name, value in (
            ("controller input capacitance", capacitance_uf),
            ("pre-charge resistance", resistance_ohm),
            ("pack full voltage", pack.full_v),
        )
        if value is None
    )
    if controller is None or capacitance_uf is None or resistance_ohm is None or pack.full_v is None:
        return _with(figures, missing, [])
    capacitance_f = capacitance_uf * 1e-6 * float(controller.line.quantity)
    times = precharge_times(pack.full_v, resistance_ohm, capacitance_f)
    figures = replace(
        figures,
        precharge_95_s=times.to_95_s,
        precharge_99_s=times.to_99_s,
        precharge_energy_j=times.energy_j,
        precharge_peak_w=times.peak_w,
    )
    return _with(figures, (), [precharge_working(pack, resistance_ohm, capacitance_f, times)])


def _insulation(pack: PackFigures, figures: WiringFigures) -> WiringFigures:
    if pack.full_v is None:
        return _with(figures, ("pack full voltage",), [])
    joined_ohm = least_insulation_ohm(pack.full_v)
    dc_ohm = least_insulation_ohm(pack.full_v, DC_OHM_PER_V)
    figures = replace(figures, insulation_ohm=joined_ohm)
    return _with(figures, (), [insulation_working(pack.full_v, joined_ohm, dc_ohm)])
