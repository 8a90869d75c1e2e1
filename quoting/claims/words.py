"""Claims in a sentence: the ranges and charge times a note to the customer promises.

Only what can hardly mean anything else is read: a distance in a sentence that speaks of range or of a charge, hours in
a sentence that speaks of charging. The shop's address "12 miles away" is left alone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from quoting.show import KM_PER_MILE

SENTENCE = re.compile(r"(?<=[.!?;])\s+|\n+")
NUMBER = r"(?P<number>\d{1,3}(?:,\d{3})+|\d+(?:\.\d+)?)"
TO = r"(?:\s*(?:to|-|–|or)\s*(?P<upper>\d+(?:\.\d+)?))?"
DISTANCE = re.compile(
    rf"(?<![\d.,]){NUMBER}{TO}\s*-?(?P<unit>miles?|mi|kilomet(?:er|re)s?|km)\b(?!\s*(?:/|per\s|an\s)\s*h)",
    re.IGNORECASE,
)
HOURS = re.compile(rf"(?<![\d.,]){NUMBER}{TO}\s*-?(?P<unit>hours?|hrs?|h|minutes?|mins?)\b", re.IGNORECASE)
SPEAKS_OF_RANGE = re.compile(r"\b(range|per charge|(?:a|one|each|full|single) charge)\b", re.IGNORECASE)
SPEAKS_OF_CHARGING = re.compile(r"\b(charg(?:e|es|ed|ing)|plug(?:ged)?)\b", re.IGNORECASE)
IN_PART = re.compile(r"\b(?:to\s+)?\d{2}\s*(?:%|per\s?cent)", re.IGNORECASE)


@dataclass(frozen=True)
class SaidCharge:
    """A charge time that is said [h]; `in_part` when the sentence says so ("20 to 80 %")."""

    hours: float
    in_part: bool


def distances_said_km(text: str, *, always: bool = False) -> tuple[float, ...]:
    """Ranges a text promises [km], in order.

    Parameters: `always` takes every distance, whatever the sentence speaks of (for an option's short label).
    """
    found = []
    for sentence in SENTENCE.split(text):
        if always or SPEAKS_OF_RANGE.search(sentence):
            for match in DISTANCE.finditer(sentence):
                per = KM_PER_MILE if match["unit"].lower().startswith("mi") else 1.0
                found.append(_most(match) * per)
    return tuple(found)


def charges_said(text: str) -> tuple[SaidCharge, ...]:
    """Charge times a text promises, in order."""
    found = []
    for sentence in SENTENCE.split(text):
        if SPEAKS_OF_CHARGING.search(sentence):
            in_part = bool(IN_PART.search(sentence))
            for match in HOURS.finditer(sentence):
                per = 1.0 / 60.0 if match["unit"].lower().startswith("m") else 1.0
                found.append(SaidCharge(_most(match) * per, in_part))
    return tuple(found)


def _most(match: re.Match[str]) -> float:
    """The number, or the upper one of "60 to 80": a range is promised by its better end, a time by its longer."""
    return float((match["upper"] or match["number"]).replace(",", ""))
