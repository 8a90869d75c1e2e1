"""Getting going: steepest start on a hill and the sprint, within grip and before the front wheel lifts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quoting.ride.efficiency import DriveLine
from quoting.ride.force import PowerLimits, available_forces_n, least
from quoting.ride.road_load import GRAVITY_MS2, FloatArray, RoadLoad

# Dry pavement, road tire. From memory of vehicle-dynamics textbooks: 0.7 to 1.0.
GRIP = 0.8
# What is left to move off with on the steepest start [m/s2]: our own choice, about 3 % of grade.
START_ACCEL_MS2 = 0.3
GRADES = np.linspace(0.0, 1.0, 1001)  # rise over run looked at, to 0.1 %
COSINES = 1.0 / np.hypot(1.0, GRADES)
SINES = GRADES * COSINES
SPRINT_GRID = 240


@dataclass(frozen=True)
class Stance:
    """How the mass sits: `wheelbase_m`, `cg_height_m` above the road [m], `rear_share` on the rear axle [0..1]."""

    wheelbase_m: float
    cg_height_m: float
    rear_share: float

    def grip_n(self, mass_kg: float, grip: float = GRIP) -> float:
        """Most force the rear tire passes on the level [N].

        F = μ·N_rear, N_rear = m·g·rear share + F·h/L, hence F = μ·m·g·rear share / (1 − μ·h/L).
        """
        unloaded = 1.0 - grip * self.cg_height_m / self.wheelbase_m
        if unloaded <= 0.0:
            return float("inf")
        return grip * mass_kg * GRAVITY_MS2 * self.rear_share / unloaded

    def wheelie_n(self, mass_kg: float) -> float:
        """Force at which the front wheel lifts [N]: F·h = m·g·b, b = front share × wheelbase before the rear axle."""
        return mass_kg * GRAVITY_MS2 * (1.0 - self.rear_share) * self.wheelbase_m / self.cg_height_m

    def most_n(self, mass_kg: float) -> float:
        """The lesser of grip and wheelie [N]."""
        return min(self.grip_n(mass_kg), self.wheelie_n(mass_kg))


def start_grade_percent(limits: PowerLimits, drive: DriveLine, road: RoadLoad, stance: Stance) -> float:
    """Steepest grade it starts on [%], to 0.1 %, 100 at most; grip and front-wheel limits weigh with cosθ.

    Needed: m·g·(sinθ + Crr·cosθ) + m_eff·START_ACCEL_MS2.
    """
    standing_n = float(least(available_forces_n(limits, drive, np.zeros(1)))[0][0])
    need = road.mass_kg * GRAVITY_MS2 * SINES + road.roll_n * COSINES + road.inertia_kg * START_ACCEL_MS2
    there = np.minimum(standing_n, stance.most_n(road.mass_kg) * COSINES)
    enough = np.flatnonzero(there >= need)
    return float(100.0 * GRADES[enough[-1]]) if len(enough) else 0.0


def sprint_s(limits: PowerLimits, drive: DriveLine, road: RoadLoad, stance: Stance, to_ms: float) -> float | None:
    """Time from standing to a speed [s]; None when it does not get there.

    ∫ m_eff·dv / (F_drive − F_road) by the trapezoid rule, F_drive no more than grip and front wheel allow. The throttle
    is open from the first instant.
    """
    speeds: FloatArray = np.linspace(0.0, to_ms, SPRINT_GRID + 1)
    drive_n = np.minimum(least(available_forces_n(limits, drive, speeds))[0], stance.most_n(road.mass_kg))
    spare = drive_n - road.force_n(speeds)
    if spare.min() <= 0.0:
        return None
    return float(np.trapezoid(road.inertia_kg / spare, speeds))
