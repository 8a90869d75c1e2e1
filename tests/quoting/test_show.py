"""Figures as people read them, in both sets of units."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quoting import show
from quoting.errors import UnitError


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        (show.show_distance(67.592448, "us"), "42 mi"),  # 67.592448 / 1.609344 = 42
        (show.show_distance(67.592448, "metric"), "68 km"),
        (show.show_distance(8.0, "metric"), "8.0 km"),
        (show.show_distance(9.96, "metric"), "10 km"),
        (show.show_speed(112.65408, "us"), "70 mph"),  # 70 × 1.609344 = 112.65408
        (show.show_mass(204.0, "us"), "450 lb"),  # 204 / 0.45359237 = 449.74
        (show.show_mass(4.5, "metric"), "4.5 kg"),
        (show.show_power(15000.0, "us"), "20.1 hp"),  # 15000 / 745.69987 = 20.115
        (show.show_power(15000.0, "metric"), "15.0 kW"),
        (show.show_power(120000.0, "metric"), "120 kW"),
        (show.show_watts(850.4), "850 W"),
        (show.show_watts(999.6), "1.00 kW"),
        (show.show_watts(3300.0), "3.30 kW"),
        (show.show_watts(15000.0), "15.0 kW"),
        (show.show_energy(4320.0), "4.32 kWh"),
        (show.show_energy(850.0), "850 Wh"),
        (show.show_use(100.0, "us"), "161 Wh/mi"),  # 100 × 1.609344
        (show.show_use(100.0, "metric"), "100 Wh/km"),
        (show.show_temperature(20.0, "us"), "68 °F"),
        (show.show_temperature(-0.2, "metric"), "0 °C"),
        (show.show_temperature(-10.0, "metric"), "-10 °C"),
        (show.show_length(320.0, "us"), "12.6 in"),  # 320 / 25.4 = 12.598
        (show.show_length(12.7, "us"), "0.50 in"),
        (show.show_length(320.0, "metric"), "320 mm"),
        (show.show_height(250.0, "us"), "820 ft"),  # 250 / 0.3048 = 820.2
        (show.show_height(250.0, "metric"), "250 m"),
        (show.show_torque(120.0, "us"), "89 lb ft"),  # 120 × 0.73756 = 88.5
        (show.show_volts(84.0), "84.0 V"),
        (show.show_volts(4.2), "4.20 V"),
        (show.show_amps(208.3), "208 A"),
        (show.show_amps(8.33), "8.3 A"),
        (show.show_amps(2800.0), "2,800 A"),
        (show.show_ohms(0.03), "30.0 mΩ"),
        (show.show_ohms(50.0), "50 Ω"),
        (show.show_ohms(42000.0), "42.0 kΩ"),
        (show.show_ohms(500000.0), "500 kΩ"),
        (show.show_section(21.1506, "us"), "4 AWG (21.2 mm²)"),
        (show.show_section(35.0, "us"), "35 mm²"),
        (show.show_section(21.1506, "metric"), "21.2 mm²"),
        (show.show_hours(3.3333), "3 h 20 min"),
        (show.show_hours(0.75), "45 min"),
        (show.show_hours(0.9999), "1 h"),
        (show.show_seconds(0.75), "0.75 s"),
        (show.show_seconds(27.0), "27 s"),
        (show.show_percent(0.92), "92 %"),
    ],
)
def test_figures_are_written_as_expected(written: str, expected: str) -> None:
    assert written == expected


def test_a_figure_not_known_says_so() -> None:
    unknown = [
        show.show_distance(None, "us"),
        show.show_distance(math.inf, "us"),
        show.show_watts(None),
        show.show_energy(None),
        show.show_volts(None),
        show.show_amps(None),
        show.show_ohms(None),
        show.show_section(None, "us"),
        show.show_hours(None),
        show.show_seconds(None),
        show.show_percent(None),
    ]
    assert set(unknown) == {"not known"}


def test_an_unknown_quantity_or_set_of_units_is_refused_by_name() -> None:
    with pytest.raises(UnitError, match="'volume' in 'us' units"):
        show.to_shown("volume", 1.0, "us")
    with pytest.raises(UnitError, match="'mass' in 'imperial' units"):
        show.show_mass(1.0, "imperial")


@given(
    quantity=st.sampled_from(sorted(show.QUANTITIES)),
    units=st.sampled_from(show.UNITS),
    value=st.floats(min_value=-1e6, max_value=1e6),
)
def test_what_is_shown_can_be_typed_back(quantity: str, units: str, value: float) -> None:
    there_and_back = show.from_shown(quantity, show.to_shown(quantity, value, units), units)
    assert there_and_back == pytest.approx(value, rel=1e-12, abs=1e-9)
