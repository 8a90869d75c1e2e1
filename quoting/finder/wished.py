"""The wishes as numbers: what a set reaches, what was wished, and by how much it falls short.

The comparisons are those of quoting.rules.wishes: a set meets a wish when that rule is silent or only notes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quoting.request import Wishes
from quoting.result import ChargeFigures, RideFigures
from quoting.rules.said import above, below

RANGES = {"town_km": "town", "back_road_km": "back_road", "highway_km": "highway"}
AT_LEAST = (*RANGES, "held_kmh", "top_kmh", "hill_percent")
AT_MOST = ("overnight_h", "budget", "need_by_days")
UNITS: Mapping[str, str] = {
    "town_km": "km", "back_road_km": "km", "highway_km": "km", "held_kmh": "km/h", "top_kmh": "km/h",
    "hill_percent": "%", "overnight_h": "h", "budget": "currency", "need_by_days": "days",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Miss:
    """A wish not met: `wish` its field in Wishes, `wished` and `reached` in its unit; reached None: not known or not
    possible. `not_held` True: the range is there, but the bike cannot hold that profile.
    """

    wish: str
    wished: float
    reached: float | None
    not_held: bool = False


def wishes_made(wishes: Wishes) -> tuple[str, ...]:
    """Names of the wishes that a set can miss, in the order they are told."""
    return tuple(name for name in (*AT_LEAST, *AT_MOST) if wished(wishes, name) is not None)


def wished(wishes: Wishes, name: str) -> float | None:
    """A wish as a number in its unit; None: no such wish. Zero range and zero budget are no wish for a range."""
    value: float | Decimal | None = getattr(wishes, name)
    if value is None or (name in RANGES and not value):
        return None
    return float(value)


def reached(
    ride: RideFigures | None, charge: ChargeFigures | None, due: Decimal | None, finish: date | None, day: date
) -> dict[str, float | None]:
    """What a set reaches, by wish, each in its unit; None: not known."""
    found: dict[str, float | None] = dict.fromkeys((*AT_LEAST, *AT_MOST))
    if ride is not None:
        ranges = {profile.profile: profile.likely_km for profile in ride.profiles}
        found.update({wish: ranges.get(profile) for wish, profile in RANGES.items()})
        found.update(held_kmh=ride.held_kmh, top_kmh=ride.top_kmh, hill_percent=ride.climb_grade_percent)
    if charge is not None and charge.cases:
        found["overnight_h"] = charge.cases[0].full_h
    if due is not None:
        found["budget"] = float(due)
    if finish is not None:
        found["need_by_days"] = float((finish - day).days)
    return found


def missed(
    wishes: Wishes, names: tuple[str, ...], values: Mapping[str, float | None], ride: RideFigures | None
) -> tuple[Miss, ...]:
    """Which of the wishes named are not met."""
    held = {profile.profile: profile.possible for profile in ride.profiles} if ride else {}
    found = []
    for name in names:
        target = wished(wishes, name)
        if target is None:
            continue
        value = values[name]
        if not meets(name, value, target):
            found.append(Miss(wish=name, wished=target, reached=value))
        elif name in RANGES and not held.get(RANGES[name], False):
            found.append(Miss(wish=name, wished=target, reached=value, not_held=True))
    return tuple(found)


def meets(name: str, value: float | None, target: float) -> bool:
    """Whether a value reaches a wish; what is not known never does."""
    if value is None:
        return False
    return not below(value, target) if name in AT_LEAST else not above(value, target)
