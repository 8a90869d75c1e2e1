"""Speeds of a motor that follow from its spec: the corner of its torque curve, its rated and its top speed."""

from __future__ import annotations

import math

from quoting.parts.drive import Motor

# Speed of rated power as a share of top motor speed, when peak torque does not tell. Common practice, no source.
RATED_SPEED_SHARE = 0.75
RAD_S_PER_RPM = math.pi / 30.0  # exact


def corner_speed_rad_s(motor: Motor) -> float | None:
    """Motor speed where peak torque first gives peak power [rad/s]; None when either is not known."""
    if motor.peak_kw is None or motor.peak_torque_nm is None:
        return None
    return motor.peak_kw * 1000.0 / motor.peak_torque_nm


def rated_speed_rad_s(motor: Motor) -> float | None:
    """Motor speed at which continuous power is taken to be given [rad/s]; None when nothing tells.

    The corner of the torque curve, else a share of the top speed.
    """
    corner = corner_speed_rad_s(motor)
    if corner is not None:
        return corner
    top = top_speed_rad_s(motor)
    return None if top is None else RATED_SPEED_SHARE * top


def top_speed_rad_s(motor: Motor) -> float | None:
    """Highest motor speed [rad/s]: its limit, else speed constant × nominal voltage; None when neither is known."""
    if motor.max_rpm is not None:
        return motor.max_rpm * RAD_S_PER_RPM
    if motor.kv_rpm_per_v is not None and motor.nominal_v is not None:
        return motor.kv_rpm_per_v * motor.nominal_v * RAD_S_PER_RPM
    return None
