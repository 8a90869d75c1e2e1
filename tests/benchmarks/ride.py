"""How long ride figures take. Run: python -m tests.benchmarks.ride; prints numbers, asserts nothing."""

from __future__ import annotations

import time
from collections.abc import Callable

from quoting.ride import ride_figures, standard_ranges, trip
from quoting.ride.bike import bike_of
from quoting.ride.energy import use_wh_per_km
from quoting.ride.figures import profile_course
from quoting.ride.ranges import riding_cases
from tests.quoting.ride.bikes import PACK, WEIGHT, hub_setup, mid_setup

ROUNDS = 300


def milliseconds(work: Callable[[], object]) -> tuple[float, float]:
    """Best and mean of many rounds [ms], after one to fill the caches."""
    work()
    took = []
    for _ in range(ROUNDS):
        begin = time.perf_counter()
        work()
        took.append(1000 * (time.perf_counter() - begin))
    return min(took), sum(took) / ROUNDS


def three_profiles() -> object:
    """Only the energy of three profiles in six cases."""
    setup = hub_setup()
    bike = bike_of(setup, PACK, WEIGHT)
    cases = riding_cases(bike, setup.policies) if bike else None
    return use_wh_per_km(cases.rows, bike.drive, profile_course()) if bike and cases else None


def main() -> None:
    """Print a row per subject."""
    hub, mid = hub_setup(), mid_setup()
    rows: tuple[tuple[str, Callable[[], object]], ...] = (
        ("three profiles, six cases, energy alone", three_profiles),
        ("all ride figures, hub motor", lambda: ride_figures(hub, PACK, WEIGHT)),
        ("all ride figures, mid motor", lambda: ride_figures(mid, PACK, WEIGHT)),
        ("one trip", lambda: trip(hub, PACK, WEIGHT, distance_km=40, highway_km=10, climb_m=200)),
        ("standard cycles", lambda: standard_ranges(hub, PACK, WEIGHT)),
    )
    for label, work in rows:
        best, mean = milliseconds(work)
        print(f"{label:42} best {best:6.2f} ms   mean {mean:6.2f} ms")  # noqa: T201  a benchmark prints


if __name__ == "__main__":
    main()
