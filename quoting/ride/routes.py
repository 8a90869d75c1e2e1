"""The three ride profiles quotes speak of: Town, Back road, Highway. Our own routes; no source but the shapes below.

Town: between lights and corners, 25 to 45 mph (40 to 72 km/h) and never faster, a stop every kilometer or so,
level. Back road: corners at 30 to 40 mph, a straight at 75 mph (121 km/h), about 45 mph (72 km/h) on average, hills of
3 to 6 % that end as high as they began. Highway: 65 to 70 mph (105 to 113 km/h) without a stop, long swells of 1 to
2 %. Speeds and stops are common practice, no source.
"""

from __future__ import annotations

from functools import cache

from quoting.ride.traces import Leg, Rider, Trace, ride_route

MPH = 1.609344  # km/h, exact: NIST SP 811

# Common practice, no source: with traffic, and briskly on an empty road. The regulation city cycle peaks at 1.48 m/s2.
TOWN_RIDER = Rider(accel_ms2=1.6, power_w_kg=14.0, brake_ms2=1.6)
BRISK_RIDER = Rider(accel_ms2=2.0, power_w_kg=14.0, brake_ms2=2.2)
HIGHWAY_RIDER = Rider(accel_ms2=0.25, power_w_kg=8.0, brake_ms2=0.25)

TOWN = (
    Leg(320, 25 * MPH, stop_s=8),
    Leg(640, 30 * MPH, stop_s=20),
    Leg(750, 35 * MPH),
    Leg(520, 30 * MPH, stop_s=15),
    Leg(430, 30 * MPH),
    Leg(1100, 40 * MPH, stop_s=25),
    Leg(380, 25 * MPH),
    Leg(820, 35 * MPH, stop_s=18),
    Leg(480, 30 * MPH),
    Leg(1300, 45 * MPH, stop_s=22),
    Leg(560, 30 * MPH, stop_s=6),
    Leg(900, 35 * MPH),
    Leg(680, 30 * MPH, stop_s=20),
    Leg(360, 25 * MPH),
    Leg(880, 35 * MPH, stop_s=15),
    Leg(480, 30 * MPH, stop_s=12),
)
BACK_ROAD = (
    Leg(800, 45 * MPH),
    Leg(900, 50 * MPH, 3.0),
    Leg(350, 40 * MPH, 4.0),
    Leg(1100, 50 * MPH, 2.0),
    Leg(220, 35 * MPH),
    Leg(1300, 55 * MPH, -2.0),
    Leg(400, 40 * MPH, -4.0),
    Leg(900, 45 * MPH, -3.0),
    Leg(250, 35 * MPH, stop_s=6),
    Leg(1500, 75 * MPH),
    Leg(450, 45 * MPH, 3.0),
    Leg(300, 35 * MPH, 6.0),
    Leg(700, 45 * MPH, 5.0),
    Leg(260, 35 * MPH, 2.0),
    Leg(1300, 50 * MPH),
    Leg(1600, 55 * MPH, -1.0),
    Leg(400, 40 * MPH, -5.0),
    Leg(900, 45 * MPH, -4.0),
    Leg(260, 30 * MPH),
    Leg(1200, 50 * MPH),
    Leg(600, 45 * MPH),
    Leg(1100, 55 * MPH, 1.0),
    Leg(300, 40 * MPH),
    Leg(1000, 45 * MPH, -0.55, stop_s=6),
)
HIGHWAY = (
    Leg(1800, 67 * MPH),
    Leg(1500, 66 * MPH, 1.0),
    Leg(1200, 65 * MPH, 2.0),
    Leg(2000, 68 * MPH),
    Leg(1600, 70 * MPH, -1.0),
    Leg(1800, 68 * MPH, -1.0),
    Leg(1400, 66 * MPH),
    Leg(1700, 69 * MPH, 1.0),
    Leg(1500, 67 * MPH, -1.0),
    Leg(2200, 70 * MPH, -0.33),
)


@cache
def profiles() -> tuple[Trace, ...]:
    """Town, back road and highway, in this order."""
    return (
        ride_route("town", "Town", TOWN, TOWN_RIDER),
        ride_route("back_road", "Back road", BACK_ROAD, BRISK_RIDER),
        ride_route("highway", "Highway", HIGHWAY, HIGHWAY_RIDER, start_kmh=67 * MPH),
    )
