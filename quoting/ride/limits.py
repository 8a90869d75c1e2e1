"""The limits of a setup, peak and held, or the words for what must be known first."""

from __future__ import annotations

import math

from quoting.parts import RAD_S_PER_RPM, corner_speed_rad_s
from quoting.ride.bike import Bike
from quoting.ride.force import PowerLimits


def peak_torque_nm(bike: Bike) -> float | None:
    """Peak torque at the motor [N m]: least of its own and torque constant × phase current; None when not known.

    The phase current is the least of motor peak, controller peak and the demagnetizing current, of those known.
    """
    motor, controller = bike.motor, bike.controller
    phases = (motor.phase_peak_a, motor.demag_phase_a, controller.phase_peak_a if controller else None)
    known = [phase for phase in phases if phase is not None]
    torques = [motor.peak_torque_nm] if motor.peak_torque_nm is not None else []
    if motor.torque_nm_per_a is not None and known:
        torques.append(motor.torque_nm_per_a * min(known))
    return min(torques) if torques else None


def held_torque_nm(bike: Bike) -> float | None:
    """Torque the motor holds [N m]: least of what is known; None when neither is.

    Continuous power at the corner of the torque curve; torque constant × continuous phase current.
    """
    motor, controller = bike.motor, bike.controller
    corner, torques = corner_speed_rad_s(motor), []
    if motor.cont_kw is not None and corner is not None:
        torques.append(motor.cont_kw * 1000.0 / corner)
    phases = (motor.phase_cont_a, controller.phase_cont_a if controller else None)
    known = [phase for phase in phases if phase is not None]
    if motor.torque_nm_per_a is not None and known:
        torques.append(motor.torque_nm_per_a * min(known))
    return min(torques) if torques else None


def peak_limits(bike: Bike, open_v: float | None) -> tuple[PowerLimits | None, tuple[str, ...]]:
    """Limits for some seconds at a rested voltage [V], or None and what is missing."""
    controller = bike.controller
    return _limits(
        bike,
        open_v,
        shaft_kw=("motor peak power", bike.motor.peak_kw),
        controller_a=("controller battery current, peak", controller.battery_peak_a if controller else None),
        pack_a=_pack_a("pack current, peak", bike.pack.peak_a, bike.pack.peak_limit),
        torque=("motor peak torque", peak_torque_nm(bike)),
    )


def held_limits(bike: Bike, open_v: float | None) -> tuple[PowerLimits | None, tuple[str, ...]]:
    """Limits that hold, hour after hour, at a rested voltage [V], or None and what is missing."""
    controller = bike.controller
    return _limits(
        bike,
        open_v,
        shaft_kw=("motor continuous power", bike.motor.cont_kw),
        controller_a=("controller battery current, continuous", controller.battery_cont_a if controller else None),
        pack_a=_pack_a("pack current, continuous", bike.pack.cont_a, bike.pack.cont_limit),
        torque=("motor continuous torque", held_torque_nm(bike)),
    )


def _pack_a(words: str, limit_a: float | None, weakest: str | None) -> tuple[str, float | None]:
    """The pack's limit with the weakest link's name in its words."""
    return (f"{words} ({weakest})" if weakest and limit_a is not None else words), limit_a


def _limits(
    bike: Bike,
    open_v: float | None,
    shaft_kw: tuple[str, float | None],
    controller_a: tuple[str, float | None],
    pack_a: tuple[str, float | None],
    torque: tuple[str, float | None],
) -> tuple[PowerLimits | None, tuple[str, ...]]:
    """Torque may be unknown: then power and grip are the only limits, and figures that need torque are left out."""
    needed: tuple[tuple[str, float | None], ...] = (
        shaft_kw,
        controller_a,
        pack_a,
        ("pack voltage", open_v),
        ("cell resistance", bike.resistance_ohm),
        ("motor speed constant", bike.kv_rpm_per_v),
    )
    missing = tuple(words for words, value in needed if value is None)
    wheel_known = bike.circumference_m is not None and bike.ratio is not None  # reading noted what is missing there
    if missing or open_v is None or not wheel_known:
        return None, missing
    top_rpm = bike.motor.max_rpm
    battery_words, battery_a = min(
        ((words, value) for words, value in (controller_a, pack_a) if value is not None), key=lambda pair: pair[1]
    )
    limits = PowerLimits(
        torque_nm=math.inf if torque[1] is None else torque[1],
        shaft_w=(shaft_kw[1] or 0.0) * 1000.0,
        battery_a=battery_a,
        open_v=open_v,
        resistance_ohm=bike.resistance_ohm or 0.0,
        floor_v=bike.floor_v,
        rad_s_per_v=(bike.kv_rpm_per_v or 0.0) * RAD_S_PER_RPM * bike.modulation,
        top_rad_s=math.inf if top_rpm is None else top_rpm * RAD_S_PER_RPM,
        auxiliary_w=bike.auxiliary_w,
        torque_words=torque[0],
        shaft_words=shaft_kw[0],
        battery_words=battery_words,
    )
    return limits, ()
