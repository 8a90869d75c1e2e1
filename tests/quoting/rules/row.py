"""One line of a table of rules: what to change on the sound build so that a rule speaks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tests.quoting.rules.bike import Bike

Change = Callable[[Bike], Bike]


@dataclass(frozen=True)
class Row:
    """`past` makes the rule speak at `level`; `at` stands exactly at the limit, where it is silent.

    `value` and `limit` are what the finding must say, worked by hand beside the row where it is not plain. `sound` is
    what the build must be for the rule to apply at all.
    """

    rule: str
    level: str
    past: Change
    at: Change | None = None
    value: float | None = None
    limit: float | None = None
    sound: Change = lambda bike: bike


def spec(slot: str, **fields: object) -> Change:
    """A part's spec changed."""
    return lambda bike: bike.with_(slot, **fields)


def says(subject: str, **figures: object) -> Change:
    """A figure set by hand."""
    return lambda bike: bike.saying(subject, **figures)
