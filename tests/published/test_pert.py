"""Three-point estimates.

Mean (a + 4m + b)/6 and deviation (b − a)/6: published examples 5, 8, 14 (schematex.js.org) and 4, 6, 12 (calhub.xyz).
Means of the house-building network, Hillier and Lieberman, Introduction to Operations Research (from memory).
Quantiles: the beta distribution of scipy as the reference library.
"""

from decimal import Decimal
from itertools import product

import pytest
from scipy.stats import beta

from quoting.price import pert_deviation_h, pert_mean_h, quantile_h

D = Decimal


@pytest.mark.parametrize(("points", "mean", "deviation"), [((5, 8, 14), "8.5", "1.5"), ((4, 6, 12), "6.667", "1.333")])
def test_published_examples(points: tuple[int, int, int], mean: str, deviation: str) -> None:
    low, likely, high = map(D, points)
    assert round(pert_mean_h(low, likely, high), 3) == D(mean)
    assert round(pert_deviation_h(low, high), 3) == D(deviation)


def test_the_house_building_networks_critical_path() -> None:
    # A, B, C, E, F, J, L, N: 2 + 4 + 10 + 4 + 5 + 8 + 5 + 6 = 44; variances 1/9 + 1 + 4 + 4/9 + 1 + 1 + 1 + 4/9 = 9
    path = [("1", "2", "3"), ("2", "3.5", "8"), ("6", "9", "18"), ("1", "4.5", "5")]
    path += [("4", "4", "10"), ("3", "9", "9"), ("1", "5.5", "7"), ("5", "5.5", "9")]
    assert sum(pert_mean_h(*map(D, points)) for points in path) == pytest.approx(D(44), abs=D("1e-20"))
    variance = sum(pert_deviation_h(D(low), D(high)) ** 2 for low, _, high in path)
    assert variance == pytest.approx(D(9), abs=D("1e-20"))


def test_quantiles_are_those_of_scipy() -> None:
    for mode, percentile in product(range(0, 101, 4), (1, 5, 10, 25, 50, 60, 75, 80, 90, 95, 99)):
        hours = quantile_h(D(2), D(2) + D(mode) / 10, D(12), percentile)
        reference = 2 + 10 * beta.ppf(percentile / 100, 1 + mode / 25, 5 - mode / 25)
        assert float(hours) == pytest.approx(reference, abs=1e-9)


def test_the_distribution_has_the_published_mean() -> None:
    # The mean is the integral of the quantile over all chances: by the midpoints of 1 % steps, to 1 % of the spread.
    quantiles = [quantile_h(D(5), D(8), D(14), percentile) for percentile in range(1, 100)]
    assert float(sum(quantiles) / 99) == pytest.approx(8.5, abs=0.02)
