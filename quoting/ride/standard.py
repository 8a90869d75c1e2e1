"""Range on the cycles public test procedures use, for comparing with published figures of other bikes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from quoting.result import PackFigures, RideFigures, WeightFigures
from quoting.ride.bike import bike_of
from quoting.ride.cycles import combined_range_km, regulation_cycle, world_motorcycle_cycle
from quoting.ride.energy import Course, course_of, steady_course, use_wh_per_km
from quoting.ride.ranges import riding_cases
from quoting.ride.routes import MPH
from quoting.setup import Setup

CITY = "40 CFR 86 App. I"
HIGHWAY = "40 CFR 600 App. I"
WORLD = "UN GTR No. 2"
STEADY = "SAE J2982"
COMMUTING = "SAE J2982, highway commuting"


@dataclass(frozen=True, kw_only=True)
class StandardRanges:
    """Likely range [km]: `city_km` on the US city cycle, `highway_km` on the US highway cycle, `world_km` on the world
    motorcycle cycle whole and `world_parts_km` on its parts 1 to 3, steady at 55 and 70 mph, and half city, half steady
    ("highway commuting", SAE J2982)."""

    city_km: float
    highway_km: float
    world_km: float
    world_parts_km: tuple[float, float, float]
    steady_55_km: float
    steady_70_km: float
    commuting_55_km: float
    commuting_70_km: float


@cache
def standard_course() -> Course:
    """City cycle, highway cycle, world motorcycle cycle whole and in its three parts."""
    parts = tuple(regulation_cycle(code) for code in ("wmtc_1", "wmtc_2", "wmtc_3"))
    return course_of((regulation_cycle("udds"), regulation_cycle("hwfet"), world_motorcycle_cycle(), *parts))


def standard_ranges(setup: Setup, pack: PackFigures | None, weight: WeightFigures | None) -> StandardRanges | None:
    """Range of one option on the standard cycles; None when range itself is not known.

    Says nothing of whether the bike can hold the cycle: see ProfileRange.possible for that.
    Source: 40 CFR 86 App. I, 600 App. I, UN GTR No. 2; structure of SAE J2982.
    """
    bike = bike_of(setup, pack, weight)
    cases = riding_cases(bike, setup.policies) if bike else None
    if bike is None or cases is None:
        return None
    rows = (cases.likely,)
    ranges_km = cases.likely.usable_wh / use_wh_per_km(rows, bike.drive, standard_course())[0]
    city, highway, world, *parts = (float(km) for km in ranges_km)
    steady = steady_course(np.array([55.0, 70.0]) * MPH / 3.6)
    at_55, at_70 = cases.likely.usable_wh / use_wh_per_km(rows, bike.drive, steady)[0]
    return StandardRanges(
        city_km=city,
        highway_km=highway,
        world_km=world,
        world_parts_km=(parts[0], parts[1], parts[2]),
        steady_55_km=float(at_55),
        steady_70_km=float(at_70),
        commuting_55_km=combined_range_km(city, float(at_55)),
        commuting_70_km=combined_range_km(city, float(at_70)),
    )


@dataclass(frozen=True, kw_only=True)
class StandardRow:
    """One line of the comparison: `km` likely range; `fastest_kmh` of the cycle; `held` whether this bike rides it:
    reaches the cycle's fastest second, or holds a steady speed for good. None: its speeds are not known."""

    label: str
    km: float
    fastest_kmh: float
    held: bool | None
    source: str


def standard_rows(ranges: StandardRanges, ride: RideFigures) -> tuple[StandardRow, ...]:
    """The standard ranges as lines to read, each with whether the bike can ride it at all."""
    traces = {code: regulation_cycle(code) for code in ("udds", "hwfet", "wmtc_1", "wmtc_2", "wmtc_3")}
    at_55, at_70 = 55.0 * MPH, 70.0 * MPH
    town, country, fast = ranges.world_parts_km

    def cycle(label: str, km: float, code: str, source: str) -> StandardRow:
        fastest = traces[code].fastest_kmh
        held = None if ride.top_kmh is None else ride.top_kmh >= fastest
        return StandardRow(label=label, km=km, fastest_kmh=fastest, held=held, source=source)

    def steady(label: str, km: float, kmh: float, source: str) -> StandardRow:
        held = None if ride.held_kmh is None else ride.held_kmh >= kmh
        return StandardRow(label=label, km=km, fastest_kmh=kmh, held=held, source=source)

    return (
        cycle("US city cycle (UDDS)", ranges.city_km, "udds", CITY),
        cycle("US highway cycle (HWFET)", ranges.highway_km, "hwfet", HIGHWAY),
        cycle("World motorcycle cycle (WMTC), part 1", town, "wmtc_1", WORLD),
        cycle("World motorcycle cycle (WMTC), part 2", country, "wmtc_2", WORLD),
        cycle("World motorcycle cycle (WMTC), part 3", fast, "wmtc_3", WORLD),
        cycle("World motorcycle cycle (WMTC), whole", ranges.world_km, "wmtc_3", WORLD),
        steady("Steady 55 mph (89 km/h)", ranges.steady_55_km, at_55, STEADY),
        steady("Steady 70 mph (113 km/h)", ranges.steady_70_km, at_70, STEADY),
        steady("Half city cycle, half steady 55 mph", ranges.commuting_55_km, at_55, COMMUTING),
        steady("Half city cycle, half steady 70 mph", ranges.commuting_70_km, at_70, COMMUTING),
    )
