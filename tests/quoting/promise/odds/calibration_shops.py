"""Invented shops of different make-up for the calibration of the odds: seeded, so that a failure can be repeated.

Six people with overlapping skills, twelve benches of eight types, eight steps and six parts a build, lead times of 30
to 75 days. What the odds were tuned on are the shops of `TUNED`; those of `HELD_OUT` were never looked at before.
"""

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
KINDS = ("intake", "lift", "fabrication", "paint", "electric", "pack", "assembly", "test")
WANTED = {
    "motor": "fabrication",
    "controller": "electric",
    "cells": "pack",
    "bms": "pack",
    "charger": "assembly",
    "drive": "assembly",
}  # the step that needs each part
PARTS = tuple(WANTED)
TUNED, HELD_OUT = range(12), range(500, 512)
NONE = Decimal(0)
PAINTED = OpenStep(
    code="paint", label="paint", skill="", bench_type="", low_h=NONE, likely_h=NONE, high_h=NONE, lead_days=9
)


def calibration_shop(seed: int, builds: int) -> ShopState:
    """Some builds with outside paint, some people on leave, parts from three suppliers: some on the shelf, some on
    their way, some late."""
    dice = random.Random(seed)  # noqa: S311  an invented shop, no secret
    supplies = []
    for number, code in enumerate(PARTS):
        likely = dice.randint(30, 75)
        low, high = likely * 3 // 4, likely * dice.randint(13, 20) // 10
        supplies.append(
            Supply(code=code, supplier=f"supplier {number % 3}", low_days=low, likely_days=likely, high_days=high)
        )
    types = (*KINDS, *dice.sample(KINDS, 4))
    return ShopState(
        zone="America/New_York",
        openings=tuple(
            Opening(weekday=weekday, start=time(start), end=time(start + 4))
            for weekday in range(5)
            for start in (8, 13)
        ),
        closed_days=(DaySpan(first=date(2027, 7, 5), last=date(2027, 7, 9)),),
        benches=tuple(Bench(name=f"bench {at}", bench_type=kind) for at, kind in enumerate(types)),
        people=tuple(calibration_person(dice, number) for number in range(6)),
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
        supplies=tuple(supplies),
        builds=tuple(calibration_build(dice, number, str(number + 1)) for number in range(builds)),
    )


def calibration_person(dice: random.Random, number: int) -> Person:
    """Three skills side by side, so that every step has someone, and up to two more; away for up to twelve days."""
    skills = {KINDS[(2 * number + at) % len(KINDS)] for at in range(3)} | set(dice.sample(KINDS, 2))
    first = DAY + timedelta(days=dice.randint(10, 150))
    leave = (DaySpan(first=first, last=first + timedelta(days=dice.randint(2, 11))),)
    return Person(name=f"person {number}", skills=tuple(sorted(skills)), leave=leave)


def calibration_build(dice: random.Random, number: int, name: str) -> OpenBuild:
    """Eight steps, every third build with paint done elsewhere; every part wanted by one step."""
    steps = []
    for kind in KINDS:
        likely = Decimal(dice.randint(2, 10))
        low, high = likely * dice.randint(60, 85) / 100, likely * dice.randint(120, 220) / 100
        if kind == "paint" and number % 3 == 0:
            steps.append(PAINTED)
            continue
        steps.append(
            OpenStep(code=kind, label=kind, skill=kind, bench_type=kind, low_h=low, likely_h=likely, high_h=high)
        )
    needs = tuple(Need(code=code, quantity=Decimal(1), step=step, name=code) for code, step in WANTED.items())
    return OpenBuild(number=name, place=number + 1, steps=tuple(steps), needs=needs)


def with_one_more(shop: ShopState, seed: int) -> ShopState:
    """The same shop with one more build last in line, number "new"."""
    dice = random.Random(f"one more {seed}")  # noqa: S311
    return replace(shop, builds=(*shop.builds, calibration_build(dice, len(shop.builds), "new")))
