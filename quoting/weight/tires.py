"""What the letters after a tire's size allow: load index and speed symbol, "58H"."""

from __future__ import annotations

import re
from dataclasses import dataclass

# Load index 40 to 85 [kg], ETRTO/ISO: 54, 55, 58, 60, 63, 65, 66, 69 to 71, 73, 75, 77 and 80 read in a public table,
# the others from memory.
FIRST_INDEX = 40
LOAD_KG = (
    *(140, 145, 150, 155, 160, 165, 170, 175, 180, 185),
    *(190, 195, 200, 206, 212, 218, 224, 230, 236, 243),
    *(250, 257, 265, 272, 280, 290, 300, 307, 315, 325),
    *(335, 345, 355, 365, 375, 387, 400, 412, 425, 437),
    *(450, 462, 475, 487, 500, 515),
)
# Speed symbol [km/h], from memory.
SPEED_KMH = dict(
    zip("JKLMNPQRSTUHVW", (100, 110, 120, 130, 140, 150, 160, 170, 180, 190, 200, 210, 240, 270), strict=True)
)
DESCRIPTION = re.compile(r"\b(\d{2})\s?([A-Z])\b")


@dataclass(frozen=True)
class ServiceDescription:
    """What a tire may carry [kg] and how fast it may run [km/h]."""

    load_kg: float
    speed_kmh: float


def load_index_kg(index: int) -> float | None:
    """Load [kg] at a load index; None outside 40 to 85. Source: ETRTO/ISO load index table."""
    place = index - FIRST_INDEX
    return float(LOAD_KG[place]) if 0 <= place < len(LOAD_KG) else None


def service_description(marking: str) -> ServiceDescription | None:
    """Load and speed from a marking such as "130/70-17 62H" or "62H"; None when it names none that is known here."""
    for index, symbol in DESCRIPTION.findall(marking.upper()):
        load_kg = load_index_kg(int(index))
        if load_kg is not None and symbol in SPEED_KMH:
            return ServiceDescription(load_kg, float(SPEED_KMH[symbol]))
    return None
