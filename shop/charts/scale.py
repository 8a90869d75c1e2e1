"""From figures to places on paper."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True)
class Scale:
    """A straight line from values `low`..`high` to places `start`..`end` (end may lie above start on the page)."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        return round(self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start), 1)


def ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round values from at or below `low` to at or above `high`, about `most` of them, by steps of 1, 2, 2.5 or 5."""
    span = high - low or 1.0
    power = 10 ** math.floor(math.log10(span / most))
    step = next(factor * power for factor in STEPS if span / (factor * power) <= most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(number * step, 10) for number in range(first, max(last, first + 1) + 1)]


def path(points: Iterable[tuple[float, float]]) -> str:
    """An SVG path through points."""
    return "M" + "L".join(f"{x:g} {y:g}" for x, y in points)


def closed(upper: Sequence[tuple[float, float]], lower: Sequence[tuple[float, float]]) -> str:
    """The area between two lines."""
    return path([*upper, *reversed(lower)]) + "Z"


def apart(places: Sequence[float], least: float) -> list[float]:
    """Places moved down so that neighbors lie at least `least` apart; order of the input is kept in the output."""
    order = sorted(range(len(places)), key=lambda index: places[index])
    moved = list(places)
    for before, after in pairwise(order):
        moved[after] = max(moved[after], moved[before] + least)
    return moved
