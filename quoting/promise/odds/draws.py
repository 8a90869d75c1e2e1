"""Random numbers that belong to things: hashed from the thing's name, so that one more build changes no other draw.

Sources: PERT as the beta distribution, Malcolm, Roseboom, Clark, Fazar, Operations Research 7 (1959), see
`quoting.price.labour`; the counter-based generator is splitmix64, Steele, Lea, Flood, "Fast splittable pseudorandom
number generators", OOPSLA 2014; supplier factors by a one-factor normal copula, common practice.
"""

from __future__ import annotations

from functools import lru_cache
from hashlib import blake2b
from statistics import NormalDist

import numpy as np

from quoting.promise.odds.arrays import Floats

STEP = np.uint64(0x9E3779B97F4A7C15)  # splitmix64's increment and multipliers (Steele et al. 2014)
FIRST_MIX = np.uint64(0xBF58476D1CE4E5B9)
SECOND_MIX = np.uint64(0x94D049BB133111EB)
GRID = 1025  # points a distribution is tabulated at: quantiles to 1e-5 of the spread
NORMAL_REACH = 6.5  # standard deviations tabulated; beyond lies one in 1e10


@lru_cache(maxsize=512)
def uniforms(seed: int, entity: str, samples: int) -> Floats:
    """One number in (0, 1) per sample, always the same for a seed and an entity."""
    key = int.from_bytes(blake2b(f"{seed}|{entity}".encode(), digest_size=8).digest(), "little")
    mixed = np.arange(1, samples + 1, dtype=np.uint64) * STEP + np.uint64(key)
    mixed = (mixed ^ (mixed >> np.uint64(30))) * FIRST_MIX
    mixed = (mixed ^ (mixed >> np.uint64(27))) * SECOND_MIX
    mixed = mixed ^ (mixed >> np.uint64(31))
    numbers = ((mixed >> np.uint64(11)).astype(np.float64) + 0.5) * 2.0**-53
    numbers.setflags(write=False)  # it is kept and given out again
    return numbers


@lru_cache(maxsize=64)
def stratified_normals(seed: int, entity: str, samples: int) -> Floats:
    """Standard normal numbers, one from each of `samples` equally likely strata, in an order hashed from the entity."""
    order = np.argsort(uniforms(seed, entity, samples), kind="stable")
    normals = _strata(samples)[order]
    normals.setflags(write=False)
    return normals


@lru_cache(maxsize=8)
def _strata(samples: int) -> Floats:
    normal = NormalDist()
    return np.array([normal.inv_cdf((stratum + 0.5) / samples) for stratum in range(samples)])


@lru_cache(maxsize=1)
def _normal_table() -> tuple[Floats, Floats]:
    normal = NormalDist()
    points = np.linspace(-NORMAL_REACH, NORMAL_REACH, GRID)
    return points, np.array([normal.cdf(point) for point in points])


def normal_of(shares: Floats) -> Floats:
    """Standard normal quantiles of numbers in (0, 1)."""
    points, chances = _normal_table()
    return np.interp(shares, chances, points)


def share_of(normals: Floats) -> Floats:
    """The chance a standard normal number stays below each of these."""
    points, chances = _normal_table()
    return np.interp(normals, points, chances)


@lru_cache(maxsize=1024)
def pert_table(mode: float) -> tuple[Floats, Floats]:
    """The PERT distribution on [0, 1] with this mode: points and the chance to stay below each.

    By Simpson's rule on each cell of an even grid; the density is a polynomial-like curve without poles, as both
    shapes are at least 1.
    """
    alpha, beta = 1 + 4 * mode, 5 - 4 * mode
    fine = np.linspace(0.0, 1.0, 2 * GRID - 1)
    density = fine ** (alpha - 1) * (1 - fine) ** (beta - 1)
    cells = (density[:-2:2] + 4 * density[1:-1:2] + density[2::2]) / 6
    chances = np.concatenate(([0.0], np.cumsum(cells)))
    return fine[::2], chances / chances[-1]


def pert_quantile(low: float, likely: float, high: float, shares: Floats) -> Floats:
    """Quantiles of a three-point estimate; with no spread, `likely`."""
    if high <= low:
        return np.full_like(shares, likely)
    points, chances = pert_table((likely - low) / (high - low))
    return low + (high - low) * np.interp(shares, chances, points)


@lru_cache(maxsize=512)
def pert_draws(mode: float, seed: int, entity: str, samples: int) -> Floats:
    """Draws of the PERT distribution on [0, 1] with this mode that belong to an entity."""
    points, chances = pert_table(mode)
    drawn = np.interp(uniforms(seed, entity, samples), chances, points)
    drawn.setflags(write=False)
    return drawn


def pert_share(low: float, likely: float, high: float, value: float) -> float:
    """The chance a three-point estimate stays below `value`."""
    if high <= low:
        return float(value >= likely)
    points, chances = pert_table((likely - low) / (high - low))
    return float(np.interp((value - low) / (high - low), points, chances))
