"""One option worked out whole, without the schedule, and the share of each part: python -m tests.benchmarks.evaluation

Aim: pack, weight, ride on all profiles, wiring, charging and every rule in under 5 ms. Best of several runs, for the
sound build of the rules' tests, for the same whose motor has an efficiency grid, with two faults, and with a catalogue
to look for ways out in.
"""

from __future__ import annotations

import sys
import timeit
from collections.abc import Callable
from dataclasses import replace
from time import process_time

from quoting.charging import charge_figures
from quoting.pack import pack_figures
from quoting.price import price_sheet
from quoting.ride import ride_figures
from quoting.rules import check
from quoting.setup import setup_of
from quoting.weight import weight_figures
from quoting.wiring import wiring_figures
from tests.benchmarks.rules import catalogue
from tests.quoting.ride.gridded import of_three_numbers
from tests.quoting.rules.bike import MOTOR, Bike

AIM_MS = 5.0
# Eight speeds by eight torques, as a data sheet of such a motor has them; invented.
GRID = of_three_numbers(MOTOR, (50, 150, 300, 500, 700, 900, 1100, 1300), (8, 20, 40, 65, 95, 130, 165, 200))
STOCKED = ("controller", "motor", "cell", "bms", "charger", "fuse", "cable")


def best_ms(work: Callable[[], object], times: int = 10) -> float:
    """Best of fifteen runs of `times` calls, one call, in the processor's time [ms]: others may use the machine too."""
    return min(timeit.repeat(work, number=times, repeat=15, timer=process_time)) / times * 1000


def parts_ms(bike: Bike) -> dict[str, float]:
    """How long each part takes [ms]."""
    request = bike.request()
    option = request.options[0]
    setup = setup_of(request, option)
    pack = pack_figures(setup)
    weight = weight_figures(setup, pack)
    ride = ride_figures(setup, pack, weight)
    facts = bike.facts()
    return {
        "reading specs": best_ms(lambda: setup_of(request, option)),
        "pack": best_ms(lambda: pack_figures(setup)),
        "weight": best_ms(lambda: weight_figures(setup, pack)),
        "ride, three profiles, six cases": best_ms(lambda: ride_figures(setup, pack, weight)),
        "wiring": best_ms(lambda: wiring_figures(setup, pack, ride)),
        "charging": best_ms(lambda: charge_figures(setup, pack)),
        "price": best_ms(lambda: price_sheet(request, option)),
        "rules": best_ms(lambda: check(facts)),
    }


def report(title: str, each: dict[str, float]) -> str:
    whole = sum(each.values())
    lines = [f"  {name:<34}{took:7.2f} ms {took / whole:6.0%}" for name, took in each.items()]
    return "\n".join((title, *lines, f"  {'together':<34}{whole:7.2f} ms, {whole / AIM_MS:.2f} of {AIM_MS:g} ms", ""))


def main() -> None:
    sound = Bike()
    stocked = tuple(item for kind in STOCKED for item in catalogue(kind))
    faulty = sound.with_("controller", max_v=80).with_("fuse", dc_v=58)
    sys.stdout.write(report("sound build", parts_ms(sound)))
    sys.stdout.write(
        report("sound build, motor with an efficiency grid", parts_ms(sound.with_("motor", efficiency_grid=GRID)))
    )
    sys.stdout.write(report("two faults, no catalogue", parts_ms(faulty)))
    sys.stdout.write(
        report(f"two faults, ways out among {len(stocked)} parts", parts_ms(replace(faulty, catalogue=stocked)))
    )


if __name__ == "__main__":
    main()
