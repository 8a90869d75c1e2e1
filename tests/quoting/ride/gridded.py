"""Efficiency grids for the ride tests, made of the three-number model or of one figure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from quoting.parts import RAD_S_PER_RPM, Motor
from quoting.ride.efficiency import drive_line

# Points a data sheet of such a motor could have: close together where efficiency bends, at low speed and torque.
HUB_SPEEDS = (25, 50, 100, 175, 250, 375, 500, 750, 1000, 1250, 1500)
HUB_TORQUES = (3, 6, 10, 15, 22, 32, 45, 65, 95, 140, 200, 280)


def of_three_numbers(spec: Mapping[str, object], speeds_rpm: Iterable[float], torques_nm: Iterable[float]) -> str:
    """The grid of a motor's three-number model, to five digits.

    With a wheel of 2·π m and no other loss, force is torque [N m] and road speed is motor speed [rad/s].
    """
    line, torques = drive_line(Motor(**spec), 1.0, 1.0, 1.0, 2.0 * np.pi), np.array([*torques_nm], dtype=float)  # type: ignore[arg-type]
    rows = ["rpm " + " ".join(f"{torque:g}" for torque in torques)]
    for speed in speeds_rpm:
        rad_s = np.full(len(torques), speed * RAD_S_PER_RPM)
        shares = torques * rad_s / line.drive_w(torques, rad_s)
        rows.append(f"{speed:g} " + " ".join(f"{share:.5f}" for share in shares))
    return "\n".join(rows)


def constant(share: float) -> str:
    """One efficiency everywhere."""
    return f"rpm 1 300; 1 {share} {share}; 2000 {share} {share}"
