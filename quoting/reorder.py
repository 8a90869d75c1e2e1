"""When to order again and how much: textbook stock formulas, each with its figures.

Demand and lead time are taken as independent and near normal; a small shop's demand is neither for long, so the figures
are suggestions for a person. Sources: 1. economic order quantity, F. W. Harris 1913, in any operations textbook;
2. safety stock and reorder point, the same; 3. J. D. C. Little 1961, L = lambda W; 4. normal quantile, statistics.
"""

from __future__ import annotations

import math
from statistics import NormalDist

YEAR_DAYS = 365.25  # mean calendar year


def service_z(service: float) -> float:
    """Standard normal quantile of a service level.

    Parameters: `service` chance of not running out in a cycle [0..1], exclusive. Returns: z [-]. Raises: ValueError
    outside. Source 4.
    """
    if not 0 < service < 1:
        raise ValueError("a service level lies between 0 and 1")
    return NormalDist().inv_cdf(service)


def safety_stock(
    z: float, *, lead_days: float, demand_sd: float, demand: float = 0.0, lead_sd_days: float = 0.0
) -> float:
    """Units kept against use and deliveries that differ from their means: z sqrt(L sd_d^2 + d^2 sd_L^2).

    Parameters: `z` [-]; `lead_days` mean lead time L and `lead_sd_days` its deviation [days]; `demand` mean d and
    `demand_sd` its deviation [units/day]. Returns: [units]. Raises: ValueError for figures below zero. Source 2.
    """
    if min(lead_days, demand_sd, demand, lead_sd_days) < 0:
        raise ValueError("lead time, demand and their deviations are zero or more")
    return z * math.sqrt(lead_days * demand_sd**2 + (demand * lead_sd_days) ** 2)


def reorder_point(*, demand: float, lead_days: float, safety: float) -> float:
    """The stock, shelf and orders together, at which to order again: d L + safety.

    Parameters: `demand` [units/day]; `lead_days` [days]; `safety` [units]. Returns: [units]. Source 2.
    """
    return demand * lead_days + safety


def economic_quantity(*, demand: float, order_cost: float, holding_cost: float) -> float:
    """The order that makes ordering and holding cost least: sqrt(2 D S / H).

    Parameters: `demand` D [units/year]; `order_cost` S of one order [currency]; `holding_cost` H of one unit for a year
    [currency]. Returns: [units]. Raises: ValueError unless all are above zero. Source 1.
    """
    if min(demand, order_cost, holding_cost) <= 0:
        raise ValueError("demand, cost of an order and of holding must be above zero")
    return math.sqrt(2 * demand * order_cost / holding_cost)


def mean_time(in_system: float, rate: float) -> float:
    """How long one stays on average: W = L / lambda.

    Parameters: `in_system` L [units]; `rate` lambda coming in [units/time]. Returns: W [time]. Raises: ValueError for a
    rate of zero or less. Source 3.
    """
    if rate <= 0:
        raise ValueError("nothing comes in, so nothing can be said of how long it stays")
    return in_system / rate
