"""How long the promise engine takes: python -m tests.benchmarks.promise [--odds] [--replan]

Shops of 6 people with overlapping skills and 12 benches of 8 types; 8 steps and 6 parts per build, lead times from 30
to 75 days. Times in milliseconds, best of several; the first call also works out each estimate's slow hours. With
`--odds` and `--replan` also what `tests/benchmarks/odds.py` measures, beside its targets.
"""

import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from decimal import Decimal
from functools import partial
from time import perf_counter

from quoting.promise import insert, plan_line, prepare, work_out_promise
from quoting.request import (
    Bench,
    DaySpan,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Option,
    PartLine,
    Person,
    QuoteRequest,
    Receipt,
    ShopState,
    StepLine,
    StockLevel,
    Supply,
)
from tests.benchmarks import odds

TYPES = ("intake", "lift", "fabrication", "paint", "electric", "pack", "assembly", "test")
KINDS = ("motor", "controller", "cell", "bms", "charger", "final_drive")
DAY = date(2027, 3, 1)
REPEATS = 7


def hours(build: int, step: int) -> tuple[Decimal, Decimal, Decimal]:
    """A three-point estimate that differs from family to family (three of them) and step to step."""
    likely = Decimal(2 + (3 * step + 2 * (build % 3)) % 7)
    return likely * (60 + 5 * (build % 3)) / 100, likely, likely * (150 + 8 * step) / 100


def shop_of(builds: int) -> ShopState:
    """A shop with that many open builds in line."""
    line = []
    for number in range(builds):
        steps = []
        for step, kind in enumerate(TYPES):
            low, likely, high = hours(number, step)
            steps.append(
                OpenStep(code=kind, label=kind, skill=kind, bench_type=kind, low_h=low, likely_h=likely, high_h=high)
            )
        needs = tuple(Need(code=code, quantity=Decimal(1), step=TYPES[2 + at]) for at, code in enumerate(KINDS))
        line.append(OpenBuild(number=f"B{number:03}", place=number + 1, steps=tuple(steps), needs=needs))
    return ShopState(
        zone="America/New_York",
        openings=tuple(
            Opening(weekday=weekday, start=time(start), end=time(start + 4))
            for weekday in range(5)
            for start in (8, 13)
        ),
        closed_days=(DaySpan(first=date(2027, 7, 5), last=date(2027, 7, 9)),),
        benches=tuple(Bench(name=f"Bench {at}", bench_type=TYPES[at % 8]) for at in range(12)),
        people=tuple(
            Person(
                name=f"Person {at}",
                skills=tuple(TYPES[(at + step) % 8] for step in (0, 1, 2, 4, 6)),
                leave=(DaySpan(first=date(2027, 4 + at, 12), last=date(2027, 4 + at, 16)),),
            )
            for at in range(6)
        ),
        stock=tuple(StockLevel(code=code, on_hand=Decimal(builds // 3)) for code in KINDS),
        receipts=tuple(
            Receipt(code=code, quantity=Decimal(builds // 4 + 1), expected=date(2027, 3, 5 + 3 * at), order=f"PO-{at}")
            for at, code in enumerate(KINDS)
        ),
        supplies=tuple(
            Supply(code=code, supplier="Estuary", likely_days=30 + 9 * at, high_days=45 + 9 * at)
            for at, code in enumerate(KINDS)
        ),
        builds=tuple(line),
    )


def request_of(builds: int) -> QuoteRequest:
    """A quote with one option behind that many builds."""
    steps = []
    for step, kind in enumerate(TYPES):
        low, likely, high = hours(builds, step)
        needs = KINDS[step - 2 : step - 1] if step >= 2 else ()
        steps.append(
            StepLine(
                code=kind, label=kind, skill=kind, bench_type=kind, low_h=low, likely_h=likely, high_h=high, needs=needs
            )
        )
    parts = tuple(
        PartLine(code=kind, kind=kind, name=kind, quantity=Decimal(1), unit_price=Decimal(1)) for kind in KINDS
    )
    option = Option(key="a", label="A", parts=parts, steps=tuple(steps))
    now = datetime(2027, 3, 1, 15, tzinfo=UTC)
    return QuoteRequest(day=DAY, now=now, currency="USD", options=(option,), shop=shop_of(builds))


def best_ms(work: Callable[[], object]) -> float:
    """The shortest of several runs [ms]."""
    times = []
    for _ in range(REPEATS):
        begin = perf_counter()
        work()
        times.append(perf_counter() - begin)
    return min(times) * 1000


def main() -> None:
    """Print the table."""
    sys.stdout.write(f"{'builds':>6} {'first':>8} {'promise':>8} {'prepare':>8} {'insert':>8} {'line':>8}  [ms]\n")
    for builds in (9, 20, 60, 120):
        request = request_of(builds)
        option = request.options[0]
        begin = perf_counter()
        work_out_promise(request, option)
        first = (perf_counter() - begin) * 1000
        planned = prepare(request)
        columns = (
            first,
            best_ms(partial(work_out_promise, request, option)),
            best_ms(partial(prepare, request)),
            best_ms(partial(insert, planned, option)),
            best_ms(partial(plan_line, request.shop, request.now, request.day, request.policies)),
        )
        sys.stdout.write(f"{builds:6} " + " ".join(f"{value:8.1f}" for value in columns) + "\n")
    if "--odds" in sys.argv:
        odds.counter(request_of)
        odds.caches(request_of)
    if "--replan" in sys.argv:
        odds.replans(shop_of, DAY)


if __name__ == "__main__":
    main()
