"""A drive whose motor has an efficiency grid: losses looked up by motor speed and torque instead of worked out.

Between the grid's points efficiency lies on straight lines in speed and in torque (bilinear); outside the grid it is
as at the edge. Checked in tests/published against SciPy's RegularGridInterpolator.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from quoting.parts import RAD_S_PER_RPM, EfficiencyGrid, read_grid
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
def grid_arrays(text: str) -> GridArrays:
    """The arrays of a grid's text. Raises SpecError."""
    grid = read_grid(text)
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
        """Efficiency of the motor at its torques [..., n] [N m] at road speeds [n] [m/s].

        Row by row, so that what is worked on stays in the processor's cache: a third of the time of all at once.
        """
        arrays, found = self.arrays, np.empty(torque_nm.shape)
        rows = arrays.rows_at(speed_ms * self.turns_per_m)
        flat, first = rows.ravel(), np.arange(0, rows.size, rows.shape[1])
        for torques, shares in zip(torque_nm.reshape(-1, len(rows)), found.reshape(-1, len(rows)), strict=True):
            at, part = _placed(arrays.torques_nm, arrays.torque_steps, torques)
            at += first
            low = flat.take(at)
            at += 1
            part *= flat.take(at) - low
            np.add(low, part, out=shares)
        return found

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
        """As DriveLine.net_w; the motor pushes or holds back, so that one look at the grid serves both."""
        if not most_back_w.any():
            return super().net_w(forces_n, speed_ms, most_back_w)
        pushes = forces_n > 0.0
        held_n = forces_n * np.where(pushes, 0.0, -REGEN_SHARE)
        torque = self.push_nm(np.maximum(forces_n, 0.0)) + held_n * (self.final_share / self.turns_per_m)
        shares = self.motor_shares(torque, speed_ms)
        back_w = held_n * (speed_ms * (self.final_share * self.controller_share)) * shares
        back_w *= speed_ms >= REGEN_LEAST_MS
        np.minimum(back_w, most_back_w, out=back_w)
        shares *= self.final_share * self.controller_share
        power = forces_n * speed_ms
        power *= pushes
        power /= shares
        power -= back_w
        return power

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


def gridded(plain: DriveLine, text: str) -> GridDriveLine:
    """A drive line with a motor's grid, as text. Raises SpecError."""
    kept = {item.name: getattr(plain, item.name) for item in fields(plain)}
    return GridDriveLine(**kept, grid=read_grid(text), arrays=grid_arrays(text))
