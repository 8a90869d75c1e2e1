"""Regulation driving cycles: speed second by second as printed in public regulations, in quoting/ride/data/.

udds, hwfet, us06: 40 CFR Part 86 Appendix I and Part 600 Appendix I. wmtc_1, wmtc_2, wmtc_3: UN Global Technical
Regulation No. 2, typed in from a public data set of it and not compared with the printed tables. Each file names its
source in its head. They feed checks and comparisons; quotes speak of our own
profiles (`quoting.ride.routes`).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from quoting.ride.traces import Trace

FOLDER = Path(__file__).parent / "data"
CYCLES = ("udds", "hwfet", "us06", "wmtc_1", "wmtc_2", "wmtc_3")
UNIT_MS = {"mph": 0.44704, "km/h": 1.0 / 3.6}  # exact: NIST SP 811


@cache
def regulation_cycle(code: str) -> Trace:
    """A regulation cycle on a level road. Parameters: `code` one of CYCLES. Raises: KeyError for any other."""
    if code not in CYCLES:
        raise KeyError(code)
    head: dict[str, str] = {}
    tenths: list[int] = []
    for line in (FOLDER / f"{code}.csv").read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            name, _, value = line[1:].partition(":")
            head[name.strip()] = value.strip()
        else:
            tenths.extend(int(number) for number in line.split(","))
    speed_ms = np.array(tenths) * 0.1 * UNIT_MS[head["unit"]]
    return Trace(code, head["label"], speed_ms, np.zeros(len(speed_ms) - 1))


@cache
def world_motorcycle_cycle() -> Trace:
    """The three parts of the world motorcycle cycle one after the other."""
    parts = [regulation_cycle(code) for code in ("wmtc_1", "wmtc_2", "wmtc_3")]
    speed_ms = np.concatenate([parts[0].speed_ms, *(part.speed_ms[1:] for part in parts[1:])])
    return Trace("wmtc", "World motorcycle test cycle", speed_ms, np.zeros(len(speed_ms) - 1))


def combined_range_km(first_km: float, second_km: float, first_share: float = 0.5) -> float:
    """Range when a share of the distance is ridden like the first and the rest like the second [km].

    1 / (share/R1 + (1 − share)/R2): the harmonic mean, as energies add by distance. Source: structure of SAE J2982
    ("highway commuting": half city cycle, half steady speed); formula from memory.
    """
    return 1.0 / (first_share / first_km + (1.0 - first_share) / second_km)
