"""Hours: three-point estimates, the percentile that is quoted, and rounding to the shop's step.

The estimate is the beta distribution of PERT on [low, high] with mode `likely`:
alpha = 1 + 4 (likely − low)/(high − low), beta = 1 + 4 (high − likely)/(high − low), so that its mean is
(low + 4 likely + high)/6. The quoted hours are its quantile, found by bisection on the regularized incomplete beta
function. The percentile holds for each step alone: a quote of several steps, each at its 60 %, holds with more than
60 % as a whole, because overruns and gains cancel in part.

Sources: Malcolm, Roseboom, Clark, Fazar, "Application of a Technique for Research and Development Program Evaluation",
Operations Research 7 (1959), for the mean and (high − low)/6; NIST Digital Library of Mathematical Functions 8.17.22
for the continued fraction. Quoting the 60th percentile: shop setting.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from quoting.request import Policies, StepLine

FRACTION_TERMS = 24  # reaches 1e-14 for shapes from 1 to 5; tests/published/test_pert.py checks it against scipy
BISECTIONS = 44  # halves the interval to 6e-14 of its width


def pert_mean_h(low_h: Decimal, likely_h: Decimal, high_h: Decimal) -> Decimal:
    """Mean of the estimate: (low + 4 likely + high)/6 [h]."""
    return (low_h + 4 * likely_h + high_h) / 6


def pert_deviation_h(low_h: Decimal, high_h: Decimal) -> Decimal:
    """Standard deviation by the PERT rule of thumb: (high − low)/6 [h]."""
    return (high_h - low_h) / 6


def quantile_h(low_h: Decimal, likely_h: Decimal, high_h: Decimal, percentile: int) -> Decimal:
    """Hours the estimate stays within with the given chance.

    Parameters: `low_h` ≤ `likely_h` ≤ `high_h` three-point estimate [h]; `percentile` 1 to 99 [%].
    Returns: quantile [h], to 1e-9. Raises: ValueError for an estimate out of order or a percentile out of range.
    """
    if not low_h <= likely_h <= high_h:
        raise ValueError("an estimate must run from low over likely to high")
    if not 1 <= percentile <= 99:
        raise ValueError("a percentile runs from 1 to 99")
    spread_h = high_h - low_h
    if not spread_h:
        return likely_h
    mode = float((likely_h - low_h) / spread_h)
    share = beta_quantile(1 + 4 * mode, 5 - 4 * mode, percentile / 100)
    return low_h + spread_h * Decimal(f"{share:.12f}")


def quoted_h(step: StepLine, policies: Policies) -> Decimal:
    """Hours a step is quoted at.

    Parameters: `step` with its estimate or hours set by hand; `policies` give percentile and step. Returns: hours by
    hand as typed, else the percentile rounded half up to the step and never less than one step [h]. A step with only
    `likely_h` is quoted at that; one without any estimate at zero. Raises: ValueError as `quantile_h`.
    """
    if step.hours is not None:
        return step.hours
    if not step.low_h and not step.high_h:
        exact_h = step.likely_h
    else:
        exact_h = quantile_h(step.low_h, step.likely_h, step.high_h, policies.hours_percentile)
    if not exact_h:
        return Decimal(0)
    exact_h = exact_h.quantize(Decimal("1e-9"))  # a quantile that is a tie on paper stays one
    steps = max((exact_h / policies.hours_step).quantize(Decimal(1), ROUND_HALF_UP), Decimal(1))
    return steps * policies.hours_step


@lru_cache(maxsize=4096)
def beta_quantile(alpha: float, beta: float, chance: float) -> float:
    """Where the beta distribution on [0, 1] reaches `chance` [0..1]. Shapes from 1 to 5 [-]."""
    low, high = 0.0, 1.0
    for _ in range(BISECTIONS):
        middle = (low + high) / 2
        if beta_share(alpha, beta, middle) < chance:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def beta_share(alpha: float, beta: float, x: float) -> float:
    """Regularized incomplete beta function I_x(alpha, beta): the share of the distribution below x [0..1]."""
    if x <= 0:
        return 0.0
    if x >= 1:
        return 1.0
    if x > (alpha + 1) / (alpha + beta + 2):  # the fraction converges fast on the other side
        return 1 - beta_share(beta, alpha, 1 - x)
    value = 1.0
    for index in range(FRACTION_TERMS, 0, -1):
        m = index // 2
        if index % 2:
            term = -(alpha + m) * (alpha + beta + m) * x / ((alpha + 2 * m) * (alpha + 2 * m + 1))
        else:
            term = m * (beta - m) * x / ((alpha + 2 * m - 1) * (alpha + 2 * m))
        value = 1 + term / value
    log_front = (
        alpha * math.log(x)
        + beta * math.log1p(-x)
        + math.lgamma(alpha + beta)
        - math.lgamma(alpha)
        - math.lgamma(beta)
        - math.log(alpha)
    )
    return math.exp(log_front) / value
