"""Quantities at the edges: text to plain numbers in a known unit, and back in the shop's units. Inside, floats.

Source of factors: Pint's registry, checked against NIST SP 811 Appendix B.8 in tests/published.
"""

from __future__ import annotations

import math
import re
from functools import cache

import pint

from quoting.errors import UnitError

# Spellings of our fields that Pint reads another way.
PINT_UNITS = {
    "": "",
    "%": "percent",
    "teeth": "count",
    "V AC": "volt",
    "A AC": "ampere",
    "N m": "newton * meter",
    "N m/A": "newton * meter / ampere",
    "rpm/V": "rpm / volt",
    "mm2": "millimeter ** 2",
    "A2s": "ampere ** 2 * second",
    "kbaud": "kilobit / second",
    "uF": "microfarad",
    "mohm": "milliohm",
    "kohm": "kiloohm",
}
# What people type on the right, Pint's spelling on the left of the arrow.
TYPED_UNITS = {
    "mm²": "mm**2",
    "mm2": "mm**2",
    "Ω": "ohm",
    "mΩ": "milliohm",
    "°C": "degC",
    "°F": "degF",
    "µF": "uF",
    "lbs": "lb",
}
AWG = re.compile(r"^\s*(\d{1,2}|[1-4]/0)\s*AWG\s*$", re.IGNORECASE)
NUMBER = re.compile(r"^\s*([-+]?(?:\d+(?:,\d{3})*|\d*)(?:\.\d*)?(?:[eE][-+]?\d+)?)\s*(.*?)\s*$")


@cache
def registry() -> pint.UnitRegistry[float]:
    """The one Pint registry, made on first use."""
    return pint.UnitRegistry(cache_folder=None)


def awg_area_mm2(gauge: str) -> float:
    """Conductor section of an AWG size.

    Parameters: `gauge` "4" to "40" or "1/0" to "4/0". Returns: section [mm2].
    Raises: UnitError for anything else. Source: ASTM B258, d = 0.127 mm × 92^((36 − n)/39).
    """
    match = AWG.match(f"{gauge} AWG")
    if not match:
        raise UnitError(f"'{gauge}' is not an AWG size.")
    text = match.group(1)
    number = 1 - int(text[0]) if text.endswith("/0") else int(text)
    diameter_mm = 0.127 * 92 ** ((36 - number) / 39)
    return float(math.pi / 4 * diameter_mm**2)


def parse_quantity(text: str, unit: str) -> float:
    """Read text as a quantity in `unit`.

    Parameters: `text` "72", "72 V", "4 AWG", "30 lb", "1,200 W"; `unit` the unit wanted. Returns: number in it.
    Raises: UnitError for text that is not a quantity or has the wrong dimension.
    """
    if unit == "mm2" and (match := AWG.match(text)):
        return awg_area_mm2(match.group(1))
    match = NUMBER.match(text)
    if not match or not re.search(r"\d", match.group(1)):
        raise UnitError(f"'{text}' is not a quantity.")
    number = float(match.group(1).replace(",", ""))
    if not math.isfinite(number):
        raise UnitError(f"'{text}' is not a finite quantity.")
    typed = match.group(2)
    if not typed or typed == unit:
        return number
    for spelled, pints in TYPED_UNITS.items():
        if typed == spelled:
            typed = pints
    try:
        quantity = registry().Quantity(number, PINT_UNITS.get(typed, typed))
        return float(quantity.to(PINT_UNITS.get(unit, unit)).magnitude)
    except Exception as error:  # Pint raises a wide family, from tokenizer errors to AttributeError
        raise UnitError(f"'{text}' cannot be read as {unit or 'a plain number'}.") from error
