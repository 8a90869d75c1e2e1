"""What the drive asks of the pack, in watts at the pack's terminals."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts import RAD_S_PER_RPM, Controller, EfficiencyGrid, Motor, rated_speed_rad_s, read_grid
from quoting.setup import Setup
from quoting.show import show_percent

# Stand-ins when a data sheet gives no efficiency: common practice, no source; always shown as assumed.
ASSUMED_MOTOR_EFFICIENCY = 0.90
ASSUMED_CONTROLLER_EFFICIENCY = 0.97


@dataclass(frozen=True, kw_only=True)
class Demand:
    """Power asked of the pack for good and at peak [W], and the controller's limits on its current [A].

    None: not known. `inputs` what it was worked out from, as written; `missing` what would be needed.
    """

    cont_w: float | None = None
    peak_w: float | None = None
    cont_cap_a: float | None = None
    peak_cap_a: float | None = None
    inputs: tuple[tuple[str, str], ...] = ()
    missing: tuple[str, ...] = ()


def drive_demand(setup: Setup) -> Demand:
    """Battery power for the motor's continuous and peak power.

    W = shaft power + losses, over the controller's efficiency, plus lamps and other loads. Losses are those of the
    motor's efficiency grid at its rated speed, else copper loss scaled with the square of power plus no-load loss where
    the motor states both, else by its best efficiency.
    Parameters: `setup` the option. Returns: Demand [W], [A]. Source: textbook machine losses.
    """
    motor, controller = setup.one(Motor), setup.one(Controller)
    cont_cap_a, peak_cap_a = (None, None)
    if controller is not None:
        count = float(controller.line.quantity)
        cont_cap_a = _times(controller.part.battery_cont_a, count)
        peak_cap_a = _times(controller.part.battery_peak_a, count)
    if motor is None:
        return Demand(cont_cap_a=cont_cap_a, peak_cap_a=peak_cap_a, missing=("motor",))
    motor_efficiency = motor.part.peak_efficiency or ASSUMED_MOTOR_EFFICIENCY
    looked_up = _looked_up(motor.part)
    drive_efficiency = controller.part.efficiency if controller else None
    drive = drive_efficiency or ASSUMED_CONTROLLER_EFFICIENCY
    auxiliary_w = setup.policies.auxiliary_w
    motors = float(motor.line.quantity)

    def battery_w(shaft_kw: float | None) -> float | None:
        if shaft_kw is None:
            return None
        shaft_w = shaft_kw * 1000.0
        if looked_up:
            return motors * shaft_w / looked_up.share(shaft_w) / drive + auxiliary_w
        return motors * _motor_input_w(motor.part, shaft_w, motor_efficiency) / drive + auxiliary_w

    inputs = (
        ("motor, continuous and peak", f"{_kw(motor.part.cont_kw)} and {_kw(motor.part.peak_kw)}"),
        ("motor efficiency", looked_up.words if looked_up else _marked(motor_efficiency, motor.part.peak_efficiency)),
        ("controller efficiency", _marked(drive, drive_efficiency)),
        ("lamps and other loads", f"{auxiliary_w:g} W"),
    )
    missing = [
        name
        for name, value in (
            ("motor continuous power", motor.part.cont_kw),
            ("motor peak power", motor.part.peak_kw),
        )
        if value is None
    ]
    return Demand(
        cont_w=battery_w(motor.part.cont_kw),
        peak_w=battery_w(motor.part.peak_kw),
        cont_cap_a=cont_cap_a,
        peak_cap_a=peak_cap_a,
        inputs=inputs,
        missing=tuple(missing),
    )


@dataclass(frozen=True)
class LookedUp:
    """A motor's grid at its rated speed [rad/s]; without one to tell, the grid's best efficiency at every power."""

    motor: Motor
    grid: EfficiencyGrid
    rated_rad_s: float | None

    def share(self, shaft_w: float) -> float:
        """Efficiency [0..1] at a shaft power [W]."""
        if not self.rated_rad_s:
            return self.grid.best
        return self.grid.share_at(self.rated_rad_s / RAD_S_PER_RPM, shaft_w / self.rated_rad_s)

    @property
    def words(self) -> str:
        """Efficiency at continuous and peak power, as written."""
        if not self.rated_rad_s:
            return f"{show_percent(self.grid.best)}, best of its grid (rated speed not known)"
        rpm = self.rated_rad_s / RAD_S_PER_RPM
        powers_w = [kw * 1000.0 for kw in (self.motor.cont_kw, self.motor.peak_kw) if kw is not None]
        shares = " and ".join(show_percent(self.share(shaft_w)) for shaft_w in powers_w)
        within = all(self.grid.holds(rpm, shaft_w / self.rated_rad_s) for shaft_w in powers_w)
        return f"{shares} from its grid at {rpm:,.0f} rpm{'' if within else ', past its edge as at the edge'}"


def _looked_up(motor: Motor) -> LookedUp | None:
    if motor.efficiency_grid is None:
        return None
    return LookedUp(motor, read_grid(motor.efficiency_grid), rated_speed_rad_s(motor))


def _motor_input_w(motor: Motor, shaft_w: float, efficiency: float) -> float:
    if motor.copper_loss_w is not None and motor.no_load_loss_w is not None and motor.cont_kw:
        return shaft_w + motor.copper_loss_w * (shaft_w / (motor.cont_kw * 1000.0)) ** 2 + motor.no_load_loss_w
    return shaft_w / efficiency


def _times(value: float | None, count: float) -> float | None:
    return None if value is None else value * count


def _kw(value: float | None) -> str:
    return "not known" if value is None else f"{value:g} kW"


def _marked(value: float, known: float | None) -> str:
    return show_percent(value) if known else f"{show_percent(value)} (assumed)"
