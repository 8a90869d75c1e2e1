"""What the promise log says: how often each level was kept, and which level to use so that it will be.

A promise is kept when the build is finished on or before the day that stood at its level. The share kept is smoothed
with a beta prior worth twenty builds, so that the first few builds move the level little (the size of the prior is our
own choice). Sources: the beta distribution as conjugate prior of a share and the normal as that of a mean, Gelman et
al., Bayesian Data Analysis, chapter 2 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from quoting.result import Odds

PRIOR_BUILDS = 20
LOWEST, HIGHEST = 5.0, 99.0  # levels used [%]
STEP_SPREAD = 0.30  # of the log of true over estimated hours of one step, until known (our own choice)
PRIOR_SPREAD = 0.10  # of the same for the shop as a whole, as `dice.HOURS_SPREAD`
LEAST_SPREAD = 0.05  # estimates of the next months may err differently from those of the last (our own choice)


@dataclass(frozen=True, kw_only=True)
class Kept:
    """A promise that has come due: the odds it was given from and the day the build was finished."""

    odds: Odds
    finished: date


@dataclass(frozen=True, kw_only=True)
class LevelRate:
    """Of `count` promises at `level` [%], `kept` held. `use` the level to use instead [%]."""

    level: int
    count: int
    kept: int
    use: float

    @property
    def text(self) -> str:
        """ "Of 31 promises at 80 %, 26 kept." """
        if not self.count:
            return f"No promise at {self.level} % has come due."
        noun = "promise" if self.count == 1 else "promises"
        return f"Of {self.count} {noun} at {self.level} %, {self.kept} kept."


def hit_rates(log: Iterable[Kept], levels: Sequence[int] = (50, 80, 90)) -> tuple[LevelRate, ...]:
    """How often each level was kept, and the level to use from now on."""
    due = list(log)
    rates = []
    for level in levels:
        kept = sum(each.finished <= each.odds.day_at(level) for each in due)
        rates.append(LevelRate(level=level, count=len(due), kept=kept, use=corrected_level(due, level)))
    return tuple(rates)


def corrected_level(log: Sequence[Kept], level: int) -> float:
    """The level [%] whose days were kept as often as `level` says, on the log and the prior together.

    For a level x the share kept is (kept at x + 20 x)/(n + 20). It grows with x; the answer is where it reaches
    `level`, between `LOWEST` and `HIGHEST`, to a tenth. Without a log it is the level itself.
    """
    if not log:
        return float(level)
    wanted = level / 100
    low, high = LOWEST, HIGHEST
    while high - low > 0.05:
        middle = (low + high) / 2
        kept = sum(each.finished <= each.odds.day_at(middle) for each in log)
        if (kept + PRIOR_BUILDS * middle / 100) / (len(log) + PRIOR_BUILDS) < wanted:
            low = middle
        else:
            high = middle
    return round(high, 1)


def bias_from(pairs: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """Center and spread of the log of true over estimated hours of the shop as a whole, from finished steps.

    Parameters: `pairs` of true and estimated mean hours of each finished step [h]; pairs with a figure of zero or less
    are left out. Returns: for `Dice`: the normal prior (0, 0.10) updated with the steps.
    """
    logs = [math.log(true_h / mean_h) for true_h, mean_h in pairs if true_h > 0 and mean_h > 0]
    if not logs:
        return 0.0, PRIOR_SPREAD
    mean = sum(logs) / len(logs)
    spread = STEP_SPREAD
    if len(logs) > 1:
        found = sum((each - mean) ** 2 for each in logs)
        spread = math.sqrt((found + STEP_SPREAD**2 * PRIOR_BUILDS) / (len(logs) - 1 + PRIOR_BUILDS))
    precision = 1 / PRIOR_SPREAD**2 + len(logs) / spread**2
    return len(logs) * mean / spread**2 / precision, max(math.sqrt(1 / precision), LEAST_SPREAD)
