"""From pack terminals to tire: what controller, motor and final drive keep for themselves.

Losses of a permanent-magnet motor in three numbers (textbook; best efficiency is where the two halves are equal):
copper loss grows with torque squared, no-load loss with speed. Everything is referred to the wheel, so that one formula
serves hub and mid motors.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from quoting.parts import Motor, rated_speed_rad_s, read_grid, top_speed_rad_s
from quoting.ride.road_load import FloatArray

# What stands in when a data sheet is silent. Common practice, no source; each is shown as assumed.
MOTOR_SHARE = 0.90
CONTROLLER_SHARE = 0.96
CHAIN_SHARE = 0.96
GEAR_SHARE = 0.97
# Part of the slowing that the rear motor may take; the brakes do the rest. Common practice, no source.
REGEN_SHARE = 0.5
REGEN_LEAST_MS = 3.0  # below walking pace controllers give up regeneration. Common practice, no source.


@dataclass(frozen=True)
class DriveLine:
    """Losses between pack and tire, at the wheel.

    `controller_share`, `final_share` efficiencies [0..1]; `motor_share` efficiency of a motor whose losses are not
    spelled out, else 1. `copper_w_n2` copper loss over force squared [W/N2]; no-load loss `idle_n`·v + `idle_kg_s`·v²
    with v in m/s [N, kg/s]. `turns_per_m` motor turns in radians per meter of road [rad/m], 1 when not known.
    """

    controller_share: float
    final_share: float
    motor_share: float = 1.0
    copper_w_n2: float = 0.0
    idle_n: float = 0.0
    idle_kg_s: float = 0.0
    turns_per_m: float = 1.0

    def idle_w(self, speed_ms: FloatArray) -> FloatArray:
        """No-load loss of the motor at road speeds [W]."""
        return speed_ms * (self.idle_n + self.idle_kg_s * speed_ms)

    def drive_w(self, force_n: FloatArray, speed_ms: FloatArray) -> FloatArray:
        """Power at the controller's input [W] to push with forces of 0 N and more at road speeds [m/s]."""
        shaft_w = force_n * speed_ms * (1.0 / (self.final_share * self.motor_share))
        lost_w = force_n * force_n * self.copper_w_n2 + self.idle_w(speed_ms)
        return (shaft_w + lost_w) * (1.0 / self.controller_share)

    def regen_w(self, force_n: FloatArray, speed_ms: FloatArray) -> FloatArray:
        """Power given back at the controller's input [W], 0 or more, when slowing with forces of 0 N and less."""
        held_n = -REGEN_SHARE * force_n
        shaft_w = held_n * speed_ms * (self.final_share * self.motor_share)
        lost_w = held_n * held_n * self.copper_w_n2 + self.idle_w(speed_ms)
        back_w = np.maximum(shaft_w - lost_w, 0.0) * self.controller_share
        return np.where(speed_ms < REGEN_LEAST_MS, 0.0, back_w)

    def net_w(self, forces_n: FloatArray, speed_ms: FloatArray, most_back_w: FloatArray) -> FloatArray:
        """Power at the controller's input [W], shape [cases, n]; below 0 where it is given back.

        Parameters: `forces_n` at the tire [cases, n] [N]; `speed_ms` [n] [m/s]; `most_back_w` [cases, 1] [W].
        """
        push = np.maximum(forces_n, 0.0)
        power = self.drive_w(push, speed_ms)
        power *= forces_n > 0.0
        if most_back_w.any():
            power -= np.minimum(self.regen_w(forces_n - push, speed_ms), most_back_w)
        return power

    def force_at_power_n(self, power_w: float, speed_ms: FloatArray) -> FloatArray:
        """Force at the tire [N] that a power at the controller's input [W] gives at speeds above 0 [m/s].

        The positive root of copper·F² + v·F/η + idle(v) = η_c·P.
        """
        left_w = np.maximum(power_w * self.controller_share - self.idle_w(speed_ms), 0.0)
        slope = speed_ms / (self.final_share * self.motor_share)
        return 2.0 * left_w / (slope + np.sqrt(slope * slope + 4.0 * self.copper_w_n2 * left_w))


def best_share(motor: Motor) -> float | None:
    """Best efficiency of the motor [0..1]: as given, else the best of its grid; None when neither is known."""
    if motor.peak_efficiency is None and motor.efficiency_grid is not None:
        return read_grid(motor.efficiency_grid).best
    return motor.peak_efficiency


def drive_line(
    motor: Motor, controller_share: float, final_share: float, ratio: float | None, circumference_m: float | None
) -> DriveLine:
    """Losses of a drive.

    Parameters: `motor`; `controller_share`, `final_share` efficiencies [0..1]; `ratio` motor turns per wheel turn [-];
    `circumference_m` of the wheel [m]. Returns: DriveLine. Where continuous power, speeds, ratio or wheel are not
    known, the motor's best efficiency stands for all loads.
    """
    best = best_share(motor) or MOTOR_SHARE
    rated, top = rated_speed_rad_s(motor), top_speed_rad_s(motor)
    turns = None if ratio is None or circumference_m is None else 2.0 * math.pi * ratio / circumference_m
    if motor.cont_kw is None or rated is None or top is None or turns is None:
        return DriveLine(controller_share, final_share, motor_share=best, turns_per_m=turns or 1.0)
    cont_w = motor.cont_kw * 1000.0
    copper_w, idle_w = _two_losses(motor, cont_w * (1.0 / best - 1.0), min(rated / top, 1.0))
    rated_nm = cont_w / rated
    return DriveLine(
        controller_share,
        final_share,
        copper_w_n2=copper_w / (rated_nm * turns * final_share) ** 2,
        idle_n=0.5 * idle_w * turns / top,
        idle_kg_s=0.5 * idle_w * (turns / top) ** 2,
        turns_per_m=turns,
    )


def _two_losses(motor: Motor, lost_w: float, rated_share: float) -> tuple[float, float]:
    """Copper loss at continuous power and no-load loss at top speed [W], as given or from the loss at best efficiency.

    `lost_w` is P·(1/η − 1); where neither is given, half of it each at rated speed. No-load loss rises half with speed,
    half with its square (hysteresis and eddy currents, from memory).
    """
    idle_share = 0.5 * rated_share + 0.5 * rated_share**2
    copper_w, idle_w = motor.copper_loss_w, motor.no_load_loss_w
    if copper_w is None and idle_w is None:
        return 0.5 * lost_w, 0.5 * lost_w / idle_share
    if copper_w is None:
        return max(lost_w - (idle_w or 0.0) * idle_share, 0.0), idle_w or 0.0
    if idle_w is None:
        return copper_w, max(lost_w - copper_w, 0.0) / idle_share
    return copper_w, idle_w
