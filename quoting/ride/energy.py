"""Energy per distance: a ridden trace or a steady speed through drive, auxiliaries and the pack's own resistance."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from quoting.ride.efficiency import DriveLine
from quoting.ride.road_load import GRAVITY_MS2, FloatArray, RoadLoad
from quoting.ride.traces import STEP_S, Trace

SECONDS_PER_HOUR = 3600.0
# Above this charge nothing is given back: a full pack cannot take it. Public practitioner report, case B18.
REGEN_TOP_SOC = 0.95


@dataclass(frozen=True, eq=False)
class Course:
    """Seconds to work out, several traces one after the other.

    `speed_ms` [n] speed in the middle of each second; `basis` [4, n] what drag, rolling, weight and inertia are
    multiplied with: v², cosθ, sinθ, a; `starts` first second of each trace; `km` length of each [km].
    """

    speed_ms: FloatArray
    basis: FloatArray
    starts: tuple[int, ...]
    km: FloatArray


def course_of(traces: tuple[Trace, ...]) -> Course:
    """Join traces into one course."""
    speed = np.concatenate([trace.mid_ms for trace in traces])
    accel = np.concatenate([trace.accel_ms2 for trace in traces])
    slope = np.concatenate([trace.slope for trace in traces])
    cos = 1.0 / np.hypot(1.0, slope)
    lengths = [len(trace.slope) for trace in traces]
    starts = tuple(sum(lengths[:number]) for number in range(len(lengths)))
    km = np.array([trace.distance_km for trace in traces])
    return Course(speed, np.array([speed * speed, cos, slope * cos, accel]), starts, km)


def steady_course(speed_ms: FloatArray, slope: float = 0.0) -> Course:
    """One second at each steady speed [m/s] on one slope [-], each a trace of its own."""
    cos = 1.0 / np.hypot(1.0, slope)
    ones = np.ones(len(speed_ms))
    basis = np.array([speed_ms * speed_ms, cos * ones, slope * cos * ones, 0.0 * ones])
    return Course(speed_ms, basis, tuple(range(len(speed_ms))), speed_ms * STEP_S / 1000.0)


@dataclass(frozen=True)
class Case:
    """One way of riding it: road load, pack and what may be given back.

    `open_v` rested voltage [V] and `resistance_ohm` [ohm] of the pack; `usable_wh` energy it holds [Wh]; `auxiliary_w`
    [W]; `regen_w` most power given back, averaged over the charge [W], 0 for none.
    """

    road: RoadLoad
    open_v: float
    resistance_ohm: float
    usable_wh: float
    auxiliary_w: float
    regen_w: float = 0.0

    def with_road(self, road: RoadLoad) -> Case:
        """The same with another road load."""
        return replace(self, road=road)


def regen_share_of_charge(usable_share: float) -> float:
    """Share of the usable charge [0..1] that lies below REGEN_TOP_SOC."""
    return max(0.0, (REGEN_TOP_SOC - (1.0 - usable_share)) / usable_share)


def wheel_forces_n(cases: tuple[Case, ...], course: Course) -> FloatArray:
    """Force at the tire [N], shape [cases, seconds]; negative when slowing."""
    loads = [
        (case.road.drag_kg_m, case.road.roll_n, case.road.mass_kg * GRAVITY_MS2, case.road.inertia_kg) for case in cases
    ]
    return np.array(loads) @ course.basis


def cell_powers_w(cases: tuple[Case, ...], drive: DriveLine, course: Course, forces_n: FloatArray) -> FloatArray:
    """Power out of the cells [W], pack's own loss counted in, shape [cases, seconds]; negative when charged.

    Terminal power W; current I = 2·W / (U + √(U² − 4·R·W)); power out of the cells U·I. Where the pack cannot give W,
    as much again is lost in it, as at its ceiling: such a trace is not held anyway (see ranges.what_stops). The motor's
    no-load loss is not fed while the bike slows.
    """
    power = drive.net_w(forces_n, course.speed_ms, np.array([[case.regen_w] for case in cases]))
    power += np.array([[case.auxiliary_w] for case in cases])
    open_v = np.array([[case.open_v] for case in cases])
    inside = open_v * open_v - np.array([[4.0 * case.resistance_ohm] for case in cases]) * power
    np.maximum(inside, 0.0, out=inside)
    np.sqrt(inside, out=inside)
    inside += open_v
    power *= 2.0 * open_v
    power /= inside
    return power


def use_wh_per_km(cases: tuple[Case, ...], drive: DriveLine, course: Course) -> FloatArray:
    """Energy out of the cells per distance [Wh/km], shape [cases, traces]."""
    powers = cell_powers_w(cases, drive, course, wheel_forces_n(cases, course))
    joules = np.add.reduceat(powers, course.starts, axis=1) * STEP_S
    return joules / (SECONDS_PER_HOUR * course.km)


def usable_column_wh(cases: tuple[Case, ...]) -> FloatArray:
    """Usable energy of each case [Wh] as a column, shape [cases, 1]."""
    return np.array([[case.usable_wh] for case in cases])
