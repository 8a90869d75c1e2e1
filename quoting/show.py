"""Numbers to text in the shop's units, and the same conversions as plain numbers for forms.

Inside the engine figures are in km, km/h, kg, W, Wh, degC, V, A, ohm, mm2; here they become what people read. `units`
is us or metric throughout. A figure that is None is written "not known". Source of factors: NIST SP 811 Appendix B.8.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from quoting.errors import UnitError
from quoting.units import awg_area_mm2

UNITS = ("us", "metric")
NOT_KNOWN = "not known"

# NIST SP 811 Appendix B.8; the first three are exact by definition, the last two follow from them and g = 9.80665 m/s2.
KM_PER_MILE = 1.609344
KG_PER_POUND = 0.45359237
MM_PER_INCH = 25.4
M_PER_FOOT = 12 * MM_PER_INCH / 1000
NM_PER_POUND_FOOT = KG_PER_POUND * 9.80665 * 12 * MM_PER_INCH / 1000
W_PER_HORSEPOWER = 550 * NM_PER_POUND_FOOT

AWG_SIZES = ("4/0", "3/0", "2/0", "1/0", *(str(number) for number in range(1, 31)))
AWG_AREAS_MM2 = {size: awg_area_mm2(size) for size in AWG_SIZES}
AWG_MATCH = 0.015  # an area this close to a gauge is that gauge: 42.4 mm2 typed for 1 AWG (our own rounding rule)


@dataclass(frozen=True)
class Shown:
    """How a quantity is written: shown = value / `per` + `zero`, followed by `symbol`."""

    symbol: str
    per: float
    zero: float = 0.0


# Quantity -> units -> how it is written. The value inside is in km, km/h, kg, W, Wh/km, degC, m, mm, N m.
QUANTITIES: Mapping[str, Mapping[str, Shown]] = MappingProxyType(
    {
        "distance": {"us": Shown("mi", KM_PER_MILE), "metric": Shown("km", 1.0)},
        "speed": {"us": Shown("mph", KM_PER_MILE), "metric": Shown("km/h", 1.0)},
        "mass": {"us": Shown("lb", KG_PER_POUND), "metric": Shown("kg", 1.0)},
        "power": {"us": Shown("hp", W_PER_HORSEPOWER), "metric": Shown("kW", 1000.0)},
        "energy_use": {"us": Shown("Wh/mi", 1.0 / KM_PER_MILE), "metric": Shown("Wh/km", 1.0)},
        "temperature": {"us": Shown("°F", 5.0 / 9.0, 32.0), "metric": Shown("°C", 1.0)},
        "height": {"us": Shown("ft", M_PER_FOOT), "metric": Shown("m", 1.0)},
        "length": {"us": Shown("in", MM_PER_INCH), "metric": Shown("mm", 1.0)},
        "torque": {"us": Shown("lb ft", NM_PER_POUND_FOOT), "metric": Shown("N m", 1.0)},
    }
)


def _written(quantity: str, units: str) -> Shown:
    try:
        return QUANTITIES[quantity][units]
    except KeyError as error:
        raise UnitError(f"'{quantity}' in '{units}' units is not a quantity that is written here.") from error


def unit_symbol(quantity: str, units: str) -> str:
    """The unit a quantity is written in: unit_symbol("speed", "us") is "mph". Raises: UnitError for an unknown one."""
    return _written(quantity, units).symbol


def to_shown(quantity: str, value: float, units: str) -> float:
    """A value inside (see QUANTITIES for its unit) as the number people read. Raises: UnitError."""
    shown = _written(quantity, units)
    return value / shown.per + shown.zero


def from_shown(quantity: str, value: float, units: str) -> float:
    """The number people typed as the value inside: the inverse of to_shown. Raises: UnitError."""
    shown = _written(quantity, units)
    return (value - shown.zero) * shown.per


def number(value: float, decimals: int = 0) -> str:
    """A plain number with thousands commas and fixed decimals; never "-0"."""
    text = f"{value:,.{decimals}f}"
    return text.removeprefix("-") if not text.strip("-0.,") else text


def _steps(value: float, *limits: tuple[float, int]) -> int:
    """Decimals for a size of number: the first limit it reaches decides, below all of them the last plus one."""
    for limit, decimals in limits:
        if abs(value) >= limit:
            return decimals
    return limits[-1][1] + 1


def _show(quantity: str, value: float | None, units: str, *limits: tuple[float, int]) -> str:
    if value is None or not math.isfinite(value):
        return NOT_KNOWN
    shown = to_shown(quantity, value, units)
    return f"{number(shown, _steps(shown, *limits))} {unit_symbol(quantity, units)}"


def show_distance(km: float | None, units: str) -> str:
    """Distance [km]: "42 mi", "68 km"; one decimal below 10."""
    return _show("distance", km, units, (9.95, 0))


def show_speed(kmh: float | None, units: str) -> str:
    """Speed [km/h]: "70 mph", "113 km/h"."""
    return _show("speed", kmh, units, (0.0, 0))


def show_mass(kg: float | None, units: str) -> str:
    """Mass [kg]: "451 lb", "204 kg"; one decimal below 10."""
    return _show("mass", kg, units, (9.95, 0))


def show_power(power_w: float | None, units: str) -> str:
    """Mechanical power [W]: "20.1 hp", "15.0 kW"; no decimals from 100."""
    return _show("power", power_w, units, (99.95, 0), (0.0, 1))


def show_watts(power_w: float | None) -> str:
    """Electrical power [W]: "850 W", "3.30 kW", "15.0 kW"."""
    if power_w is None or not math.isfinite(power_w):
        return NOT_KNOWN
    if abs(power_w) < 999.5:
        return f"{number(power_w, _steps(power_w, (9.95, 0)))} W"
    return f"{number(power_w / 1000, _steps(power_w / 1000, (9.95, 1)))} kW"


def show_energy(energy_wh: float | None) -> str:
    """Energy [Wh]: "850 Wh", "4.32 kWh"."""
    if energy_wh is None or not math.isfinite(energy_wh):
        return NOT_KNOWN
    return f"{number(energy_wh)} Wh" if abs(energy_wh) < 999.5 else f"{number(energy_wh / 1000, 2)} kWh"


def show_use(wh_per_km: float | None, units: str) -> str:
    """Energy used per distance [Wh/km]: "161 Wh/mi", "100 Wh/km"."""
    return _show("energy_use", wh_per_km, units, (0.0, 0))


def show_temperature(degc: float | None, units: str) -> str:
    """Temperature [degC]: "68 °F", "20 °C"."""
    return _show("temperature", degc, units, (0.0, 0))


def show_height(m: float | None, units: str) -> str:
    """Height gained on the way [m]: "820 ft", "250 m"."""
    return _show("height", m, units, (0.0, 0))


def show_length(mm: float | None, units: str) -> str:
    """Length of a part or space [mm]: "12.6 in", "320 mm"; two decimals of an inch below 1."""
    return _show("length", mm, units, *(((0.995, 1),) if units == "us" else ((9.95, 0),)))


def show_torque(nm: float | None, units: str) -> str:
    """Torque [N m]: "89 lb ft", "120 N m"; one decimal below 10."""
    return _show("torque", nm, units, (9.95, 0))


def show_volts(volts: float | None) -> str:
    """Voltage [V]: "84.0 V"; two decimals below 10."""
    return NOT_KNOWN if volts is None else f"{number(volts, _steps(volts, (9.995, 1)))} V"


def show_amps(amps: float | None) -> str:
    """Current [A]: "208 A", "8.3 A"; thousands are written "2,800 A"."""
    return NOT_KNOWN if amps is None else f"{number(amps, _steps(amps, (9.95, 0)))} A"


def show_ohms(ohms: float | None) -> str:
    """Resistance [ohm]: "30.0 mΩ", "50 Ω", "42.0 kΩ"."""
    if ohms is None:
        return NOT_KNOWN
    if abs(ohms) < 0.9995:
        return f"{number(ohms * 1000, _steps(ohms * 1000, (99.95, 0), (0.995, 1)))} mΩ"
    if abs(ohms) < 999.5:
        return f"{number(ohms, _steps(ohms, (9.95, 0)))} Ω"
    return f"{number(ohms / 1000, _steps(ohms / 1000, (99.95, 0), (0.995, 1)))} kΩ"


def awg_name(area_mm2: float) -> str | None:
    """The AWG size of a section [mm2], "4" or "2/0"; None when no size from 30 to 4/0 lies within 1.5 %."""
    return next((size for size, gauge in AWG_AREAS_MM2.items() if abs(gauge / area_mm2 - 1.0) <= AWG_MATCH), None)


def show_section(area_mm2: float | None, units: str) -> str:
    """Conductor section [mm2]: "4 AWG (21.2 mm²)" in us units when it is a gauge, else "35 mm²"."""
    if area_mm2 is None or area_mm2 <= 0.0:
        return NOT_KNOWN
    metric = f"{area_mm2:.3g} mm²"
    size = awg_name(area_mm2) if units == "us" else None
    return f"{size} AWG ({metric})" if size else metric


def show_hours(hours: float | None) -> str:
    """A length of time [h]: "45 min", "3 h 20 min", "4 h"."""
    if hours is None or not math.isfinite(hours):
        return NOT_KNOWN
    whole = round(hours * 60)
    if whole < 60:
        return f"{whole} min"
    return f"{whole // 60} h {whole % 60} min" if whole % 60 else f"{whole // 60} h"


def show_seconds(seconds: float | None) -> str:
    """A short time [s]: "0.75 s", "1.3 s", "27 s"."""
    if seconds is None:
        return NOT_KNOWN
    return f"{number(seconds, _steps(seconds, (9.95, 0), (0.995, 1)))} s"


def show_percent(share: float | None, decimals: int = 0) -> str:
    """A share [0..1] as per cent: "92 %"."""
    return NOT_KNOWN if share is None else f"{number(share * 100, decimals)} %"
