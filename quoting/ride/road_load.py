"""What the road takes: rolling, drag, slope, acceleration.

F = m·g·Crr·cosθ + ½·ρ·CdA·v² + m·g·sinθ + m_eff·a (textbook longitudinal dynamics). Checked in tests/published against
the motorcycle road-load table of 40 CFR 86.529-98.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]

GRAVITY_MS2 = 9.80665  # standard gravity, exact: NIST SP 811
PRESSURE_PA = 101_325.0  # standard atmosphere, exact: NIST SP 811
DRY_AIR_J_KGK = 287.05  # gas constant of dry air: ISO 2533 standard atmosphere (287.05287)
KELVIN_AT_0_C = 273.15  # exact
# Wheels, tires and rotor turn as well as move: they act as this share more mass. From memory: 3 to 5 % on motorcycles.
ROTATING_SHARE = 0.04


def air_density_kg_m3(air_c: float, pressure_pa: float = PRESSURE_PA) -> float:
    """Density of dry air [kg/m3] at a temperature [degC] and pressure [Pa]: p / (R·T). Source: ideal gas law."""
    return pressure_pa / (DRY_AIR_J_KGK * (air_c + KELVIN_AT_0_C))


@dataclass(frozen=True)
class RoadLoad:
    """Road load of a bike with its rider: `mass_kg` weighs, `inertia_kg` (rotating parts counted in) is accelerated.

    `roll_n` rolling resistance on the level [N]; `drag_kg_m` force over speed squared, ½·ρ·CdA [N/(m/s)2 = kg/m].
    """

    mass_kg: float
    inertia_kg: float
    roll_n: float
    drag_kg_m: float

    def force_n(
        self, speed_ms: FloatArray | float, accel_ms2: FloatArray | float = 0.0, slope: float = 0.0
    ) -> FloatArray:
        """Force at the tire [N] at speeds [m/s], accelerations [m/s2] and one slope (rise over run) [-]."""
        cos = 1.0 / math.hypot(1.0, slope)
        hill_n = self.roll_n * cos + self.mass_kg * GRAVITY_MS2 * slope * cos
        return hill_n + self.drag_kg_m * np.square(speed_ms) + self.inertia_kg * np.asarray(accel_ms2)

    def scaled(self, drag: float, roll: float) -> RoadLoad:
        """The same with drag and rolling resistance times a factor each [-]."""
        return replace(self, drag_kg_m=self.drag_kg_m * drag, roll_n=self.roll_n * roll)

    def coast_down_s(self, from_ms: float, to_ms: float) -> float:
        """Time to roll from one speed to a lower one on the level [s]: ∫ m·dv / (A + C·v²) in closed form.

        Parameters: `from_ms` above `to_ms` [m/s]. Source: 40 CFR 86.529-98(c) describes the run, 70 to 60 km/h.
        """
        if self.drag_kg_m == 0.0:
            return self.inertia_kg * (from_ms - to_ms) / self.roll_n
        if self.roll_n == 0.0:
            return self.inertia_kg / self.drag_kg_m * (1.0 / to_ms - 1.0 / from_ms)
        ratio = math.sqrt(self.drag_kg_m / self.roll_n)
        root = math.sqrt(self.drag_kg_m * self.roll_n)
        return self.inertia_kg / root * (math.atan(from_ms * ratio) - math.atan(to_ms * ratio))


def body_road_load(
    mass_kg: float, cda_m2: float, crr: float, air_kg_m3: float, rotating_share: float = ROTATING_SHARE
) -> RoadLoad:
    """Road load of a body: mass [kg], drag area [m2], rolling coefficient [-], air density [kg/m3]."""
    return RoadLoad(
        mass_kg=mass_kg,
        inertia_kg=mass_kg * (1.0 + rotating_share),
        roll_n=crr * mass_kg * GRAVITY_MS2,
        drag_kg_m=0.5 * air_kg_m3 * cda_m2,
    )


def measured_road_load(mass_kg: float, a_n: float, c_n_kmh2: float) -> RoadLoad:
    """Road load written as F = A + C·V² with A [N], C [N/(km/h)2] and V [km/h], as in 40 CFR 86.529-98."""
    return RoadLoad(mass_kg=mass_kg, inertia_kg=mass_kg, roll_n=a_n, drag_kg_m=c_n_kmh2 * 3.6**2)
