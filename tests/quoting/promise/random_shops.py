"""Random small shops for property tests: uneven weeks, leave, downtime, parts from everywhere, work under way."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal

from hypothesis import strategies as st

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
    Receipt,
    ShopState,
    StepLine,
    StockLevel,
    Supply,
    Turn,
)
from tests.quoting.promise.shops import DAY, ZONE

TYPES = ("lift", "electric", "")
SKILLS = ("weld", "wire", "")
CODES = ("motor", "cells", "harness")
QUARTERS = st.integers(1, 60).map(lambda quarters: Decimal(quarters) / 4)
HOURS = st.one_of(QUARTERS, st.decimals("0.1", "12", places=2))


@st.composite
def spans(draw: st.DrawFn, most_days: int = 8, within: int = 40) -> DaySpan:
    first = DAY + timedelta(days=draw(st.integers(-3, within)))
    return DaySpan(first=first, last=first + timedelta(days=draw(st.integers(0, most_days))))


@st.composite
def open_steps(draw: st.DrawFn, code: str) -> OpenStep:
    likely = draw(HOURS)
    outside = draw(st.integers(0, 9)) == 0
    return OpenStep(
        code=code,
        label=code,
        skill="" if outside else draw(st.sampled_from(SKILLS)),
        bench_type="" if outside else draw(st.sampled_from(TYPES)),
        low_h=likely / 2,
        likely_h=likely,
        high_h=likely * draw(st.sampled_from((1, 2))),
        lead_days=draw(st.integers(1, 12)) if outside else 0,
    )


@st.composite
def open_builds(draw: st.DrawFn, number: int, hold: bool = True) -> OpenBuild:
    steps = tuple(draw(open_steps(f"s{at}")) for at in range(draw(st.integers(1, 4))))
    codes = st.sampled_from([*(each.code for each in steps), ""])
    needs = st.builds(
        Need, code=st.sampled_from(CODES), quantity=st.integers(1, 3).map(Decimal), step=codes, name=st.just("")
    )
    return OpenBuild(
        number=f"B{number}",
        place=number,
        steps=steps,
        needs=tuple(draw(st.lists(needs, max_size=3))),
        promised_to=draw(st.one_of(st.none(), st.integers(0, 60).map(lambda days: DAY + timedelta(days=days)))),
        on_hold=hold and draw(st.integers(0, 7)) == 0,
    )


@st.composite
def weeks(draw: st.DrawFn) -> tuple[Opening, ...]:
    """Mornings and afternoons of different lengths on some days, at most one of each a day."""
    halves = draw(st.lists(st.tuples(st.integers(0, 6), st.booleans()), min_size=3, max_size=9, unique=True))
    return tuple(
        Opening(weekday=day, start=time(draw(st.integers(6, 9))), end=time(12))
        if morning
        else Opening(weekday=day, start=time(12, 30), end=time(draw(st.integers(15, 19))))
        for day, morning in halves
    )


def start_some(draw: st.DrawFn, builds: list[OpenBuild], people: list[Person], benches: list[Bench]) -> list[OpenBuild]:
    """Put the first step of some builds under way, each with its own person and bench."""
    left = datetime(2027, 2, 26, 14, tzinfo=UTC)
    free_people, free_benches = list(people), list(benches)
    running = []
    for build in builds:
        first = build.steps[0]
        bench = next((each for each in free_benches if each.bench_type == first.bench_type), None)
        person = next((each for each in free_people if not first.skill or first.skill in each.skills), None)
        if build.on_hold or person is None or (first.bench_type and bench is None) or draw(st.booleans()):
            running.append(build)
            continue
        if not first.lead_days:
            free_people.remove(person)
        if bench:
            free_benches.remove(bench)
        begun = replace(first, started=left, person=person.name, bench=bench.name if bench else "")
        running.append(replace(build, steps=(begun, *build.steps[1:])))
    return running


@st.composite
def shops(draw: st.DrawFn, most_builds: int = 5) -> ShopState:
    """A shop that can do every step, so that nothing is blocked for want of a person, bench or supplier."""
    benches = [Bench(name=f"bench {at}", bench_type=TYPES[at % 2]) for at in range(draw(st.integers(2, 4)))]
    people = [Person(name=f"person {at}", skills=SKILLS[:2] if at == 0 else (SKILLS[at % 2],)) for at in range(3)]
    people = people[: draw(st.integers(1, 3))]
    builds = [draw(open_builds(number)) for number in range(1, draw(st.integers(0, most_builds)) + 1)]
    builds = start_some(draw, builds, people, benches)
    return ShopState(
        zone=ZONE,
        openings=draw(weeks()),
        closed_days=tuple(draw(st.lists(spans(), max_size=2))),
        benches=tuple(
            Bench(name=each.name, bench_type=each.bench_type, down=tuple(draw(st.lists(spans(), max_size=1))))
            for each in benches
        ),
        people=tuple(
            Person(name=each.name, skills=each.skills, leave=tuple(draw(st.lists(spans(), max_size=2))))
            for each in people
        ),
        stock=tuple(StockLevel(code=code, on_hand=Decimal(draw(st.integers(0, 3)))) for code in CODES),
        receipts=tuple(draw(st.lists(receipts(), max_size=3, unique_by=lambda receipt: receipt.order))),
        supplies=tuple(
            Supply(
                code=code,
                supplier="Estuary",
                likely_days=draw(st.integers(0, 30)),
                high_days=draw(st.integers(10, 45)),
                closed=tuple(draw(st.lists(spans(), max_size=1))),
            )
            for code in CODES
        ),
        builds=tuple(builds),
        turns=tuple(draw(turns(builds)) for _ in range(draw(st.integers(0, 2)))) if len(builds) > 1 else (),
        revision=3,
    )


@st.composite
def turns(draw: st.DrawFn, builds: list[OpenBuild]) -> Turn:
    """Any step before any step of another build; rings happen."""
    first, then = draw(st.permutations(builds))[:2]
    codes = [draw(st.sampled_from(each.steps)).code for each in (first, then)]
    return Turn(build=first.number, step=codes[0], then_build=then.number, then_step=codes[1])


def receipts() -> st.SearchStrategy[Receipt]:
    return st.builds(
        Receipt,
        code=st.sampled_from(CODES),
        quantity=st.integers(1, 4).map(Decimal),
        expected=st.one_of(st.none(), st.dates(DAY - timedelta(days=9), date(2027, 4, 9))),
        order=st.integers(1, 99).map("PO-{}".format),
    )


@st.composite
def options(draw: st.DrawFn) -> Option:
    """An option such a shop can build; each part is named by a step or by none."""
    steps = [draw(open_steps(f"s{at}")) for at in range(draw(st.integers(1, 4)))]
    lines = tuple(
        StepLine(
            code=each.code,
            label=each.label,
            skill=each.skill,
            bench_type=each.bench_type,
            low_h=each.low_h,
            likely_h=each.likely_h,
            high_h=each.high_h,
            lead_days=each.lead_days,
            needs=tuple(draw(st.lists(st.sampled_from(CODES), max_size=2))),
        )
        for each in steps
    )
    codes = draw(st.lists(st.sampled_from(CODES), max_size=3, unique=True))
    parts = tuple(
        PartLine(code=code, kind=code, name=code, quantity=Decimal(draw(st.integers(1, 3))), unit_price=Decimal(1))
        for code in codes
    )
    return Option(key="a", label="A", parts=parts, steps=lines)
