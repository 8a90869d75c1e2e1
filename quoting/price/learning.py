"""What finished builds teach the next estimate of a step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

# The estimate counts as much as this many finished builds, so that one odd build cannot swing it. Common practice, no
# source.
ESTIMATE_BUILDS = 3
# A build outside these is counted at the edge: a timer left running, or a step booked elsewhere. Common practice, no
# source.
LEAST_RATIO, GREATEST_RATIO = Decimal("0.25"), Decimal(4)
TENTH_H = Decimal("0.1")


@dataclass(frozen=True, kw_only=True)
class LearnedHours:
    """A shifted three-point estimate [h], the `factor` [-], the count of `builds`, and how it came about in words."""

    low_h: Decimal
    likely_h: Decimal
    high_h: Decimal
    factor: Decimal
    builds: int
    how: str


def learned_hours(
    low_h: Decimal, likely_h: Decimal, high_h: Decimal, finished: Sequence[tuple[Decimal, Decimal]]
) -> LearnedHours:
    """Shift an estimate by what finished builds took against what was estimated for them.

    Parameters: `low_h`, `likely_h`, `high_h` the estimate [h]; `finished` pairs (estimated [h], actual [h]) of this
    step, pairs without an estimate are left out. Returns: all three points times
    (ESTIMATE_BUILDS + sum of actual/estimated)/(ESTIMATE_BUILDS + builds), rounded to 0.1 h. With no finished build the
    estimate comes back as it is.
    """
    ratios = [
        min(max(actual_h / estimated_h, LEAST_RATIO), GREATEST_RATIO)
        for estimated_h, actual_h in finished
        if estimated_h > 0
    ]
    if not ratios:
        how = "As estimated: no finished build yet."
        return LearnedHours(low_h=low_h, likely_h=likely_h, high_h=high_h, factor=Decimal(1), builds=0, how=how)
    factor = (ESTIMATE_BUILDS + sum(ratios)) / Decimal(ESTIMATE_BUILDS + len(ratios))
    low, likely, high = ((hours * factor).quantize(TENTH_H, ROUND_HALF_UP) for hours in (low_h, likely_h, high_h))
    builds = "1 finished build" if len(ratios) == 1 else f"{len(ratios)} finished builds"
    mean = sum(ratios) / len(ratios)
    how = (
        f"Estimate × {factor:.2f}: {builds} took × {mean:.2f} on average; the estimate itself counts as "
        f"{ESTIMATE_BUILDS} builds."
    )
    return LearnedHours(low_h=low, likely_h=likely, high_h=high, factor=factor, builds=len(ratios), how=how)
