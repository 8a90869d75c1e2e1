"""Reading a setup for the road: each number from where it is given, or assumed, or noted as missing."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from quoting.errors import SpecError
from quoting.parts import Bms, Cell, Controller, FinalDrive, Module, Motor, Tire, read_grid
from quoting.request import Donor
from quoting.result import PackFigures, WeightFigures
from quoting.ride.efficiency import (
    CHAIN_SHARE,
    CONTROLLER_SHARE,
    GEAR_SHARE,
    MOTOR_SHARE,
    DriveLine,
    best_share,
    drive_line,
)
from quoting.ride.grid import gridded
from quoting.ride.launch import Stance
from quoting.ride.tires import circumference_m
from quoting.setup import Fitted, Setup
from quoting.show import show_percent

# Upright rider without a fairing. A motorcycle-dynamics textbook, cited in a public simulation manual, gives 0.18 m²
# (faired, prone) to 0.7 m²; 0.60 is common practice for an upright rider.
CDA_M2 = 0.60
CRR = 0.015  # motorcycle tires 0.012 to 0.020: the same textbook, from memory
WHEELBASE_M = 1.40  # common practice, no source
CG_HEIGHT_M = 0.60  # bike with rider; from memory of motorcycle-dynamics textbooks: 0.5 to 0.65 m
REAR_SHARE = 0.52  # with rider; from memory of motorcycle-dynamics textbooks: about half
MODULATION = 0.95  # of the pack's voltage, when the controller's sheet is silent; common practice, no source
# Resistance that drops the nominal voltage by this share at the current that empties the pack in an hour. From memory:
# new power cells 3 to 6 %. Used for range only, and "cell resistance" stays on the list of what is missing.
SAG_AT_1C = 0.05


@dataclass
class Notes:
    """What reading a setup turned up: `assumed` (name, as written), `missing` in plain words."""

    assumed: dict[str, str] = field(default_factory=dict)
    missing: list[str] = field(default_factory=list)

    def lack(self, words: str) -> None:
        """Note a missing spec once."""
        if words not in self.missing:
            self.missing.append(words)


def summed_motor(fitted: Fitted[Motor]) -> Motor:
    """The motor, or several of one kind as one of their summed power and torque at the same speed."""
    count, one = float(fitted.line.quantity), fitted.part
    if count == 1.0:
        return one
    summed = ("cont_kw", "peak_kw", "peak_torque_nm", "torque_nm_per_a", "copper_loss_w", "no_load_loss_w")
    values = {name: getattr(one, name) for name in summed}
    return replace(one, **{name: None if value is None else count * value for name, value in values.items()})


def summed_controller(setup: Setup) -> Controller | None:
    """The controller, or several of one kind with their battery and regeneration currents summed."""
    fitted = setup.one(Controller)
    if fitted is None or fitted.line.quantity == 1:
        return fitted.part if fitted else None
    count, one = float(fitted.line.quantity), fitted.part
    values = {name: getattr(one, name) for name in ("battery_cont_a", "battery_peak_a", "regen_a")}
    return replace(one, **{name: None if value is None else count * value for name, value in values.items()})


def or_assumed(value: float | None, default: float, name: str, words: str, notes: Notes) -> float:
    if value is None:
        notes.assumed[name] = words
        return default
    return value


def rear_tire_marking(setup: Setup, donor: Donor) -> str | None:
    """Marking of a rear tire on the quote, else of the donor's."""
    markings = [item.part.marking for item in setup.all(Tire) if item.part.end == "rear" and item.part.marking]
    return markings[0] if markings else donor.rear_tire


def wheel_circumference_m(marking: str | None, notes: Notes) -> float | None:
    """Rolling circumference of the rear wheel [m]."""
    if not marking:
        notes.lack("rear tire marking")
        return None
    try:
        return circumference_m(marking)
    except SpecError:
        notes.lack(f"rear tire marking that can be read, such as 130/70-17 (now '{marking}')")
        return None


def overall_ratio(setup: Setup, motor: Motor, notes: Notes) -> float | None:
    """Motor turns per wheel turn [-]: internal ratio × sprockets; no internal ratio given means none."""
    inner = motor.gear_ratio or 1.0
    final = setup.one(FinalDrive)
    if motor.mount == "hub":
        return inner
    if final is None or not final.part.motor_teeth or not final.part.wheel_teeth:
        notes.lack("final drive sprockets" if motor.mount == "mid" else "motor mount")
        return None
    return inner * final.part.wheel_teeth / final.part.motor_teeth


def drive_of(
    setup: Setup, motor: Motor, controller: Controller | None, ratio: float | None, wheel_m: float | None, notes: Notes
) -> DriveLine:
    given = controller.efficiency if controller else None
    share = or_assumed(given, CONTROLLER_SHARE, "controller efficiency", "96 % (assumed)", notes)
    final_share = GEAR_SHARE if (motor.gear_ratio or 1.0) != 1.0 else 1.0
    if motor.mount != "hub":
        final = setup.one(FinalDrive)
        chain = final.part.efficiency if final else None
        final_share *= or_assumed(chain, CHAIN_SHARE, "final drive efficiency", "96 % (assumed)", notes)
    if best_share(motor) is None and (motor.copper_loss_w is None or motor.no_load_loss_w is None):
        notes.assumed["motor efficiency"] = f"{show_percent(MOTOR_SHARE)} at its best (assumed)"
    plain = drive_line(motor, share, final_share, ratio, wheel_m)
    if motor.efficiency_grid is None or ratio is None or wheel_m is None:
        return plain
    fitted = setup.one(Motor)
    grid = read_grid(motor.efficiency_grid).of_several(float(fitted.line.quantity) if fitted else 1.0)
    return gridded(plain, grid)


def speed_constant_rpm_per_v(motor: Motor, notes: Notes) -> float | None:
    """No-load speed per volt of the pack [rpm/V]; else highest speed over nominal voltage, as assumed."""
    if motor.kv_rpm_per_v is not None or motor.max_rpm is None or motor.nominal_v is None:
        return motor.kv_rpm_per_v
    notes.assumed["speed constant"] = f"{motor.max_rpm / motor.nominal_v:.1f} rpm/V (assumed: highest at nominal)"
    return motor.max_rpm / motor.nominal_v


def modulation_of(controller: Controller | None, notes: Notes) -> float:
    """Share of the pack's voltage the motor sees [-]."""
    given = controller.modulation if controller else None
    return or_assumed(given, MODULATION, "voltage use", f"{show_percent(MODULATION)} (assumed)", notes)


def stance_of(donor: Donor, weight: WeightFigures | None, notes: Notes) -> Stance:
    rear_share = None
    if weight and weight.rear_laden_kg is not None and weight.laden_kg:
        rear_share = weight.rear_laden_kg / weight.laden_kg
    return Stance(
        wheelbase_m=or_assumed(donor.wheelbase_m, WHEELBASE_M, "wheelbase", "1.40 m (assumed)", notes),
        cg_height_m=or_assumed(donor.cg_height_m, CG_HEIGHT_M, "height of mass", "0.60 m (assumed)", notes),
        rear_share=or_assumed(rear_share, REAR_SHARE, "rear axle share", "52 % (assumed)", notes),
    )


def range_resistance_ohm_of(pack: PackFigures, notes: Notes) -> float | None:
    if pack.resistance_ohm is not None:
        return pack.resistance_ohm
    notes.lack("cell resistance")
    if pack.nominal_v is None or not pack.capacity_ah:
        return None
    notes.assumed["pack resistance"] = "5 % of nominal voltage at the one-hour current (assumed)"
    return SAG_AT_1C * pack.nominal_v / pack.capacity_ah


def floor_v_of(setup: Setup, controller: Controller | None, pack: PackFigures) -> float:
    """Lowest loaded voltage [V]: highest of controller cut-off, BMS cut-off and the cells' own."""
    bms = setup.one(Bms)
    cell_v = bms.part.low_cell_v if bms else None
    cut_v = (controller.low_cut_v or controller.min_v) if controller else None
    return max(cut_v or 0.0, pack.empty_v or 0.0, (cell_v or 0.0) * pack.series_cells)


def cell_cont_a_of(setup: Setup, pack: PackFigures) -> float | None:
    """What cells or modules carry for good, and the BMS where it says [A]; past it their ten-second rating rules."""
    bms = setup.one(Bms)
    limits = [bms.part.cont_a] if bms else []
    units = [item.part for item in setup.all(Cell)] + [item.part for item in setup.all(Module)]
    limits.extend(
        unit.cont_a * pack.parallel * (unit.health_percent or 100.0) / 100.0
        for unit in units
        if unit.cont_a is not None
    )
    return min((limit for limit in limits if limit is not None), default=None)


def regen_of(setup: Setup, controller: Controller | None, pack: PackFigures) -> tuple[float, bool]:
    """Current given back [A] and whether also in the cold: 0 when switched off or when any limit is not known."""
    bms = setup.one(Bms)
    limits = [controller.regen_a if controller else None, pack.charge_a]
    if bms:
        limits.append(bms.part.charge_a)
    known = [limit for limit in limits if limit is not None]
    regen_a = min(known) if len(known) == len(limits) else 0.0
    coldest = [item.part.charge_low_c for item in (setup.one(Cell), setup.one(Module)) if item]
    if bms and bms.part.charge_low_c is not None:
        coldest.append(bms.part.charge_low_c)
    cold_ok = bool(coldest) and all(c is not None and setup.policies.cold_c >= c for c in coldest)
    return regen_a, cold_ok
