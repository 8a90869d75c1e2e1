"""What a rule function gives back before the machinery makes findings of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from quoting.parts import Part
from quoting.result import WayOut
from quoting.rules.facts import Facts
from quoting.setup import Fitted


@dataclass(frozen=True)
class Asked:
    """For whom a way out is looked for: the facts, the rule that spoke, and the line it spoke about, if one."""

    facts: Facts
    rule: str
    item: Fitted[Part] | None


Way = Callable[[Asked], tuple[WayOut, ...]]


@dataclass(frozen=True)
class Said:
    """A rule's word: level, plain text, the number against its limit, and how to look for ways out.

    `margin` is what is left to the limit, negative when past it. Ways are only worked out when a finding is made.
    """

    level: str
    text: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    unit: str = ""
    ways: tuple[Way, ...] = ()


@dataclass(frozen=True)
class Lacks:
    """A rule could not judge after all: a spec it needs only in this case is not known, of this line if it says so."""

    subject: str
    field: str
    item: Fitted[Any] | None = None


Says = Said | Lacks | tuple[Said | Lacks, ...] | None


def at_most(level: str, text: str, value: float, limit: float, unit: str, *ways: Way) -> Said:
    """`value` should be at most `limit`."""
    return Said(level, text, value, limit, limit - value, unit, ways)


def at_least(level: str, text: str, value: float, limit: float, unit: str, *ways: Way) -> Said:
    """`value` should be at least `limit`."""
    return Said(level, text, value, limit, value - limit, unit, ways)


def plainly(level: str, text: str, *ways: Way) -> Said:
    """A finding that has no number."""
    return Said(level, text, ways=ways)


SAME = 1e-9  # so that 14 × 4.2 V is not past a limit of 58.8 V; far below any figure's own tolerance


def above(value: float, limit: float) -> bool:
    """Past the limit upwards; false exactly at it."""
    return value > limit + abs(limit) * SAME


def below(value: float, limit: float) -> bool:
    """Past the limit downwards; false exactly at it."""
    return value < limit - abs(limit) * SAME
