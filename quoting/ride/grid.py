"""A drive whose motor has an efficiency grid: losses looked up by motor speed and torque instead of worked out.

Between the grid's points efficiency lies on straight lines in speed and in torque (bilinear); outside the grid it is
as at the edge. Checked in tests/published against SciPy's RegularGridInterpolator.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from quoting.parts import RAD_S_PER_RPM, EfficiencyGrid
from quoting.ride.efficiency import REGEN_LEAST_MS, REGEN_SHARE, DriveLine
from quoting.ride.road_load import FloatArray


@dataclass(frozen=True, eq=False)
class GridArrays:
    """A grid as arrays: `speeds_rad_s` [m] and `torques_nm` [k] rising, their steps, `shares` [m, k]."""

    speeds_rad_s: FloatArray
    speed_steps: FloatArray
    torques_nm: FloatArray
    torque_steps: FloatArray
    shares: FloatArray

    def rows_at(self, speeds_rad_s: FloatArray) -> FloatArray:
        """Efficiency at the grid's torques at motor speeds [n] [rad/s], shape [n, k]."""
        at, part = _placed(self.speeds_rad_s, self.speed_steps, speeds_rad_s)
        low, rows = self.shares.take(at, axis=0), self.shares.take(at + 1, axis=0)
        rows -= low
        rows *= part[:, None]
        rows += low
        return rows


Places = npt.NDArray[np.intp]
Truths = npt.NDArray[np.bool_]


def _placed(points: FloatArray, steps: FloatArray, values: FloatArray) -> tuple[Places, FloatArray]:
    """Which step of the points each value lies in, and how far into it [0..1]; at the ends the nearest step's end."""
    at = points[1:-1].searchsorted(values, side="right")
    part = values - points.take(at)
    part /= steps.take(at)
    np.maximum(part, 0.0, out=part)
    return at, np.minimum(part, 1.0, out=part)


@lru_cache(maxsize=512)
def grid_arrays(grid: EfficiencyGrid) -> GridArrays:
    """The arrays of a grid, the same ones each time."""
    speeds, torques = np.array(grid.speeds_rpm) * RAD_S_PER_RPM, np.array(grid.torques_nm)
    return GridArrays(speeds, np.diff(speeds), torques, np.diff(torques), np.array(grid.shares))


@dataclass(frozen=True, kw_only=True)
class GridDriveLine(DriveLine):
    """DriveLine with a motor's grid in place of its losses.

    `grid` is the motor's, or of several as one, `arrays` the same for looking up. Copper and no-load loss, inherited,
    only say how far the motor's speed droops under load at full voltage, which a grid does not tell.
    """

    grid: EfficiencyGrid
    arrays: GridArrays

    def motor_shares(self, torque_nm: FloatArray, speed_ms: FloatArray) -> FloatArray:
        """Efficiency of the motor at its torques [..., n] [N m] at road speeds [n] [m/s]."""
        rows, found = self._rows(speed_ms), np.empty(torque_nm.shape)
        count = len(speed_ms)
        for torques, shares in zip(torque_nm.reshape(-1, count), found.reshape(-1, count), strict=True):
            shares[:] = self._looked_up(rows, torques)
        return found

    def _rows(self, speed_ms: FloatArray) -> tuple[FloatArray, Places]:
        """Efficiencies at the grid's torques, speed after speed, and where each speed's begin."""
        rows = self.arrays.rows_at(speed_ms * self.turns_per_m)
        return rows.ravel(), np.arange(0, rows.size, rows.shape[1])

    def _looked_up(self, rows: tuple[FloatArray, Places], torque_nm: FloatArray) -> FloatArray:
        """Efficiency at torques [n] [N m], one at each speed of the rows."""
        flat, first = rows
        at, part = _placed(self.arrays.torques_nm, self.arrays.torque_steps, torque_nm)
        at += first
        low = flat.take(at)
        at += 1
        part *= flat.take(at) - low
        part += low
        return part

    def outside(self, torque_nm: FloatArray, speed_ms: FloatArray) -> Truths:
        """Which of the torques [..., n] [N m] at road speeds [n] [m/s] lie outside the grid."""
        arrays = self.arrays
        turns = speed_ms * self.turns_per_m
        off_speed = (turns < arrays.speeds_rad_s[0]) | (turns > arrays.speeds_rad_s[-1])
        off_torque: Truths = (torque_nm < arrays.torques_nm[0]) | (torque_nm > arrays.torques_nm[-1])
        off: Truths = np.logical_or(off_speed, off_torque)
        return off

    def push_nm(self, force_n: FloatArray) -> FloatArray:
        """Motor torque [N m] that pushes with forces at the tire [N]."""
        return force_n * (1.0 / (self.turns_per_m * self.final_share))

    def drive_w(self, force_n: FloatArray, speed_ms: FloatArray) -> FloatArray:
        """Power at the controller's input [W] to push with forces of 0 N and more at road speeds [m/s]."""
        shares = self.motor_shares(self.push_nm(force_n), speed_ms)
        shares *= self.final_share * self.controller_share
        power = force_n * speed_ms
        power /= shares
        return power

    def regen_w(self, force_n: FloatArray, speed_ms: FloatArray) -> FloatArray:
        """Power given back [W]: as a generator the motor is taken to be as good as driving (common practice)."""
        held_n = -REGEN_SHARE * force_n
        shares = self.motor_shares(held_n * (self.final_share / self.turns_per_m), speed_ms)
        back_w = held_n * speed_ms * shares * (self.final_share * self.controller_share)
        return np.where(speed_ms < REGEN_LEAST_MS, 0.0, back_w)

    def net_w(self, forces_n: FloatArray, speed_ms: FloatArray, most_back_w: FloatArray) -> FloatArray:
        """As DriveLine.net_w; the motor pushes or holds back, so that one look at the grid serves both.

        Case by case, so that what is worked on stays in the processor's cache: half the time of all at once.
        """
        rows, net = self._rows(speed_ms), np.empty(forces_n.shape)
        may_hold = np.where(speed_ms < REGEN_LEAST_MS, 0.0, REGEN_SHARE)
        for forces, most_w, power in zip(forces_n, most_back_w[:, 0], net, strict=True):
            push = np.maximum(forces, 0.0)
            held = np.minimum(forces, 0.0)
            held *= -may_hold if most_w else 0.0
            shares = self._looked_up(rows, self.push_nm(push) + held * (self.final_share / self.turns_per_m))
            shares *= self.final_share * self.controller_share
            np.multiply(push, speed_ms, out=power)
            power /= shares
            if most_w:
                held *= speed_ms
                held *= shares
                power -= np.minimum(held, most_w, out=held)
        return net

    def force_at_power_n(self, power_w: float, speed_ms: FloatArray) -> FloatArray:
        """Force at the tire [N] that a power at the controller's input [W] gives at speeds above 0 [n] [m/s].

        T·ω = P·η(T). Input power rises along the grid's torques (read_grid sees to it), so that one step holds the
        answer; within it η = a + b·T, hence T = P·a / (ω − P·b). Past the first and last torque b is 0.
        """
        arrays, motor_w = self.arrays, max(power_w, 0.0) * self.controller_share
        turns = speed_ms * self.turns_per_m
        rows = arrays.rows_at(turns)
        passed = np.count_nonzero(arrays.torques_nm * turns[:, None] <= motor_w * rows, axis=1)
        last = len(arrays.torques_nm) - 1
        at, row = np.clip(passed - 1, 0, last - 1), np.arange(len(turns))
        inside = (passed > 0) & (passed <= last)
        slope = np.where(inside, (rows[row, at + 1] - rows[row, at]) / arrays.torque_steps[at], 0.0)
        level = np.where(passed > last, rows[:, last], rows[row, at] - slope * arrays.torques_nm[at])
        return motor_w * level / (turns - motor_w * slope) * (self.turns_per_m * self.final_share)


def gridded(plain: DriveLine, grid: EfficiencyGrid) -> GridDriveLine:
    """A drive line with a motor's grid, or that of several motors as one."""
    kept = {item.name: getattr(plain, item.name) for item in fields(plain)}
    return GridDriveLine(**kept, grid=grid, arrays=grid_arrays(grid))
