"""How far a pack goes and what a speed takes, for a bike of which only a claim is known.

The favorable end is what a claim is held against: 10 % less drag, 15 % less rolling resistance, no loss in the pack's
own resistance, a hub motor without a chain. What lies beyond that cannot be.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from quoting.claims.claim import Claim
from quoting.request import Policies
from quoting.ride.cold import LEAD_HOUR_SHARE
from quoting.ride.efficiency import CONTROLLER_SHARE, MOTOR_SHARE, DriveLine
from quoting.ride.energy import Case, steady_course, use_wh_per_km
from quoting.ride.ranges import CDA_BAND, CRR_BAND
from quoting.ride.reading import CRR
from quoting.ride.road_load import FloatArray, air_density_kg_m3, body_road_load

DRIVE = DriveLine(controller_share=CONTROLLER_SHARE, final_share=1.0, motor_share=MOTOR_SHARE)
SLOWEST_KMH, FASTEST_KMH, STEP_KMH = 10.0, 200.0, 0.5  # speeds looked at
POLICIES = Policies()  # 20 degC, 92 % of the pack, 60 W for lamps: what quotes are worked out with unless a shop says
NO_LOSS_V = 1e6  # a pack without resistance: its voltage then does not matter


@dataclass(frozen=True)
class Reach:
    """Use at a steady speed [Wh/km] and how far it goes with that [km], favorable end, likely, hard end."""

    best_use: float
    likely_use: float
    worst_use: float
    usable_wh: float

    @property
    def best_km(self) -> float:
        return self.usable_wh / self.best_use

    @property
    def likely_km(self) -> float:
        return self.usable_wh / self.likely_use


def usable_wh(claim: Claim) -> float:
    """Energy that can be ridden on [Wh]: 92 % of nominal; lead-acid gives 61 % of that within the hour."""
    share = POLICIES.usable_share * (LEAD_HOUR_SHARE if claim.chemistry == "lead" else 1.0)
    return share * (claim.energy_wh or 0.0)


def use_at(claim: Claim, speeds_kmh: FloatArray) -> FloatArray:
    """Energy per distance at steady speeds [Wh/km], shape [3, speeds]: favorable end, likely, hard end."""
    road = body_road_load(claim.mass_kg, claim.drag_m2, CRR, air_density_kg_m3(POLICIES.warm_c))
    cases = tuple(
        Case(
            road=road.scaled(1.0 + sign * CDA_BAND, 1.0 + sign * CRR_BAND),
            open_v=NO_LOSS_V,
            resistance_ohm=0.0,
            usable_wh=1.0,
            auxiliary_w=POLICIES.auxiliary_w,
        )
        for sign in (-1.0, 0.0, 1.0)
    )
    return use_wh_per_km(cases, DRIVE, steady_course(speeds_kmh / 3.6))


def reach(claim: Claim, speed_kmh: float) -> Reach:
    """Range of the claimed energy at a steady speed [km/h]."""
    best, likely, worst = (float(value) for value in use_at(claim, np.array([speed_kmh]))[:, 0])
    return Reach(best, likely, worst, usable_wh(claim))


def fastest_for(claim: Claim, use_wh_per_km: float) -> float | None:
    """Highest steady speed [km/h] at which so much is enough at the favorable end; None at no speed."""
    speeds = speed_grid()
    fits = np.flatnonzero(use_at(claim, speeds)[0] <= use_wh_per_km)
    return float(speeds[fits[-1]]) if len(fits) else None


def battery_w(claim: Claim, speed_kmh: float) -> tuple[float, float, float]:
    """Power out of the pack to hold a speed on the level [W]: favorable end, likely, hard end."""
    best, likely, worst = (float(value) * speed_kmh for value in use_at(claim, np.array([speed_kmh]))[:, 0])
    return best, likely, worst


def shaft_w(claim: Claim, speed_kmh: float) -> float:
    """Power at the motor's shaft to hold a speed on the level [W], favorable end."""
    road = body_road_load(claim.mass_kg, claim.drag_m2, CRR, air_density_kg_m3(POLICIES.warm_c))
    force_n = road.scaled(1.0 - CDA_BAND, 1.0 - CRR_BAND).force_n(np.array([speed_kmh / 3.6]))
    return float(force_n[0]) * speed_kmh / 3.6


@cache
def speed_grid() -> FloatArray:
    """The speeds looked at [km/h]."""
    return np.arange(SLOWEST_KMH, FASTEST_KMH + STEP_KMH, STEP_KMH)
