"""Ride traces: speed second by second, with the slope of the road.

A trace of our own is ridden along a route: a row of legs, each with its length, speed, slope and stop at the end. The
rider speeds up and slows down at set rates, slows in time for what comes, and never passes a leg's speed. The same
route always gives the same trace.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from quoting.ride.road_load import FloatArray

STEP_S = 1.0  # traces are sampled each second, as the regulation cycles are
STANDING_MS = 0.2  # slower than this within the last meter is standing


@dataclass(frozen=True)
class Leg:
    """A piece of road: length [m], `kmh` the speed ridden there [km/h], slope [%], `stop_s` stop at its end [s]."""

    length_m: float
    kmh: float
    slope_percent: float = 0.0
    stop_s: int = 0


@dataclass(frozen=True)
class Rider:
    """How briskly: speeding up [m/s2], tapering with speed to a power [W/kg], slowing down [m/s2]."""

    accel_ms2: float
    power_w_kg: float
    brake_ms2: float


@dataclass(frozen=True, eq=False)
class Trace:
    """Speed [m/s] at each second, n+1 values; slope [-] over each of the n seconds between."""

    code: str
    label: str
    speed_ms: FloatArray
    slope: FloatArray

    @cached_property
    def mid_ms(self) -> FloatArray:
        """Speed in the middle of each second [m/s]."""
        return 0.5 * (self.speed_ms[1:] + self.speed_ms[:-1])

    @cached_property
    def accel_ms2(self) -> FloatArray:
        """Acceleration over each second [m/s2]."""
        return np.diff(self.speed_ms) / STEP_S

    @cached_property
    def distance_km(self) -> float:
        """Length [km]."""
        return float(self.mid_ms.sum()) * STEP_S / 1000.0

    @cached_property
    def mean_kmh(self) -> float:
        """Mean speed, stops counted in [km/h]."""
        return 3600.0 * self.distance_km / (len(self.slope) * STEP_S)

    @cached_property
    def fastest_kmh(self) -> float:
        """Highest speed [km/h]."""
        return float(self.speed_ms.max()) * 3.6

    @cached_property
    def climb_m(self) -> float:
        """Height of the end above the start [m]."""
        sine = self.slope / np.hypot(1.0, self.slope)
        return float((self.mid_ms * sine).sum()) * STEP_S


def ride_route(code: str, label: str, legs: tuple[Leg, ...], rider: Rider, start_kmh: float = 0.0) -> Trace:
    """Ride along a route.

    Parameters: `legs` in order; `rider`; `start_kmh` speed at the start [km/h]. Returns: Trace, one value a second.
    """
    ends_m = np.cumsum([leg.length_m for leg in legs]).tolist()
    speed, place_m, at = start_kmh / 3.6, 0.0, 0
    speeds, slopes = [speed], []
    while at < len(legs):
        leg = legs[at]
        reached = min(_speeding_up(speed, rider), leg.kmh / 3.6)
        following = max(0.0, min(reached, _slowing_in_time(speed, place_m, at, legs, ends_m, rider)))
        place_m += 0.5 * (speed + following) * STEP_S
        if leg.stop_s and following < STANDING_MS and place_m > ends_m[at] - 2.0:
            following, place_m = 0.0, ends_m[at]
        speed = following
        speeds.append(speed)
        slopes.append(leg.slope_percent / 100.0)
        if place_m >= ends_m[at]:
            speeds.extend([0.0] * leg.stop_s)
            slopes.extend([0.0] * leg.stop_s)
            speed = 0.0 if leg.stop_s else speed
            at += 1
    return Trace(code, label, np.array(speeds), np.array(slopes))


def _speeding_up(speed_ms: float, rider: Rider) -> float:
    rate = rider.accel_ms2 if speed_ms <= 0.0 else min(rider.accel_ms2, rider.power_w_kg / speed_ms)
    return speed_ms + rate * STEP_S


def _slowing_in_time(
    speed_ms: float, place_m: float, at: int, legs: tuple[Leg, ...], ends_m: list[float], rider: Rider
) -> float:
    """Highest speed a second from now from which every coming speed and stop can still be met.

    From v' and the road left after this second: v'² ≤ target² + 2·b·(left − (v + v')/2·1 s), solved for v'.
    """
    allowed, rate = math.inf, rider.brake_ms2
    for number in range(at, len(legs)):
        left_m = ends_m[number] - place_m
        if left_m > speed_ms * speed_ms / rate + 100.0:
            break
        last = number == len(legs) - 1
        target = 0.0 if legs[number].stop_s else legs[number].kmh / 3.6 if last else legs[number + 1].kmh / 3.6
        under = 0.25 * rate * rate + target * target + 2.0 * rate * left_m - rate * speed_ms
        allowed = min(allowed, -0.5 * rate + math.sqrt(max(0.0, under)))
    return allowed
