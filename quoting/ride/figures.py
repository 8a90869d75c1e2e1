"""ride_figures(): everything about one option on the road."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from quoting.result import BandPoint, PackFigures, ProfileRange, RideFigures, WeightFigures, Working
from quoting.ride.bike import HALF_SOC, LOW_SOC, Bike, bike_of
from quoting.ride.energy import Course, course_of
from quoting.ride.force import PowerLimits
from quoting.ride.grid_words import outside_words
from quoting.ride.handling_workings import handling_workings
from quoting.ride.launch import sprint_s, start_grade_percent
from quoting.ride.limits import held_limits, peak_limits, peak_torque_nm
from quoting.ride.ranges import RidingCases, band_points, profile_ranges, riding_cases, road_of
from quoting.ride.road_load import FloatArray, RoadLoad
from quoting.ride.routes import MPH, profiles
from quoting.ride.speed import SpeedLimit, climb_grade_percent, highest_speed, motor_rpm, spare_percent
from quoting.ride.workings import range_workings, road_inputs, speed_working
from quoting.setup import Setup

__all__ = ["HALF_SOC", "LOW_SOC", "ride_figures"]

CLIMB_KMH = 30 * MPH  # speed the climb is stated at: our own choice
CRUISE_KMH = {"us": 55 * MPH, "metric": 90.0}  # where no speed to hold is wished for: our own choice
SPRINT_KMH = {"us": 60 * MPH, "metric": 100.0}
BAND_STEP_KMH = {"us": 5 * MPH, "metric": 10.0}
BAND_FROM_STEPS = {"us": 4, "metric": 3}  # 20 mph, 30 km/h
CELL_PEAK_S = 10.0  # peak currents of cells are stated for ten seconds (see Cell.peak_a)


@cache
def profile_course() -> Course:
    """Town, back road and highway one after the other."""
    return course_of(profiles())


def ride_figures(setup: Setup, pack: PackFigures | None, weight: WeightFigures | None) -> RideFigures | None:
    """Ride figures of one option.

    Parameters: `setup`; `pack` and `weight` figures of the same option. Returns: RideFigures; a figure that lacks a
    spec is None and `missing` names what is needed. None when there is no motor, no pack or no donor.
    """
    bike = bike_of(setup, pack, weight)
    if bike is None:
        return None
    peak_at, held_at = _limits_at_low_charge(bike)
    road = None if bike.mass_kg is None else road_of(bike, bike.mass_kg, setup.policies.warm_c)
    peak = highest_speed(peak_at, bike.drive, road) if peak_at and road else None
    held = highest_speed(held_at, bike.drive, road) if held_at and road else None
    start, sprint = _launch(bike, road, SPRINT_KMH[setup.units])
    climb = None
    if held and road:
        climb = climb_grade_percent(float(held.force_at_n(np.array(CLIMB_KMH / 3.6))), road, CLIMB_KMH / 3.6)
    cruise_kmh = setup.wishes.held_kmh or CRUISE_KMH[setup.units]
    spare = spare_percent(held, road, cruise_kmh / 3.6) if held and road else None
    cases = riding_cases(bike, setup.policies)
    ranges, two_up_km, band = _ranges(setup, bike, cases, peak, held)
    torque = peak_torque_nm(bike)
    workings = _workings(setup, bike, cases, ranges, ((peak, peak_at), (held, held_at)))
    figures = RideFigures(
        mass_kg=bike.mass_kg,
        profiles=ranges,
        top_kmh=peak.kmh if peak else None,
        top_limit=peak.words if peak else None,
        held_kmh=held.kmh if held else None,
        held_limit=held.words if held else None,
        peak_minutes=_peak_minutes(bike, peak_at),
        start_grade_percent=start,
        climb_grade_percent=climb,
        cruise_kmh=None if spare is None else cruise_kmh,
        cruise_spare_percent=spare,
        sprint_to_kmh=SPRINT_KMH[setup.units],
        sprint_s=sprint,
        motor_rpm_at_top=_rpm(bike, peak),
        wheel_circumference_m=bike.circumference_m,
        overall_ratio=bike.ratio,
        wheel_torque_nm=None if torque is None or bike.ratio is None else torque * bike.ratio * bike.drive.final_share,
        two_up_likely_km=two_up_km,
        band=band,
        missing=tuple(bike.notes.missing),
    )
    return replace(figures, workings=(*workings, *handling_workings(bike, figures, torque, CLIMB_KMH, setup.units)))


def _limits_at_low_charge(bike: Bike) -> tuple[PowerLimits | None, PowerLimits | None]:
    peak_at, peak_missing = peak_limits(bike, bike.low_open_v)
    held_at, held_missing = held_limits(bike, bike.low_open_v)
    for words in (*peak_missing, *held_missing):
        bike.notes.lack(words)
    return peak_at, held_at


def _launch(bike: Bike, road: RoadLoad | None, to_kmh: float) -> tuple[float | None, float | None]:
    """Steepest start [%] and sprint [s], both at half charge."""
    if peak_torque_nm(bike) is None:
        bike.notes.lack("motor peak torque, or torque constant and phase current")
        return None, None
    limits, _ = peak_limits(bike, bike.half_open_v)
    if limits is None or road is None:
        return None, None
    start = start_grade_percent(limits, bike.drive, road, bike.stance)
    return start, sprint_s(limits, bike.drive, road, bike.stance, to_kmh / 3.6)


def _ranges(
    setup: Setup, bike: Bike, cases: RidingCases | None, peak: SpeedLimit | None, held: SpeedLimit | None
) -> tuple[tuple[ProfileRange, ...], float | None, tuple[BandPoint, ...]]:
    if cases is None:
        _note_what_range_lacks(bike)
        return (), None, ()
    ranges, use = profile_ranges(cases, bike, profile_course(), profiles(), peak, held)
    back_road = [trace.code for trace in profiles()].index("back_road")
    two_up_km = cases.two_up.usable_wh / float(use[5, back_road])
    band: tuple[BandPoint, ...] = ()
    if peak and held:
        band = band_points(cases, bike, _band_speeds_kmh(setup.units, peak.kmh), peak, held)
    return ranges, two_up_km, band


def _band_speeds_kmh(units: str, top_kmh: float) -> FloatArray:
    """Steady speeds for the chart [km/h]: every 5 mph from 20, or every 10 km/h from 30, up to the top speed."""
    step, first = BAND_STEP_KMH[units], BAND_FROM_STEPS[units]
    return step * np.arange(first, int(top_kmh / step) + 1, dtype=np.float64)


def _note_what_range_lacks(bike: Bike) -> None:
    for words, value in (
        ("pack voltage", bike.open_v),
        ("usable energy of the pack", bike.pack.usable_wh),
        ("cell resistance", bike.range_resistance_ohm),
    ):
        if value is None:
            bike.notes.lack(words)


def _rpm(bike: Bike, peak: SpeedLimit | None) -> float | None:
    if peak is None or bike.ratio is None or bike.circumference_m is None:
        return None
    return motor_rpm(peak.kmh, bike.ratio, bike.circumference_m)


def _peak_minutes(bike: Bike, limits: PowerLimits | None) -> float | None:
    """How long peak power lasts [min]: the motor's time, ten seconds where cells or BMS are past continuous."""
    if bike.motor.peak_s is None:
        bike.notes.lack("motor time at peak")
        return None
    seconds = bike.motor.peak_s
    if limits and bike.cell_cont_a is not None and limits.current_a > bike.cell_cont_a:
        seconds = min(seconds, CELL_PEAK_S)
    return seconds / 60.0


def _workings(
    setup: Setup,
    bike: Bike,
    cases: RidingCases | None,
    ranges: tuple[ProfileRange, ...],
    speeds: tuple[tuple[SpeedLimit | None, PowerLimits | None], ...],
) -> tuple[Working, ...]:
    shared = road_inputs(bike, setup.policies, setup.units)
    found: list[Working] = []
    if cases:
        outside = outside_words(bike, cases.likely, profile_course())
        found.extend(range_workings(ranges, bike, cases, setup.policies, setup.units, shared, outside))
    names = (("top_kmh", "Top speed"), ("held_kmh", "Held speed"))
    for (figure, label), (speed, limits) in zip(names, speeds, strict=True):
        if speed and limits:
            found.append(speed_working(figure, label, speed, limits, bike, setup.units, shared))
    return tuple(found)
