"""The currents that run for good: in the battery cable and in the phase cables."""

from __future__ import annotations

import math
from dataclasses import dataclass

from quoting.parts import Controller, Motor
from quoting.result import PackFigures, RideFigures
from quoting.setup import Setup
from quoting.show import show_percent, show_speed

# Loaded speed of a motor at its continuous power over its no-load speed: common practice, no source.
LOADED_SPEED_SHARE = 0.8


@dataclass(frozen=True)
class Steady:
    """A steady current [A], the formula and where it comes from."""

    amps: float
    formula: str
    origin: str


def battery_steady(setup: Setup, pack: PackFigures, ride: RideFigures | None) -> Steady | None:
    """Battery current that runs for good [A].

    The motor's continuous power at the lowest charge looked at; without it, the power of the held speed at nominal
    voltage; without that, the controller's continuous limit. None: none of them is known.
    """
    held = [point for point in pack.sag if point.load == "continuous" and point.current_a is not None]
    if held:
        worst = max(held, key=lambda point: point.current_a or 0.0)
        origin = f"motor's continuous power at {show_percent(worst.soc)} charge"
        return Steady(worst.current_a or 0.0, "I = (U − √(U² − 4·R·W))/(2·R)", origin)
    if ride is not None and ride.held_kmh is not None and ride.band and pack.nominal_v:
        near = min(ride.band, key=lambda point: abs(point.kmh - (ride.held_kmh or 0.0)))
        origin = f"steady {show_speed(near.kmh, setup.units)} at nominal voltage"
        return Steady(near.battery_w / pack.nominal_v, "I = W/U", origin)
    controller = setup.one(Controller)
    if controller is not None and controller.part.battery_cont_a is not None:
        limit_a = controller.part.battery_cont_a * float(controller.line.quantity)
        return Steady(limit_a, "the controller's limit", "controller's continuous battery current")
    return None


def phase_steady(setup: Setup) -> Steady | None:
    """Phase current that runs for good in one motor lead [A], rms.

    The lower of the motor's and the controller's continuous phase current; with neither, torque at continuous power
    over the torque constant, at 0.8 of no-load speed at nominal voltage (assumed). None: none of them is known.
    """
    motor, controller = setup.one(Motor), setup.one(Controller)
    known = [
        (amps, whose)
        for amps, whose in (
            (motor.part.phase_cont_a if motor else None, "motor's continuous phase current"),
            (controller.part.phase_cont_a if controller else None, "controller's continuous phase current"),
        )
        if amps is not None
    ]
    if known:
        amps, whose = min(known)
        return Steady(amps, "the lower of motor and controller", whose)
    if motor is None:
        return None
    part = motor.part
    if not (part.cont_kw and part.kv_rpm_per_v and part.nominal_v and part.torque_nm_per_a):
        return None
    rad_s = part.kv_rpm_per_v * part.nominal_v * LOADED_SPEED_SHARE * 2.0 * math.pi / 60.0
    origin = f"torque at continuous power, at {LOADED_SPEED_SHARE:g} of no-load speed (assumed)"
    return Steady(part.cont_kw * 1000.0 / rad_s / part.torque_nm_per_a, "I = P/(ω·torque constant)", origin)
