"""Force there is at the tire at each speed: the least of torque, motor power, battery power and voltage."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from quoting.ride.efficiency import DriveLine
from quoting.ride.road_load import FloatArray

SLOWEST_MS = 0.05  # stands for standing still, so that power over speed stays finite
LEAST_STIFFNESS = 1e-9  # keeps the voltage line finite for a motor and pack without resistance


@dataclass(frozen=True)
class PowerLimits:
    """Limits of one state: peak or continuous, at one state of charge.

    `torque_nm` at the motor [N m]; `shaft_w` motor power [W]; `battery_a` current pack and controller give, finite [A];
    `open_v` rested pack voltage [V], `resistance_ohm` [ohm], `floor_v` lowest loaded voltage [V]; `rad_s_per_v` motor
    speed per volt of the pack, modulation counted in [rad/s/V]; `top_rad_s` highest motor speed [rad/s];
    `auxiliary_w` lamps and the rest [W]. Infinite where there is no such limit. The words name each limit.
    """

    torque_nm: float
    shaft_w: float
    battery_a: float
    open_v: float
    resistance_ohm: float
    floor_v: float
    rad_s_per_v: float
    top_rad_s: float
    auxiliary_w: float
    torque_words: str
    shaft_words: str
    battery_words: str
    floor_words: str = "pack voltage under load"
    voltage_words: str = "motor speed at pack voltage"
    top_words: str = "motor's highest speed"

    @property
    def current_a(self) -> float:
        """Highest battery current [A]: as allowed, or where the loaded voltage meets its floor or half of rest."""
        return min(self.battery_a, self._sagging_a)

    @property
    def _sagging_a(self) -> float:
        if self.resistance_ohm <= 0.0:
            return math.inf
        lowest_v = max(self.floor_v, 0.5 * self.open_v)
        return max(0.0, self.open_v - lowest_v) / self.resistance_ohm

    @property
    def battery_w(self) -> float:
        """Power at the pack's terminals at that current [W]."""
        current = self.current_a
        return (self.open_v - current * self.resistance_ohm) * current

    @property
    def words(self) -> tuple[str, str, str, str]:
        """Names of the four limits, in the order of `available_forces_n`."""
        battery = self.battery_words if self.battery_a <= self._sagging_a else self.floor_words
        return (self.torque_words, self.shaft_words, battery, self.voltage_words)


def available_forces_n(limits: PowerLimits, drive: DriveLine, speed_ms: FloatArray) -> FloatArray:
    """The four limits as forces at the tire [N], shape [4, n]: torque, motor power, battery power, voltage.

    Parameters: `speed_ms` [n] [m/s]. A negative force means the speed is out of reach. The voltage line: at full
    modulation a motor turns as fast as ω = k·(U − I·R) less the droop of its own copper loss per torque, and the
    current is I = T·k (power in = power out), hence T = (k·U' − ω) / (copper + R·k²).
    """
    speed = np.maximum(speed_ms, SLOWEST_MS)
    rows = np.empty((4, len(speed)))
    rows[0] = limits.torque_nm * drive.turns_per_m * drive.final_share
    rows[1] = limits.shaft_w * drive.final_share / speed
    rows[2] = drive.force_at_power_n(limits.battery_w - limits.auxiliary_w, speed)
    rows[3] = _voltage_line_n(limits, drive, speed)
    return rows


def _voltage_line_n(limits: PowerLimits, drive: DriveLine, speed_ms: FloatArray) -> FloatArray | float:
    if math.isinf(limits.rad_s_per_v):
        return math.inf
    idle_a = (drive.idle_w(speed_ms) / drive.controller_share + limits.auxiliary_w) / limits.open_v
    free_rad_s = limits.rad_s_per_v * (limits.open_v - limits.resistance_ohm * idle_a)
    nm_per_n = 1.0 / (drive.turns_per_m * drive.final_share)
    winding = drive.copper_w_n2 / nm_per_n**2
    supply = limits.resistance_ohm * limits.rad_s_per_v**2 / drive.controller_share
    return (free_rad_s - speed_ms * drive.turns_per_m) / (nm_per_n * max(winding + supply, LEAST_STIFFNESS))


def highest_speed_ms(limits: PowerLimits, drive: DriveLine) -> float:
    """Speed no force reaches beyond [m/s]: motor's highest speed, or its free speed at the rested voltage."""
    free_rad_s = limits.rad_s_per_v * limits.open_v
    return min(limits.top_rad_s, free_rad_s) / drive.turns_per_m


def least(rows: FloatArray) -> tuple[FloatArray, npt.NDArray[np.intp]]:
    """The binding force [N] at each speed and which of the rows binds."""
    return rows.min(axis=0), rows.argmin(axis=0)
