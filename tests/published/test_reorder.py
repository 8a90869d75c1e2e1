"""Stock formulas against published examples.

Economic order quantity: D 1000, S 10, H 0.5 (textbook classic, from memory); D 19,500, S 25, H 4 (operations-management
problem, brainmass.com); D 3120 a year, S 12, H 0.25 x 0.02 (lecture example, coursehero.com).
Safety stock and reorder point: 500 a year over 250 days, 12 days lead, sigma_L 20, z 1.64 (tutorsglobe.com); d 5,
sigma 2, L 3, 95 % (public lecture example); both vary: z 1.28, L 7, sigma_d 3, d 30, sigma_L 4 (ja3.jsfiddle.net).
Normal quantiles: any table of the standard normal distribution. Little's law: 160 bottles, 8 a month (Little, Graves,
Building Intuition, chapter 5; read at funcall.blogspot.com).
Digits not in the examples were worked with the formula of the same row.
"""

import pytest
from scipy.stats import norm

from quoting.reorder import economic_quantity, mean_time, reorder_point, safety_stock, service_z


@pytest.mark.parametrize(
    ("demand", "order_cost", "holding_cost", "units"),
    [(1000, 10, 0.5, 200), (19_500, 25, 4, 493.71), (3120, 12, 0.25 * 0.02, 3869.88)],
)
def test_the_economic_order_quantity(demand: float, order_cost: float, holding_cost: float, units: float):
    assert economic_quantity(demand=demand, order_cost=order_cost, holding_cost=holding_cost) == pytest.approx(
        units, abs=0.005
    )


def test_at_the_economic_quantity_holding_costs_what_ordering_costs():
    units = economic_quantity(demand=19_500, order_cost=25, holding_cost=4)
    assert units / 2 * 4 == pytest.approx(987.42, abs=0.005)
    assert 19_500 / units * 25 == pytest.approx(987.42, abs=0.005)


def test_safety_stock_from_the_deviation_over_the_lead_time():
    # sigma_L 20 over 12 days is 20/sqrt(12) a day; demand over the lead time 500/250 x 12 = 24
    safety = safety_stock(1.64, lead_days=12, demand_sd=20 / 12**0.5)
    assert safety == pytest.approx(32.8)
    assert reorder_point(demand=500 / 250, lead_days=12, safety=safety) == pytest.approx(56.8)


@pytest.mark.parametrize(("z", "safety", "point"), [(1.645, 5.70, 20.70), (1.65, 5.72, 20.72)])
def test_safety_stock_from_the_daily_deviation(z: float, safety: float, point: float):
    found = safety_stock(z, lead_days=3, demand_sd=2)
    assert found == pytest.approx(safety, abs=0.005)
    assert reorder_point(demand=5, lead_days=3, safety=found) == pytest.approx(point, abs=0.005)


def test_safety_stock_when_demand_and_lead_time_both_vary():
    found = safety_stock(1.28, lead_days=7, demand_sd=3, demand=30, lead_sd_days=4)
    assert found == pytest.approx(153.94, abs=0.005)


@pytest.mark.parametrize(
    ("service", "z"), [(0.90, 1.2816), (0.95, 1.6449), (0.975, 1.9600), (0.98, 2.0537), (0.99, 2.3263)]
)
def test_normal_quantiles(service: float, z: float):
    assert service_z(service) == pytest.approx(z, abs=5e-5)
    assert service_z(service) == pytest.approx(norm.ppf(service), abs=1e-9)  # scipy as the reference library


def test_littles_law():
    assert mean_time(160, 8) == 20  # months
    assert mean_time(160, 8 * 12) == pytest.approx(1.667, abs=5e-4)  # years
    assert mean_time(6, 2) == 3  # weeks: two builds a week start, six are in the shop


@pytest.mark.parametrize("service", [0, 1, 1.2])
def test_what_cannot_be(service: float):
    with pytest.raises(ValueError, match="between 0 and 1"):
        service_z(service)
    with pytest.raises(ValueError, match="zero or more"):
        safety_stock(1, lead_days=-1, demand_sd=1)
    with pytest.raises(ValueError, match="above zero"):
        economic_quantity(demand=0, order_cost=1, holding_cost=1)
    with pytest.raises(ValueError, match="nothing comes in"):
        mean_time(5, 0)
