"""How likely a finish is: days with the chance that each is kept, and what decides it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, kw_only=True)
class Decider:
    """What most often puts a finish off, over all simulated runs.

    `kind` part, bench, person, or work when no wait is longer than the build's own work; `code` the component, bench
    type or skill; `share` of the runs it decides [0..1]; `text` "in 7 of 10 simulated runs the hub motor decides".
    """

    kind: str
    code: str
    share: float
    text: str


@dataclass(frozen=True, kw_only=True)
class Odds:
    """The finish as a distribution of days.

    `levels` chances [%] in ascending order and `days` the day each is reached: done on or before that day in that
    share of the simulated runs. `samples` runs it rests on, `few` when fewer than usual because the fast loops are not
    loaded. `revision` of the plan it was simulated for, `stale` when the plan has changed since. `deciders` most
    frequent first. `note` says the same in words.
    """

    levels: tuple[int, ...]
    days: tuple[date, ...]
    samples: int
    revision: int
    stale: bool = False
    few: bool = False
    deciders: tuple[Decider, ...] = ()
    note: str = ""

    def day_at(self, level: float) -> date:
        """The day reached with a chance [%]; between two levels in proportion, rounded up; ends are not exceeded."""
        if level <= self.levels[0]:
            return self.days[0]
        for at in range(1, len(self.levels)):
            low, high = self.levels[at - 1], self.levels[at]
            if level <= high:
                first, last = self.days[at - 1].toordinal(), self.days[at].toordinal()
                return date.fromordinal(first + math.ceil((last - first) * (level - low) / (high - low)))
        return self.days[-1]

    def chance_by(self, day: date) -> float:
        """The greatest tabulated chance [0..1] with which it is done on or before a day; 0 when below all."""
        return (
            max((level for level, reached in zip(self.levels, self.days, strict=True) if reached <= day), default=0)
            / 100
        )

    @property
    def p50(self) -> date:
        """Done by this day in half of the runs."""
        return self.day_at(50)

    @property
    def p80(self) -> date:
        """Done by this day in four of five runs."""
        return self.day_at(80)

    @property
    def p90(self) -> date:
        """Done by this day in nine of ten runs."""
        return self.day_at(90)
