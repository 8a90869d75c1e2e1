"""One trip: does it get there, and with how much left."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from quoting.errors import FieldProblem, RequestError
from quoting.result import PackFigures, WeightFigures, Working
from quoting.ride.bike import Bike, bike_of
from quoting.ride.energy import Case, cell_powers_w, steady_course, use_wh_per_km, wheel_forces_n
from quoting.ride.figures import profile_course
from quoting.ride.ranges import RidingCases, riding_cases
from quoting.ride.road_load import FloatArray
from quoting.ride.routes import profiles
from quoting.ride.workings import road_inputs
from quoting.setup import Setup
from quoting.show import number, show_distance, show_energy, show_height, show_speed

# What a meter of height costs is worked out at a steady 70 km/h on 4 %: the drive then runs at a middling load.
CLIMB_MS = 70.0 / 3.6
CLIMB_SLOPE = 0.04
SLOWEST_KMH, FASTEST_KMH = 20.0, 200.0  # steady speeds a trip may be ridden at


@dataclass(frozen=True, kw_only=True)
class TripFigures:
    """A trip worked out. Energy out of the cells [Wh]; shares of the usable energy [%].

    `arrives_percent` what is likely left at the end, negative by what is lacking; `plus_minus_percent` half the band of
    ±10 % drag and ±15 % rolling. `arrives` likely, `sure` also at the worse end of the band.
    """

    distance_km: float
    energy_wh: float
    usable_wh: float
    arrives_percent: float
    plus_minus_percent: float
    arrives: bool
    sure: bool
    working: Working


def trip(
    setup: Setup,
    pack: PackFigures | None,
    weight: WeightFigures | None,
    *,
    distance_km: float,
    highway_km: float = 0.0,
    town_km: float = 0.0,
    climb_m: float = 0.0,
    cold: bool = False,
    highway_kmh: float | None = None,
) -> TripFigures | None:
    """Work out one trip from a full charge.

    Parameters: `distance_km` in all, of it `highway_km` and `town_km`, the rest back road [km]; `climb_m` height gained
    on the way, what the way down gives back not counted [m]; `cold` at the policies' cold temperature; `highway_kmh`
    steady speed of the highway part [km/h], None for our highway profile. Returns: TripFigures, None when the range
    itself is not known (ride_figures then says what is missing). Raises: RequestError naming the fields.
    """
    _check(distance_km, highway_km, town_km, climb_m, highway_kmh)
    bike = bike_of(setup, pack, weight)
    cases = riding_cases(bike, setup.policies) if bike else None
    if bike is None or cases is None:
        return None
    parts_km = np.array([town_km, distance_km - highway_km - town_km, highway_km])
    rows = _trip_rows(cases, cold)
    use = use_wh_per_km(rows, bike.drive, profile_course())
    if highway_kmh is not None:
        use[:, -1] = use_wh_per_km(rows, bike.drive, steady_course(np.array([highway_kmh / 3.6])))[:, 0]
    need_wh = use @ parts_km + climb_m * _climb_wh_per_m(rows, bike)
    usable_wh = rows[0].usable_wh
    left = 100.0 * (1.0 - need_wh / usable_wh)
    arrives, spread = float(left[0]), 0.5 * float(left[2] - left[1])
    return TripFigures(
        distance_km=distance_km,
        energy_wh=float(need_wh[0]),
        usable_wh=usable_wh,
        arrives_percent=arrives,
        plus_minus_percent=spread,
        arrives=arrives >= 0.0,
        sure=float(left[1]) >= 0.0,
        working=_working(setup, bike, (parts_km, highway_kmh, climb_m), float(need_wh[0]), usable_wh, arrives, spread),
    )


def _check(distance_km: float, highway_km: float, town_km: float, climb_m: float, highway_kmh: float | None) -> None:
    problems = []
    if highway_kmh is not None and not SLOWEST_KMH <= highway_kmh <= FASTEST_KMH:
        span = f"{SLOWEST_KMH:g} to {FASTEST_KMH:g} km/h"
        problems.append(FieldProblem("highway_kmh", f"is {highway_kmh:g}.", f"Give a steady speed of {span}."))
    if distance_km <= 0.0:
        problems.append(FieldProblem("distance_km", "is not above zero.", "Give the length of the trip."))
    for name, value in (("highway_km", highway_km), ("town_km", town_km), ("climb_m", climb_m)):
        if value < 0.0:
            problems.append(FieldProblem(name, "is below zero.", "Give zero or more."))
    if highway_km + town_km > distance_km > 0.0:
        problems.append(FieldProblem("highway_km", "and town are longer than the trip.", "Give parts of the distance."))
    if problems:
        raise RequestError(tuple(problems))


def _trip_rows(cases: RidingCases, cold: bool) -> tuple[Case, Case, Case]:
    """Likely, low and high; in the cold with the cold pack and air, and the same share of band."""
    if not cold:
        return cases.likely, cases.low, cases.high
    likely = cases.likely.road
    roads = []
    for other in (cases.low.road, cases.high.road):
        base = cases.cold.road
        drag, roll = other.drag_kg_m / likely.drag_kg_m, other.roll_n / likely.roll_n
        roads.append(base.scaled(drag, roll))
    return cases.cold, cases.cold.with_road(roads[0]), cases.cold.with_road(roads[1])


def _climb_wh_per_m(rows: tuple[Case, ...], bike: Bike) -> FloatArray:
    """Energy per meter of height [Wh/m] for each row: what the slope adds at CLIMB_MS, over the height gained."""
    speed = np.array([CLIMB_MS])
    powers = []
    for slope in (CLIMB_SLOPE, 0.0):
        course = steady_course(speed, slope)
        powers.append(cell_powers_w(rows, bike.drive, course, wheel_forces_n(rows, course))[:, 0])
    sine = CLIMB_SLOPE / float(np.hypot(1.0, CLIMB_SLOPE))
    climb: FloatArray = (powers[0] - powers[1]) / (3600.0 * CLIMB_MS * sine)
    return climb


def _working(
    setup: Setup,
    bike: Bike,
    way: tuple[FloatArray, float | None, float],
    need_wh: float,
    usable_wh: float,
    arrives: float,
    spread: float,
) -> Working:
    parts_km, highway_kmh, climb_m = way
    labels = [trace.label for trace in profiles()]
    if highway_kmh is not None:
        labels[-1] = f"At {show_speed(highway_kmh, setup.units)} steady"
    parts = tuple((label, show_distance(float(km), setup.units)) for label, km in zip(labels, parts_km, strict=True))
    return Working(
        figure="trip",
        label="Trip",
        formula="1 − (Σ distance × energy per distance + height × energy per height) ÷ usable energy",
        inputs=(
            *parts,
            ("Height gained", show_height(climb_m, setup.units)),
            ("Energy for it", show_energy(need_wh)),
            ("Usable energy", show_energy(usable_wh)),
            *road_inputs(bike, setup.policies, setup.units),
        ),
        result=f"{'short by ' if arrives < 0.0 else 'arrives with '}{number(abs(arrives))} % ± {number(spread)} % "
        "of the usable energy",
        source="ride profiles of this quote",
    )
