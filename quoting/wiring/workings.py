"""How the wiring figures came about, as the shop reads it."""

from __future__ import annotations

from quoting.result import PackFigures, Working
from quoting.setup import Setup
from quoting.show import (
    number,
    show_amps,
    show_ohms,
    show_percent,
    show_seconds,
    show_section,
    show_temperature,
    show_volts,
    show_watts,
)
from quoting.wiring.cable import Leg
from quoting.wiring.conductors import AMBIENT_C, WARM_CONDUCTOR_C
from quoting.wiring.phase import PHASES
from quoting.wiring.protection import DC_OHM_PER_V, FUSE_FACTOR, JOINED_OHM_PER_V, PrechargeTimes
from quoting.wiring.steady import Steady

CABLE_SOURCE = (
    "the maker's current, else NEC 2023 table 310.16 as a yardstick (the code leaves vehicles out); side by side "
    "joined to one section: common practice, no source"
)


def steady_working(figure: str, label: str, steady: Steady) -> Working:
    """A steady current and where it comes from."""
    return Working(
        figure=figure,
        label=label,
        formula=steady.formula,
        inputs=(("from", steady.origin),),
        result=show_amps(steady.amps),
        source="Ohm's law; data sheets",
    )


def ampacity_working(setup: Setup, figure: str, label: str, legs: tuple[Leg, ...], value_a: float) -> Working:
    """What a circuit's cables carry for good."""
    return Working(
        figure=figure,
        label=label,
        formula="current of the joined section × ambient factor; the weakest cable of the circuit",
        inputs=(
            *((leg.name, _leg_text(setup, leg)) for leg in legs),
            ("air around it", f"{show_temperature(AMBIENT_C, setup.units)} (assumed), where the table is used"),
        ),
        result=show_amps(value_a),
        source=CABLE_SOURCE,
    )


def _leg_text(setup: Setup, leg: Leg) -> str:
    return f"{show_section(leg.area_mm2, setup.units)}{_beside(leg)}: {show_amps(leg.ampacity_a)}"


def _beside(leg: Leg) -> str:
    return f", {leg.conductors} side by side" if leg.conductors > 1 else ""


def _left_out(loss_w: float, power_w: float | None) -> tuple[str, str]:
    """What a loss the range does not count comes to, at the power it is worked out for."""
    share = f": {show_percent(loss_w / power_w, 1)} of the power at this current" if power_w else ""
    return ("in the range", f"not counted{share}")


def drop_working(
    setup: Setup, legs: tuple[Leg, ...], current_a: float, drop_v: float, loss_w: float, power_w: float | None
) -> Working:
    """Voltage lost along the battery cables, there and back; `power_w` of the pack at that current [W]."""
    return Working(
        figure="battery_drop_v",
        label="Voltage lost in the battery cables",
        formula="drop = I·R; loss = I²·R",
        inputs=(
            *((leg.name, f"{leg.length_m:.2g} m, {show_ohms(leg.resistance_ohm)}") for leg in legs),
            ("conductor temperature", f"{show_temperature(WARM_CONDUCTOR_C, setup.units)} (assumed)"),
            ("current", show_amps(current_a)),
            _left_out(loss_w, power_w),
        ),
        result=f"{show_volts(drop_v)}, {show_watts(loss_w)}",
        source="IEC 60228 class 5 and IEC 60028",
    )


def phase_drop_working(
    setup: Setup,
    legs: tuple[Leg, ...],
    run: tuple[float, float, float],
    drop_v: float,
    loss_w: float,
    power_w: float | None,
) -> Working:
    """Voltage lost in the phase cables; `run` is current [A], resistance of one phase [ohm], and motors."""
    current_a, run_ohm, motors = run
    return Working(
        figure="phase_drop_v",
        label="Voltage lost in the phase cables",
        formula="between two phases = √3·I·R of one phase; loss = 3·I²·R, all motors",
        inputs=(
            *((leg.name, f"{leg.length_m / (PHASES * motors):.2g} m a phase{_beside(leg)}") for leg in legs),
            ("resistance of one phase", show_ohms(run_ohm)),
            ("conductor temperature", f"{show_temperature(WARM_CONDUCTOR_C, setup.units)} (assumed)"),
            ("phase current, rms", show_amps(current_a)),
            _left_out(loss_w, power_w),
        ),
        result=f"{show_volts(drop_v)}, {show_watts(loss_w)}",
        source="IEC 60364-5-52 annex G, resistance alone; IEC 60228 class 5 and IEC 60028",
    )


def fuse_working(steady_a: float, least_a: float, standard_a: float | None) -> Working:
    """The smallest fuse for the steady current."""
    return Working(
        figure="fuse_standard_a",
        label="Main fuse, smallest",
        formula=f"{FUSE_FACTOR:g} × steady current, rounded up to a standard rating",
        inputs=(("steady current", show_amps(steady_a)), (f"{FUSE_FACTOR:g} times it", show_amps(least_a))),
        result=show_amps(standard_a),
        source="fuse makers' application notes; NEC 240.6(A) ratings from memory",
    )


def precharge_working(pack: PackFigures, resistance_ohm: float, capacitance_f: float, times: PrechargeTimes) -> Working:
    """Filling the controller's capacitors."""
    return Working(
        figure="precharge_95_s",
        label="Pre-charge to 95 % and 99 %",
        formula="t = −ln(1 − share)·R·C; energy = ½·C·U²; peak = U²/R",
        inputs=(
            ("full voltage", show_volts(pack.full_v)),
            ("resistor", show_ohms(resistance_ohm)),
            ("controller's capacitors", f"{number(capacitance_f * 1e6)} µF"),
            ("energy in the resistor", f"{times.energy_j:.3g} J"),
            ("peak power", show_watts(times.peak_w)),
        ),
        result=f"{show_seconds(times.to_95_s)} and {show_seconds(times.to_99_s)}",
        source="first-order RC circuit",
    )


def insulation_working(full_v: float, joined_ohm: float, dc_ohm: float) -> Working:
    """Least insulation resistance between pack and frame."""
    return Working(
        figure="insulation_ohm",
        label="Insulation resistance, least",
        formula=f"full voltage × {JOINED_OHM_PER_V:g} Ω/V, DC and AC joined; × {DC_OHM_PER_V:g} Ω/V for DC alone",
        inputs=(("full voltage", show_volts(full_v)), ("DC alone", show_ohms(dc_ohm))),
        result=show_ohms(joined_ohm),
        source="UN Regulation No. 100, 5.1.3; a motor drive joins DC and AC",
    )
