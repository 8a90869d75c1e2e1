"""Combined sales tax rates as states publish them: the stack's shares must give the published combined rate.

Washington: Department of Revenue, local sales and use tax rates, fourth quarter 2025 (location codes in brackets).
Wisconsin: Department of Revenue, county and city rates from 2024-01-01.
Ohio: Department of Taxation, county map, July 2024 (the state's 5.75 % from memory; county part = combined − state).
Minnesota: state rate 6.875 % and Minneapolis combined 9.025 % as published (date of the table unclear).
Georgia: Streamlined Sales Tax rate file of the state, from 2026-07-01.
Rates age; these stand for their own dates only.
"""

from decimal import Decimal

import pytest

from tests.quoting.price.quotes import amounts, authority, option, part, place, sheet

D = Decimal
PUBLISHED = [
    ("Woodway (3118)", ["0.0650", "0.0400"], "0.1050"),
    ("Yarrow Point (1730)", ["0.0650", "0.0380"], "0.1030"),
    ("Yelm (3407)", ["0.0650", "0.0300"], "0.0950"),
    ("Yacolt (0607)", ["0.0650", "0.0200"], "0.0850"),
    ("Yakima (3913)", ["0.0650", "0.0180"], "0.0830"),
    ("Milwaukee", ["0.0500", "0.0090", "0.0200"], "0.0790"),
    ("Waukesha County", ["0.0500", "0"], "0.0500"),
    ("most other counties of Wisconsin", ["0.0500", "0.0050"], "0.0550"),
    ("Cuyahoga", ["0.0575", "0.0225"], "0.0800"),
    ("Franklin", ["0.0575", "0.0175"], "0.0750"),
    ("Butler, Stark, Lorain, Wayne", ["0.0575", "0.0075"], "0.0650"),
    ("Minneapolis", ["0.06875", "0.0215"], "0.09025"),
    ("Madison County", ["0.04", "0.03"], "0.07"),
]


@pytest.mark.parametrize(("name", "rates", "combined"), PUBLISHED)
def test_shares_make_the_published_combined_rate(name: str, rates: list[str], combined: str) -> None:
    stack = place(*(authority(f"{name} {number}", rate) for number, rate in enumerate(rates)))
    priced = sheet(option([part("100000.00")]), stack)
    # On 100 000.00 every rate with five decimals gives whole cents, so nothing hides behind rounding.
    assert priced.tax_total == D(combined) * 100_000
    assert list(amounts(priced).values()) == [D(rate) * 100_000 for rate in rates]


def test_a_conversion_in_milwaukee() -> None:
    # 14 999.99 at 5, 0.9 and 2 %: 749.9995 + 134.99991 + 299.9998 = 1184.99921 -> 1185.00, shares by remainder:
    # of 118 500 cents 75 000, 13 500 and 30 000 exactly (weights are the rates).
    stack = place(authority("Wisconsin", "0.05"), authority("County", "0.009"), authority("City", "0.02"))
    priced = sheet(option([part("14999.99")]), stack)
    assert priced.tax_total == D("1185.00")
    assert amounts(priced) == {"Wisconsin": D("750.00"), "County": D("135.00"), "City": D("300.00")}
