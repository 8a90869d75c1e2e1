"""Schedules against results of scheduling theory.

Two machines in series: Johnson, "Optimal two- and three-stage production schedules with setup times included", Naval
Research Logistics Quarterly 1 (1954): his order has the least makespan.
One machine: Smith, "Various optimizers for single-stage production", Naval Research Logistics Quarterly 3 (1956):
shortest job first has the least mean flow time.
FT06: Fisher and Thompson, in Muth and Thompson, Industrial Scheduling (1963), data from memory; its least makespan is
55, proved. No order of jobs may beat it: a plan that books a machine twice would.
Serial schedule generation in a fixed order gives active schedules: Kolisch, European Journal of Operational Research 90
(1996): no step could start earlier without moving another. The four papers are cited from memory.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, time
from decimal import Decimal
from itertools import permutations

import pytest

from quoting.promise import plan_line
from quoting.request import Bench, OpenBuild, Opening, OpenStep, Person, Policies, ShopState
from quoting.result import LinePlan

DAY = date(2027, 3, 1)
START = datetime(2027, 3, 1, tzinfo=UTC)
Job = Sequence[tuple[int, int]]  # (machine, hours) in order

# Invented hours on the first and the second machine.
JOHNSON: dict[str, tuple[int, int]] = {"A": (3, 6), "B": (7, 2), "C": (4, 7), "D": (5, 3), "E": (7, 4)}
FT06: tuple[Job, ...] = (
    ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
    ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
    ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
    ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
    ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
    ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
)


def line_of_jobs(jobs: Iterable[Job], machines: int) -> LinePlan:
    """Jobs as builds in that order, each machine a bench with its own person, open day and night in UTC."""
    builds = tuple(
        OpenBuild(
            number=f"J{place}",
            place=place,
            steps=tuple(
                OpenStep(
                    code=f"m{machine}",
                    label=f"m{machine}",
                    skill=f"m{machine}",
                    bench_type=f"m{machine}",
                    low_h=Decimal(0),
                    likely_h=Decimal(hours),
                    high_h=Decimal(0),
                )
                for machine, hours in job
            ),
        )
        for place, job in enumerate(jobs, start=1)
    )
    shop = ShopState(
        zone="UTC",
        openings=tuple(Opening(weekday=weekday, start=time(0), end=time(0)) for weekday in range(7)),
        benches=tuple(Bench(name=f"m{number}", bench_type=f"m{number}") for number in range(machines)),
        people=tuple(Person(name=f"p{number}", skills=(f"m{number}",)) for number in range(machines)),
        builds=builds,
    )
    return plan_line(shop, START, DAY, Policies())


def ends(line: LinePlan) -> list[float]:
    """When each job ends, from the start [h]."""
    return [(plan.steps[-1].end - START).total_seconds() / 3600 for plan in line.builds]


def two_in_series(order: Iterable[str]) -> float:
    return max(ends(line_of_jobs([[(0, JOHNSON[job][0]), (1, JOHNSON[job][1])] for job in order], 2)))


def test_johnsons_order_has_the_least_makespan_of_all_orders():
    # First machine shorter, ascending: A 3, C 4; second shorter, descending: E 4, D 3, B 2. First machine ends 3, 7,
    # 14, 19, 26; second 9, 16, 20, 23, 28.
    assert two_in_series("ACEDB") == 28
    assert min(two_in_series(order) for order in permutations("ABCDE")) == 28


def test_shortest_first_has_the_least_mean_flow_time():
    hours = (5, 2, 9, 3, 7)
    flow = {order: sum(ends(line_of_jobs([[(0, each)] for each in order], 1))) for order in permutations(hours)}
    # 2, 5, 10, 17, 26 in order of length: 60
    assert flow[2, 3, 5, 7, 9] == 60
    assert min(flow.values()) == 60


def test_no_order_of_the_six_jobs_beats_the_proved_optimum():
    makespans = [max(ends(line_of_jobs(order, 6))) for order in permutations(FT06)]
    assert min(makespans) >= 55
    assert min(makespans) <= 55 * 1.2  # job after job is a plain rule; its best order comes near


@pytest.mark.parametrize("order", [(0, 1, 2, 3, 4, 5), (5, 3, 1, 0, 2, 4)])
def test_no_step_could_start_earlier_without_moving_another(order: tuple[int, ...]):
    line = line_of_jobs([FT06[number] for number in order], 6)
    for lane in line.benches:
        taken = sorted((booking.start, booking.end, booking.build) for booking in lane.bookings)
        for plan in line.builds:
            ready = START
            for step in plan.steps:
                if step.bench == lane.name:
                    length = step.end - step.start
                    free_from = [ready, *(end for _, end, build in taken if build != plan.number and end > ready)]
                    for begin in (moment for moment in free_from if moment < step.start):
                        others = [row for row in taken if row[2] != plan.number]
                        assert any(start < begin + length and end > begin for start, end, _ in others)
                ready = step.end
