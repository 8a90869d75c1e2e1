"""What we would have quoted for a reported build.

Usable energy is 92 % of nominal, drive efficiencies the ones assumed for unknown parts, pack resistance the assumed
one; the band is ±10 % drag area and ±15 % rolling resistance, as on a quote.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from quoting.result import PackFigures, WeightFigures
from quoting.ride.bike import bike_of
from quoting.ride.efficiency import DriveLine
from quoting.ride.energy import steady_course, usable_column_wh, use_wh_per_km
from quoting.ride.force import PowerLimits
from quoting.ride.ranges import CDA_BAND, CRR_BAND, riding_cases
from quoting.ride.reading import CRR
from quoting.ride.road_load import air_density_kg_m3, body_road_load
from quoting.ride.speed import highest_speed
from tests.quoting.practice.reports import RangeReport, SpeedReport
from tests.quoting.ride.bikes import DONOR, ride, setup_with

Band = tuple[float, float]


def range_band_km(report: RangeReport) -> Band:
    """Low and high range of the report's bike, ridden its way [km]."""
    setup = setup_with(
        {"motor": {"mount": "hub"}, "controller": {}}, donor=replace(DONOR, cda_m2=report.cda_m2, rear_tire=None)
    )
    pack = PackFigures(
        series=20, parallel=1, cells=20, series_cells=20, chemistry="nmc", nominal_v=72.0, full_v=84.0, empty_v=56.0,
        capacity_ah=report.energy_wh / 72.0, energy_wh=report.energy_wh, usable_wh=0.92 * report.energy_wh,
    )  # fmt: skip
    weight = WeightFigures(laden_kg=report.mass_kg)
    if isinstance(report.ridden, str):
        (found,) = [item for item in ride(setup, pack, weight).profiles if item.profile == report.ridden]
        return found.low_km, found.high_km
    bike = bike_of(setup, pack, weight)
    assert bike is not None
    cases = riding_cases(bike, setup.policies)
    assert cases is not None
    course = steady_course(np.array([report.ridden / 3.6]))
    km = usable_column_wh(cases.band) / use_wh_per_km(cases.band, bike.drive, course)
    return float(km[1, 0]), float(km[2, 0])


def speed_band_kmh(report: SpeedReport) -> Band:
    """Speed on the level that the shaft's power holds, at the hard and at the favorable end of the band [km/h]."""
    limits = PowerLimits(
        torque_nm=np.inf, shaft_w=report.shaft_w, battery_a=1e6, open_v=1e3, resistance_ohm=0.0, floor_v=0.0,
        rad_s_per_v=np.inf, top_rad_s=np.inf, auxiliary_w=0.0, torque_words="", shaft_words="", battery_words="",
    )  # fmt: skip
    drive = DriveLine(controller_share=1.0, final_share=report.final_share)
    road = body_road_load(report.mass_kg, report.cda_m2, CRR, air_density_kg_m3(20.0))
    low, high = (
        highest_speed(limits, drive, road.scaled(1 + sign * CDA_BAND, 1 + sign * CRR_BAND)).kmh for sign in (1, -1)
    )
    return low, high
