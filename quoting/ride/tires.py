"""Tire markings: how far a wheel rolls in one turn.

Three ways to mark a motorcycle tire are read: metric (130/70-17), inch (4.00-18, 3.25-19, 4.25/85-18) and letters
(MT90-16). Source of the reading: a tire maker's public page on sidewall markings and a 1982 magazine's size guide.
Older inch sizes are as tall as wide, the low ones (3.60, 4.10, 4.60, 5.10 …) 90 %, others carry their aspect ratio.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from quoting.errors import FieldProblem, SpecError

MM_PER_INCH = 25.4  # exact
# A loaded tire rolls less far than its free diameter says: tire standards of Europe take 3.05 × overall diameter per
# turn, which is 0.971·π. From memory, for car tires; used here for motorcycle tires too.
ROLLING_FACTOR = 3.05 / math.pi

SEPARATOR = r"\s*(?:-|x|×|[A-Z]{1,3}|\s)\s*-?\s*"
RIM = r"(?P<rim>\d{1,2}(?:\.\d)?)(?!\d)"
METRIC = re.compile(rf"^(?P<width>\d{{2,3}})\s*/\s*(?P<aspect>\d{{2,3}}){SEPARATOR}{RIM}")
INCH = re.compile(rf"^(?P<width>\d\.\d{{1,2}})(?:\s*/\s*(?P<aspect>\d{{2,3}}))?{SEPARATOR}{RIM}")
LETTERS = re.compile(rf"^M(?P<code>[A-Z])\s*(?P<aspect>\d{{2}}){SEPARATOR}{RIM}")
# Second letter of a lettered size to nominal width [mm]. From memory; T = 130 and V = 150 read in a public guide.
# Letters not sure of are left out: such a tire has to be given by its metric size.
LETTER_WIDTHS_MM = {"H": 80, "J": 90, "M": 100, "N": 110, "R": 120, "T": 130, "U": 140, "V": 150}
LOW_INCH_ASPECT = 90.0
FULL_INCH_ASPECT = 100.0


@dataclass(frozen=True)
class TireSize:
    """What a marking says: section width [mm], height over width [%], rim diameter [inch]."""

    width_mm: float
    aspect_percent: float
    rim_inch: float

    @property
    def diameter_m(self) -> float:
        """Free overall diameter [m]: rim + 2 × width × aspect."""
        return (self.rim_inch * MM_PER_INCH + 2.0 * self.width_mm * self.aspect_percent / 100.0) / 1000.0

    @property
    def circumference_m(self) -> float:
        """Distance rolled in one turn under load [m]: π × diameter × rolling factor."""
        return math.pi * self.diameter_m * ROLLING_FACTOR


def tire_size(marking: str) -> TireSize:
    """Read a marking: "130/70-17", "130/70 ZR17 M/C 62W", "4.00-18", "3.25 S 19", "4.25/85-18", "MT90B16".

    Returns: TireSize. Raises: SpecError naming `marking` when it cannot be read or is no motorcycle tire's size.
    """
    text = marking.strip().upper().replace("×", "X").replace("X", "-")
    if match := METRIC.match(text):
        size = TireSize(float(match["width"]), float(match["aspect"]), float(match["rim"]))
    elif match := INCH.match(text):
        aspect = float(match["aspect"]) if match["aspect"] else _inch_aspect(match["width"])
        size = TireSize(float(match["width"]) * MM_PER_INCH, aspect, float(match["rim"]))
    elif (match := LETTERS.match(text)) and match["code"] in LETTER_WIDTHS_MM:
        size = TireSize(float(LETTER_WIDTHS_MM[match["code"]]), float(match["aspect"]), float(match["rim"]))
    else:
        raise _unreadable(marking)
    if not (50 <= size.width_mm <= 330 and 30 <= size.aspect_percent <= 110 and 8 <= size.rim_inch <= 23):
        raise _unreadable(marking)
    return size


def circumference_m(marking: str) -> float:
    """Distance rolled in one turn of the wheel [m]. Raises: SpecError as tire_size."""
    return tire_size(marking).circumference_m


def _inch_aspect(width: str) -> float:
    """Low sizes of the older inch series end in .10 or .60; all others are as tall as wide."""
    decimals = width.split(".")[1].ljust(2, "0")
    return LOW_INCH_ASPECT if decimals in {"10", "60"} else FULL_INCH_ASPECT


def _unreadable(marking: str) -> SpecError:
    return SpecError(
        (
            FieldProblem(
                "marking",
                f"'{marking}' cannot be read as a motorcycle tire size.",
                "Write it as on the sidewall: 130/70-17, 4.00-18 or MT90-16.",
            ),
        )
    )
