"""Unit factors against NIST Special Publication 811, Appendix B.8.

The table's values were read in a public data package that reproduces the appendix; the appendix prints seven digits,
so agreement within one part in a million is asked for. Exact definitions are compared exactly.
"""

from __future__ import annotations

import pytest

from quoting import show
from quoting.units import parse_quantity

# (quantity, number people type, value inside by NIST SP 811 B.8)
NIST = [
    ("distance", 1.0, 1609.344 / 1000),  # mile = 1609.344 m, exact
    ("speed", 1.0, 0.44704 * 3.6),  # mile per hour = 0.44704 m/s, exact
    ("mass", 1.0, 0.4535924),  # pound
    ("power", 1.0, 745.6999),  # horsepower (550 ft lbf/s)
    ("torque", 1.0, 1.355818),  # pound-force foot
    ("length", 1.0, 25.4),  # inch = 25.4 mm, exact
]


@pytest.mark.parametrize(("quantity", "typed", "inside"), NIST)
def test_customary_units_follow_the_published_factors(quantity: str, typed: float, inside: float) -> None:
    assert show.from_shown(quantity, typed, "us") == pytest.approx(inside, rel=1e-6)


def test_exact_definitions_are_exact() -> None:
    assert show.KM_PER_MILE == 1.609344
    assert show.KG_PER_POUND == 0.45359237
    assert show.MM_PER_INCH == 25.4


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32.0, 0.0), (212.0, 100.0), (-40.0, -40.0), (77.0, 25.0)])
def test_temperature_scales_meet_at_the_known_points(fahrenheit: float, celsius: float) -> None:
    assert show.from_shown("temperature", fahrenheit, "us") == pytest.approx(celsius, abs=1e-12)
    assert show.to_shown("temperature", celsius, "us") == pytest.approx(fahrenheit, abs=1e-12)


def test_fifteen_kilowatts_and_a_hundred_watt_hours_a_mile() -> None:
    # 15 000 / 745.699872 = 20.1153; 100 Wh/mi / 1.609344 = 62.1371 Wh/km. Worked from the factors above.
    assert show.to_shown("power", 15000.0, "us") == pytest.approx(20.1153, abs=5e-5)
    assert show.from_shown("energy_use", 100.0, "us") == pytest.approx(62.1371, abs=5e-5)
    assert show.to_shown("energy_use", 1.0, "us") == pytest.approx(1.609344, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "unit", "quantity"),
    [("7 mi", "km", "distance"), ("70 lb", "kg", "mass"), ("3.5 inch", "mm", "length"), ("9 hp", "W", "power")],
)
def test_the_unit_library_and_the_factors_agree(text: str, unit: str, quantity: str) -> None:
    typed = float(text.split()[0])
    assert parse_quantity(text, unit) == pytest.approx(show.from_shown(quantity, typed, "us"), rel=1e-12)
