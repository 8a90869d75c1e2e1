"""Looking up a motor's efficiency grid against a general reference for interpolation on a grid.

Source: SciPy (scipy.interpolate.RegularGridInterpolator, method "linear"), reference library; outside the grid the
point is first moved to its edge, as `quoting.parts.grid` says. Grid and points are invented, at random with a seed.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import brentq

from quoting.parts import RAD_S_PER_RPM, EfficiencyGrid
from quoting.ride.efficiency import DriveLine
from quoting.ride.grid import GridDriveLine, gridded

SPEEDS_RPM = (150.0, 400.0, 900.0, 1600.0, 3000.0)
TORQUES_NM = (8.0, 20.0, 45.0, 70.0, 120.0, 200.0)
POINTS = 500


def random_grid(seed: int) -> EfficiencyGrid:
    """Efficiencies from 0.65 to 0.95, no two alike; input power rises with torque, as in every grid that is read."""
    shares = np.random.default_rng(seed).uniform(0.65, 0.95, (len(SPEEDS_RPM), len(TORQUES_NM)))
    return EfficiencyGrid(SPEEDS_RPM, TORQUES_NM, tuple(tuple(float(share) for share in row) for row in shares))


def reference(grid: EfficiencyGrid, speeds_rpm: np.ndarray, torques_nm: np.ndarray) -> np.ndarray:
    """SciPy's figure at points moved to the edge where they lie outside."""
    look = RegularGridInterpolator((np.array(grid.speeds_rpm), np.array(grid.torques_nm)), np.array(grid.shares))
    speeds = np.clip(speeds_rpm, SPEEDS_RPM[0], SPEEDS_RPM[-1])
    return np.asarray(look(np.column_stack([speeds, np.clip(torques_nm, TORQUES_NM[0], TORQUES_NM[-1])])))


def points(seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Speeds [rpm] and torques [N m], a fifth or so of them outside the grid on each side."""
    dice = np.random.default_rng(seed)
    return dice.uniform(0.0, 4000.0, POINTS), dice.uniform(0.0, 260.0, POINTS)


def drive_of(grid: EfficiencyGrid) -> GridDriveLine:
    """A motor that turns 1 rad per meter without other losses: speeds are rad/s, forces are torques."""
    return gridded(DriveLine(controller_share=1.0, final_share=1.0), grid)


@pytest.mark.parametrize("seed", range(5))
def test_one_point_at_a_time(seed: int) -> None:
    grid, (speeds, torques) = random_grid(seed), points(seed)
    found = [grid.share_at(float(rpm), float(nm)) for rpm, nm in zip(speeds, torques, strict=True)]
    assert found == pytest.approx(reference(grid, speeds, torques), rel=1e-12)


@pytest.mark.parametrize("seed", range(5))
def test_many_points_in_rows_of_cases(seed: int) -> None:
    grid, (speeds, torques) = random_grid(seed), points(seed)
    rows = np.array([torques, torques[::-1], 0.3 * torques])
    found = drive_of(grid).motor_shares(rows, speeds * RAD_S_PER_RPM)
    for row, shares in zip(rows, found, strict=True):
        assert shares == pytest.approx(reference(grid, speeds, row), rel=1e-12)


@pytest.mark.parametrize("power_w", [200.0, 3000.0, 12_000.0, 60_000.0])
def test_torque_at_a_power_against_a_root_finder(power_w: float) -> None:
    """SciPy's brentq on T·ω/η(ω, T) − P, η by SciPy as well."""
    shares = tuple(tuple(0.6 + 0.04 * row + 0.03 * min(column, 3) for column in range(6)) for row in range(5))
    grid, speeds = EfficiencyGrid(SPEEDS_RPM, TORQUES_NM, shares), np.array([5.0, 40.0, 130.0, 250.0, 400.0])
    found = drive_of(grid).force_at_power_n(power_w, speeds)
    for rad_s, torque in zip(speeds, found, strict=True):
        rpm = np.array([rad_s / RAD_S_PER_RPM])

        def left_w(nm: float, rad_s: float = rad_s, rpm: np.ndarray = rpm) -> float:
            return nm * rad_s / float(reference(grid, rpm, np.array([nm]))[0]) - power_w

        assert torque == pytest.approx(brentq(left_w, 0.0, 20_000.0), rel=1e-5)
