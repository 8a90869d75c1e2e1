"""What a working says of the motor's efficiency: in three numbers, or looked up in its grid."""

from __future__ import annotations

import numpy as np

from quoting.parts import RAD_S_PER_RPM, read_grid
from quoting.ride.bike import Bike
from quoting.ride.energy import Case, Course, wheel_forces_n
from quoting.ride.grid import GridDriveLine
from quoting.ride.speed import SpeedLimit
from quoting.show import number, show_percent, show_torque


def motor_words(bike: Bike, units: str) -> str:
    """Where the motor's efficiency comes from."""
    drive, best = bike.drive, bike.motor.peak_efficiency
    if isinstance(drive, GridDriveLine):
        speeds, torques = drive.grid.speeds_rpm, drive.grid.torques_nm
        return (
            f"its efficiency grid, {number(speeds[0])} to {number(speeds[-1])} rpm by "
            f"{show_torque(torques[0], units)} to {show_torque(torques[-1], units)}; straight lines between its points "
            "(bilinear), past its edge as at the edge"
        )
    if bike.motor.efficiency_grid is not None:
        return f"{show_percent(read_grid(bike.motor.efficiency_grid).best)}, best of its grid, which takes the wheel"
    if drive.motor_share < 1.0:
        return f"{show_percent(drive.motor_share)} at every load"
    if best is None:
        return "copper and no-load loss as given"
    return f"{show_percent(best)} at its best; copper and no-load loss with torque and speed"


def outside_words(bike: Bike, case: Case, course: Course) -> tuple[str, ...]:
    """For each trace how much of the driving lies outside the motor's grid; empty for a motor without one."""
    drive = bike.drive
    if not isinstance(drive, GridDriveLine):
        return ()
    forces_n = wheel_forces_n((case,), course)[0]
    driving = forces_n > 0.0
    out = driving & drive.outside(drive.push_nm(forces_n), course.speed_ms)
    seconds = np.add.reduceat(driving.astype(np.float64), course.starts)
    shares = np.add.reduceat(out.astype(np.float64), course.starts) / np.maximum(seconds, 1.0)
    return tuple(f"{show_percent(float(share))} of the time it pushes, taken as at the edge" for share in shares)


def share_words(bike: Bike, found: SpeedLimit, units: str) -> tuple[tuple[str, str], ...]:
    """The motor's efficiency at a speed limit, where the grid gives it."""
    drive = bike.drive
    if not isinstance(drive, GridDriveLine) or found.speed_ms <= 0.0:
        return ()
    torque_nm = float(drive.push_nm(found.force_at_n(np.array(found.speed_ms))))
    rpm = found.speed_ms * drive.turns_per_m / RAD_S_PER_RPM
    share = drive.grid.share_at(rpm, torque_nm)
    edge = "" if drive.grid.holds(rpm, torque_nm) else ", past the grid's edge"
    words = f"{show_percent(share)} at {number(rpm)} rpm and {show_torque(torque_nm, units)}{edge}"
    return (("Motor efficiency there", words),)
