"""How long the finder takes, in the processor's time: others may use the machine too.

Run by hand: python -m tests.benchmarks.finder. Prints counts, seconds by stage, best and middle of the whole answer.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from decimal import Decimal

from quoting.finder import FinderRequest, Store, find_sets
from quoting.finder.bench import bench_of
from quoting.finder.bounds import bounds_of
from quoting.finder.grow import grow
from quoting.finder.question import raw_count
from quoting.finder.tables import count
from quoting.finder.wished import wishes_made
from quoting.finder.worth import worth_of
from quoting.promise import prepare
from quoting.request import PartLine, Wishes
from tests.quoting.finder.catalogues import asked, part, slot, slots_of

RUNS = 5
AIM_S = 1.0  # a million combinations, answered while the customer looks up


def alike(like: str, code: str, number: int, vary: Callable[[int], dict[str, object]]) -> tuple[PartLine, ...]:
    """So many parts like one of the example's, their prices and one or two specs spread."""
    return tuple(part(f"{code}{at}", like, str(200 + 37 * at), **vary(at)) for at in range(number))


def catalogue(motors: int, controllers: int, others: int, stores: int) -> FinderRequest:
    """A catalogue of so many parts a kind; a third of motors and controllers are of another voltage class."""
    slots, kept = slots_of(
        slot("motor", *alike("M-EX", "M", motors, lambda n: {"cont_kw": 6 + n, "max_v": 60 if n % 3 == 2 else 96})),
        slot("controller", *alike("C-EX", "C", controllers, lambda n: {"battery_cont_a": 120 + 8 * n})),
        slot("charger", *alike("CH-EX", "H", others, lambda n: {"power_w": 900 + 300 * n, "mass_kg": 2.5 + n / 2})),
        slot("fuse", *alike("F-EX", "F", others, lambda n: {"rating_a": 150 + 25 * n})),
        slot("dcdc", *alike("DC-EX", "D", others, lambda n: {"output_a": 15 + 5 * n, "mass_kg": 0.7 + n / 10})),
    )
    cells = alike("CELL-EX", "E", stores, lambda n: {"capacity_ah": 4.2 + 0.3 * n})
    priced = (Store(line=replace(line, unit_price=Decimal("5.40") + n)) for n, line in enumerate(cells))
    return replace(asked(slots, tuple(priced), kept, series=(1, 30), parallel=(1, 30)), shown=12)


@contextmanager
def timed(took: dict[str, float], stage: str) -> Iterator[None]:
    start = time.process_time()
    yield
    took[stage] = time.process_time() - start


def stages(question: FinderRequest) -> tuple[int, dict[str, float]]:
    """Sets left after the rules on parts, and seconds of each stage."""
    took: dict[str, float] = {}
    with timed(took, "parts read and priced"):
        bench, planned = bench_of(question), prepare(question.request)
        worth = worth_of(bench, planned)
    with timed(took, "sets grown and cut by rules"):
        grown = grow(bench, worth)
    with timed(took, "bounds of every set"):
        bounds_of(bench, worth, planned, grown, wishes_made(question.request.wishes))
    return count(grown.rows), took


def told(name: str, question: FinderRequest) -> list[str]:
    find_sets(question)  # the tables of routes and curves are made once a process
    judged, took = stages(question)
    whole: dict[str, float] = {}
    for run in range(RUNS):
        with timed(whole, str(run)):
            answer = find_sets(question)
    best_s, middle_s = min(whole.values()), statistics.median(whole.values())
    raw = raw_count(question)
    lines = [f"{name}: {raw:,} combinations, {judged:,} left by the rules on parts, {answer.counts.looked} looked at"]
    lines += [f"    {stage:<34}{seconds:7.3f} s" for stage, seconds in took.items()]
    label = f"whole answer, {len(answer.sets)} sets told"
    lines.append(
        f"    {label:<34}{best_s:7.3f} s best, {middle_s:.3f} s middle of {RUNS}, {middle_s / AIM_S:.2f} of {AIM_S:g} s"
    )
    return lines


def main() -> None:
    """Print the table."""
    small = catalogue(4, 4, 3, 3)
    wide = catalogue(8, 8, 4, 4)
    wishes = Wishes(back_road_km=40.0, held_kmh=90.0, budget=Decimal(18000))
    out = [
        *told("small catalogue", small),
        *told("small catalogue, with wishes", replace(small, request=replace(small.request, wishes=wishes))),
        *told("wide catalogue", wide),
    ]
    sys.stdout.write("\n".join(out) + "\n")


if __name__ == "__main__":
    main()
