"""Top speed and held speed: where the force there is meets the force the road takes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from quoting.ride.efficiency import DriveLine
from quoting.ride.force import PowerLimits, available_forces_n, highest_speed_ms, least
from quoting.ride.road_load import GRAVITY_MS2, FloatArray, RoadLoad

GRID = 400  # speeds looked at; between two of them the crossing is found on a straight line
FASTEST_MS = 400.0 / 3.6  # no motorcycle here goes faster; bounds the search where no limit of motor speed is known
SLOWEST_GRID_MS = 0.25


@dataclass(frozen=True, eq=False)
class SpeedLimit:
    """A highest speed [m/s], what sets it, and the force curve [N] over the speeds [m/s] it was found on."""

    speed_ms: float
    words: str
    speeds_ms: FloatArray
    forces_n: FloatArray

    @property
    def kmh(self) -> float:
        """The speed [km/h]."""
        return self.speed_ms * 3.6

    def force_at_n(self, speed_ms: FloatArray) -> FloatArray:
        """Force there is [N] at speeds [m/s]; 0 beyond the curve."""
        return np.interp(speed_ms, self.speeds_ms, self.forces_n, right=0.0)

    @property
    def most_w(self) -> float:
        """Highest power at the tire at any speed [W]."""
        return float((self.speeds_ms * self.forces_n).max())


def highest_speed(limits: PowerLimits, drive: DriveLine, road: RoadLoad) -> SpeedLimit:
    """Highest speed on the level.

    Parameters: `limits` of the drive; `drive` losses; `road` load. Returns: SpeedLimit; 0 m/s when it cannot move.
    """
    end_ms = min(highest_speed_ms(limits, drive), FASTEST_MS)
    speeds = np.linspace(SLOWEST_GRID_MS, max(end_ms, 2.0 * SLOWEST_GRID_MS), GRID)
    forces, binding = least(available_forces_n(limits, drive, speeds))
    spare = forces - road.force_n(speeds)
    holding = np.flatnonzero(spare >= 0.0)
    usable = np.maximum(forces, 0.0)
    if not len(holding):
        return SpeedLimit(0.0, limits.words[int(binding[0])], speeds, usable)
    last = int(holding[-1])
    if last == GRID - 1:
        words = limits.top_words if limits.top_rad_s / drive.turns_per_m <= FASTEST_MS else limits.words[1]
        return SpeedLimit(float(speeds[last]), words, speeds, usable)
    share = spare[last] / (spare[last] - spare[last + 1])
    speed = float(speeds[last] + share * (speeds[last + 1] - speeds[last]))
    return SpeedLimit(speed, limits.words[int(binding[last + 1])], speeds, usable)


def road_speed_kmh(motor_rpm: float, ratio: float, circumference_m: float) -> float:
    """Road speed [km/h] of a motor speed [rpm] through a ratio [-] and a wheel [m]: rpm / ratio × circumference."""
    return motor_rpm / ratio * circumference_m * 60.0 / 1000.0


def motor_rpm(kmh: float, ratio: float, circumference_m: float) -> float:
    """Motor speed [rpm] at a road speed [km/h]."""
    return kmh * 1000.0 / 60.0 / circumference_m * ratio


def spare_percent(held: SpeedLimit, road: RoadLoad, speed_ms: float) -> float | None:
    """What is left of continuous power at a steady speed on the level [%], the headroom against heat.

    100 × (1 − road load ÷ force held), both at `speed_ms` [m/s]. Below zero the drive heats up there. None where it
    does not reach that speed.
    """
    force_n = float(held.force_at_n(np.array(speed_ms)))
    if force_n <= 0.0:
        return None
    return 100.0 * (1.0 - float(road.force_n(np.array(speed_ms))) / force_n)


def climb_grade_percent(force_n: float, road: RoadLoad, speed_ms: float) -> float:
    """Grade [%] a force at the tire [N] holds at a speed [m/s]; 0 when it does not hold the level.

    m·g·sinθ = F − F_level; the small change of rolling resistance on the slope is left out.
    """
    level_n = float(road.force_n(np.array(speed_ms)))
    sine = (force_n - level_n) / (road.mass_kg * GRAVITY_MS2)
    if sine <= 0.0:
        return 0.0
    return 100.0 * math.tan(math.asin(min(sine, 0.99)))
