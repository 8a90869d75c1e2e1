"""Range: how far on each profile and at each steady speed, as a band; in the cold, aged, and with a passenger."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from quoting.request import Policies
from quoting.result import BandPoint, ProfileRange
from quoting.ride.bike import Bike
from quoting.ride.cold import (
    AGED_HEALTH,
    AGED_RESISTANCE,
    LEAD_HOUR_SHARE,
    capacity_share,
    resistance_factor,
    rolling_factor,
)
from quoting.ride.energy import (
    Case,
    Course,
    regen_share_of_charge,
    steady_course,
    usable_column_wh,
    use_wh_per_km,
    wheel_forces_n,
)
from quoting.ride.road_load import FloatArray, RoadLoad, air_density_kg_m3, body_road_load
from quoting.ride.speed import SpeedLimit
from quoting.ride.traces import Trace

# The band: drag and rolling are known no better than this. Our own rule.
CDA_BAND = 0.10
CRR_BAND = 0.15
# A profile counts as held when the bike lacks no more than this share of the work it takes, and reaches this share of
# its fastest speed. Our own rule: 40 CFR 86.515-78(b) lets a rider fall behind a trace at full power, SAE J2982 ends a
# run when top speed drops under 95 %.
SHORT_SHARE = 0.02
FASTEST_SHARE = 0.95


@dataclass(frozen=True)
class RidingCases:
    """The ways a setup is ridden, in the order of `rows`."""

    likely: Case
    low: Case
    high: Case
    cold: Case
    aged: Case
    two_up: Case

    @property
    def rows(self) -> tuple[Case, ...]:
        """likely, low, high, cold, aged, two-up."""
        return (self.likely, self.low, self.high, self.cold, self.aged, self.two_up)

    @property
    def band(self) -> tuple[Case, ...]:
        """likely, low, high."""
        return (self.likely, self.low, self.high)


def likely_case(bike: Bike, policies: Policies) -> Case | None:
    """The setup as it is, warm and new; None when its mass, voltage, resistance or energy is not known."""
    resistance, open_v, usable_wh = bike.range_resistance_ohm, bike.open_v, bike.pack.usable_wh
    if bike.mass_kg is None or resistance is None or open_v is None or usable_wh is None:
        return None
    return Case(
        road=road_of(bike, bike.mass_kg, policies.warm_c),
        open_v=open_v,
        resistance_ohm=resistance,
        usable_wh=usable_wh * LEAD_HOUR_SHARE if bike.pack.chemistry == "lead" else usable_wh,
        auxiliary_w=bike.auxiliary_w,
        regen_w=bike.regen_a * open_v * regen_share_of_charge(policies.usable_share),
    )


def riding_cases(bike: Bike, policies: Policies) -> RidingCases | None:
    """The cases of a setup; None when its mass, voltage, resistance or energy is not known."""
    likely = likely_case(bike, policies)
    if likely is None or bike.mass_kg is None:
        return None
    road, resistance, usable_wh = likely.road, likely.resistance_ohm, likely.usable_wh
    cold_road = road_of(bike, bike.mass_kg, policies.cold_c)
    cold_road = cold_road.scaled(1.0, rolling_factor(policies.cold_c, policies.warm_c))
    chemistry, warm_c, cold_c = bike.pack.chemistry, policies.warm_c, policies.cold_c
    return RidingCases(
        likely=likely,
        low=likely.with_road(road.scaled(1.0 + CDA_BAND, 1.0 + CRR_BAND)),
        high=likely.with_road(road.scaled(1.0 - CDA_BAND, 1.0 - CRR_BAND)),
        cold=replace(
            likely,
            road=cold_road,
            resistance_ohm=resistance * resistance_factor(cold_c) / resistance_factor(warm_c),
            usable_wh=usable_wh * capacity_share(chemistry, cold_c) / capacity_share(chemistry, warm_c),
            regen_w=likely.regen_w if bike.regen_cold else 0.0,
        ),
        aged=replace(likely, resistance_ohm=resistance * AGED_RESISTANCE, usable_wh=usable_wh * AGED_HEALTH),
        two_up=likely.with_road(road_of(bike, bike.mass_kg + bike.passenger_kg, policies.warm_c)),
    )


def road_of(bike: Bike, mass_kg: float, air_c: float) -> RoadLoad:
    """Road load of the bike at a mass [kg] and air temperature [degC]."""
    return body_road_load(mass_kg, bike.cda_m2, bike.crr, air_density_kg_m3(air_c))


def profile_ranges(
    cases: RidingCases,
    bike: Bike,
    course: Course,
    traces: tuple[Trace, ...],
    peak: SpeedLimit | None,
    held: SpeedLimit | None,
) -> tuple[tuple[ProfileRange, ...], FloatArray]:
    """Range on each trace.

    Parameters: `course` the `traces` joined; `peak`, `held` the force there is, None when it is not known: then no
    profile counts as possible. Returns: a ProfileRange per trace; use of the likely case, with a passenger last
    [Wh/km], shape [6, traces].
    """
    use = use_wh_per_km(cases.rows, bike.drive, course)
    km = usable_column_wh(cases.rows) / use
    limits = what_stops(cases.likely, course, traces, peak, held)
    ranges = tuple(
        ProfileRange(
            profile=trace.code,
            label=trace.label,
            mean_kmh=trace.mean_kmh,
            fastest_kmh=trace.fastest_kmh,
            wh_per_km=float(use[0, at]),
            low_km=float(km[1, at]),
            likely_km=float(km[0, at]),
            high_km=float(km[2, at]),
            cold_km=float(km[3, at]),
            aged_km=float(km[4, at]),
            possible=not limits[at],
            limit=limits[at],
        )
        for at, trace in enumerate(traces)
    )
    return ranges, use


def what_stops(
    case: Case, course: Course, traces: tuple[Trace, ...], peak: SpeedLimit | None, held: SpeedLimit | None
) -> tuple[str, ...]:
    """What keeps the bike from holding each trace, in plain words; "" where it holds it.

    Second by second the peak force, as work missed over the whole trace; the mean power at the tire against what holds.
    """
    if peak is None or held is None:
        return tuple("not checked: peak or continuous power is not known" for _ in traces)
    need_n = wheel_forces_n((case,), course)[0]
    short_w = np.maximum(need_n - peak.force_at_n(course.speed_ms), 0.0) * course.speed_ms
    sums_w = np.add.reduceat(np.maximum(need_n, 0.0) * course.speed_ms, course.starts)
    short_shares = np.add.reduceat(short_w, course.starts) / sums_w
    mean_w = sums_w / [len(trace.slope) for trace in traces]
    words = []
    for at, trace in enumerate(traces):
        if peak.kmh < FASTEST_SHARE * trace.fastest_kmh:
            words.append(f"too slow: {peak.words}")
        elif short_shares[at] > SHORT_SHARE:
            words.append(f"falls behind: {peak.words}")
        elif mean_w[at] > held.most_w:
            words.append(f"too little continuous power: {held.words}")
        else:
            words.append("")
    return tuple(words)


def band_points(
    cases: RidingCases, bike: Bike, speeds_kmh: FloatArray, peak: SpeedLimit, held: SpeedLimit
) -> tuple[BandPoint, ...]:
    """Range and power at steady speeds [km/h] on the level."""
    if not len(speeds_kmh):
        return ()
    speeds = speeds_kmh / 3.6
    course = steady_course(speeds)
    km = usable_column_wh(cases.band) / use_wh_per_km(cases.band, bike.drive, course)
    need_n = wheel_forces_n((cases.likely,), course)[0]
    battery_w = bike.drive.drive_w(need_n, speeds) + cases.likely.auxiliary_w
    peak_w, held_w = peak.force_at_n(speeds) * speeds, held.force_at_n(speeds) * speeds
    need_w = need_n * speeds
    return tuple(
        BandPoint(
            kmh=float(speeds_kmh[at]),
            low_km=float(km[1, at]),
            likely_km=float(km[0, at]),
            high_km=float(km[2, at]),
            battery_w=float(battery_w[at]),
            wheel_need_w=float(need_w[at]),
            wheel_peak_w=float(peak_w[at]),
            wheel_held_w=float(held_w[at]),
        )
        for at in range(len(speeds))
    )
