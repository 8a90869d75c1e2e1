"""Invented shops of different make-up for the calibration of the odds: seeded, so that a failure can be repeated."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, time, timedelta
from decimal import Decimal

from quoting.request import (
    Bench,
    DaySpan,
    Need,
    OpenBuild,
    Opening,
    OpenStep,
    Person,
    Receipt,
    ShopState,
    StockLevel,
    Supply,
)

DAY = date(2027, 3, 1)  # a Monday
KINDS = ("intake", "lift", "fabrication", "electric", "pack", "assembly", "test")
PARTS = ("motor", "controller", "cells", "bms", "charger")
NONE = Decimal(0)
PAINT = OpenStep(
    code="paint", label="paint", skill="", bench_type="", low_h=NONE, likely_h=NONE, high_h=NONE, lead_days=9
)


def calibration_shop(seed: int, builds: int) -> ShopState:
    """Four to seven people with overlapping skills, one or two benches of each of seven types, some builds with outside
    paint, parts from three suppliers, some on the shelf, some on their way, some late."""
    dice = random.Random(seed)  # noqa: S311  an invented shop, no secret
    people = []
    for number in range(dice.randint(4, 7)):
        skills = {KINDS[(number + at) % len(KINDS)] for at in range(2)} | set(dice.sample(KINDS, 2))
        first = DAY + timedelta(days=dice.randint(10, 120))
        leave = (DaySpan(first=first, last=first + timedelta(days=dice.randint(2, 11))),)
        people.append(Person(name=f"person {number}", skills=tuple(sorted(skills)), leave=leave))
    benches = [Bench(name=f"{kind} {at}", bench_type=kind) for kind in KINDS for at in range(dice.randint(1, 2))]
    covered = {skill for person in people for skill in person.skills}
    people[0] = replace(people[0], skills=tuple(sorted({*people[0].skills, *(set(KINDS) - covered)})))
    line = tuple(calibration_build(dice, number, str(number + 1)) for number in range(builds))
    return ShopState(
        zone="America/New_York",
        openings=tuple(
            Opening(weekday=weekday, start=time(start), end=time(start + 4))
            for weekday in range(5)
            for start in (8, 13)
        ),
        closed_days=(DaySpan(first=date(2027, 7, 5), last=date(2027, 7, 9)),),
        benches=tuple(benches),
        people=tuple(people),
        stock=tuple(StockLevel(code=code, on_hand=Decimal(dice.randint(0, builds // 2))) for code in PARTS),
        receipts=tuple(
            Receipt(
                code=code,
                quantity=Decimal(dice.randint(1, max(builds // 4, 2))),
                expected=DAY + timedelta(days=dice.randint(-6, 50)),
                order=f"order {number % 5}",
                supplier=f"supplier {PARTS.index(code) % 3}",
            )
            for number, code in enumerate(PARTS * 2)
        ),
        supplies=tuple(
            Supply(code=code, supplier=f"supplier {number % 3}", low_days=low, likely_days=likely, high_days=high)
            for number, code in enumerate(PARTS)
            for likely in (dice.randint(20, 60),)
            for low, high in ((likely * 3 // 4, likely * dice.randint(13, 20) // 10),)
        ),
        builds=line,
    )


def calibration_build(dice: random.Random, number: int, name: str) -> OpenBuild:
    """Seven steps, every third build with paint done elsewhere before assembly; every part wanted by one step."""
    steps = []
    for kind in KINDS:
        likely = Decimal(dice.randint(2, 10))
        low, high = likely * dice.randint(60, 85) / 100, likely * dice.randint(120, 220) / 100
        if kind == "assembly" and number % 3 == 0:
            steps.append(PAINT)
        steps.append(
            OpenStep(code=kind, label=kind, skill=kind, bench_type=kind, low_h=low, likely_h=likely, high_h=high)
        )
    wanted = dict(zip(PARTS, ("fabrication", "electric", "pack", "pack", "assembly"), strict=True))
    needs = tuple(Need(code=code, quantity=Decimal(1), step=step, name=code) for code, step in wanted.items())
    return OpenBuild(number=name, place=number + 1, steps=tuple(steps), needs=needs)


def with_one_more(shop: ShopState, seed: int) -> ShopState:
    """The same shop with one more build last in line, number "new"."""
    dice = random.Random(f"one more {seed}")  # noqa: S311
    return replace(shop, builds=(*shop.builds, calibration_build(dice, len(shop.builds), "new")))
