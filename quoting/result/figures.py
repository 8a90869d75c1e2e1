"""Engineering figures of one option. None means not computed; `missing` then names what would be needed."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Working:
    """How a figure came about, for "show the working": formula, the inputs as written, result, source."""

    figure: str
    label: str
    formula: str
    inputs: tuple[tuple[str, str], ...]
    result: str
    source: str


@dataclass(frozen=True, kw_only=True)
class SagPoint:
    """The pack under a load at one state of charge. `loaded_v` and `current_a` None: it cannot give that power."""

    soc: float
    load: str
    power_w: float
    open_v: float
    loaded_v: float | None
    current_a: float | None
    cell_a: float | None


@dataclass(frozen=True, kw_only=True)
class BayFit:
    """How the cells lie in a bay: how many fit, how they are laid, how many of the pack's go here."""

    bay: str
    capacity: int
    used: int
    layout: str


@dataclass(frozen=True, kw_only=True)
class PackFigures:
    """The pack. Voltages [V], currents [A], energy [Wh], power [W], mass [kg], resistance [ohm].

    `cells` cells or modules in all; `series_cells` cell groups in series, 0 when not known. `cont_w`, `peak_w` and
    `ceiling_w` at half charge. `cut_v` the highest voltage below which something lets go, `cut_by` whose it is.
    `heat_minutes` [min] at the motor's continuous power before 55 degC; None with `heat_steady_c` [degC] known: it
    settles below. `least_parallel` the fewest side by side that carry this drive at 20 % charge, `most_parallel` the
    most that the bays hold. `placed` pairs of line code and bay; `unplaced` says what does not go in and by how much.
    """

    series: int
    parallel: int
    cells: int
    series_cells: int
    chemistry: str | None = None
    nominal_v: float | None = None
    full_v: float | None = None
    empty_v: float | None = None
    capacity_ah: float | None = None
    energy_wh: float | None = None
    usable_wh: float | None = None
    resistance_ohm: float | None = None
    mass_kg: float | None = None
    cont_a: float | None = None
    cont_limit: str | None = None
    peak_a: float | None = None
    peak_limit: str | None = None
    charge_a: float | None = None
    charge_limit: str | None = None
    cont_w: float | None = None
    peak_w: float | None = None
    ceiling_w: float | None = None
    short_circuit_a: float | None = None
    cut_v: float | None = None
    cut_by: str | None = None
    heat_minutes: float | None = None
    heat_steady_c: float | None = None
    least_parallel: int | None = None
    most_parallel: int | None = None
    sag: tuple[SagPoint, ...] = ()
    fit: tuple[BayFit, ...] = ()
    placed: tuple[tuple[str, str], ...] = ()
    unplaced: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ProfileRange:
    """Range on one ride profile [km]; energy [Wh/km]; speeds [km/h]. The band is low..high; the customer sees the band.

    `cold_km` likely at the cold temperature, `aged_km` likely at 80 % health. `possible` False: it cannot hold the
    profile, and `limit` says what stops it.
    """

    profile: str
    label: str
    mean_kmh: float
    fastest_kmh: float
    wh_per_km: float
    low_km: float
    likely_km: float
    high_km: float
    cold_km: float
    aged_km: float
    possible: bool = True
    limit: str = ""


@dataclass(frozen=True, kw_only=True)
class BandPoint:
    """One steady speed: range band [km], battery power needed and wheel power needed and available [W]."""

    kmh: float
    low_km: float
    likely_km: float
    high_km: float
    battery_w: float
    wheel_need_w: float
    wheel_peak_w: float
    wheel_held_w: float


@dataclass(frozen=True, kw_only=True)
class RideFigures:
    """On the road. Speeds [km/h], power [W], grade [%], time [s], mass [kg], minutes [min]."""

    mass_kg: float | None = None
    profiles: tuple[ProfileRange, ...] = ()
    top_kmh: float | None = None
    top_limit: str | None = None
    held_kmh: float | None = None
    held_limit: str | None = None
    peak_minutes: float | None = None
    start_grade_percent: float | None = None
    climb_grade_percent: float | None = None
    cruise_kmh: float | None = None
    cruise_spare_percent: float | None = None  # of continuous power; below zero it heats up at that speed
    sprint_to_kmh: float | None = None
    sprint_s: float | None = None
    motor_rpm_at_top: float | None = None
    wheel_circumference_m: float | None = None
    overall_ratio: float | None = None
    wheel_torque_nm: float | None = None
    two_up_likely_km: float | None = None
    band: tuple[BandPoint, ...] = ()
    missing: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True, kw_only=True)
class ChargeCase:
    """Charging from one outlet. Power [W], time [h] empty to full and 20 to 80 %."""

    circuit: str
    label: str
    ac_w: float
    dc_a: float
    full_h: float
    most_h: float
    limited_by: str


@dataclass(frozen=True, kw_only=True)
class ChargeFigures:
    """Charging with the charger on the quote."""

    cases: tuple[ChargeCase, ...] = ()
    missing: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True, kw_only=True)
class WiringFigures:
    """Cables, fuse, pre-charge. Currents [A], voltages [V], power [W], resistance [ohm], time [s], energy [J].

    Drops and losses at the continuous current; `phase_drop_v` between two phases, rms, `phase_loss_w` of all three.
    """

    battery_ampacity_a: float | None = None
    battery_cont_a: float | None = None
    battery_drop_v: float | None = None
    battery_loss_w: float | None = None
    battery_area_mm2: float | None = None
    phase_ampacity_a: float | None = None
    phase_cont_a: float | None = None
    phase_area_mm2: float | None = None
    phase_drop_v: float | None = None
    phase_loss_w: float | None = None
    fuse_least_a: float | None = None
    fuse_standard_a: float | None = None
    short_circuit_a: float | None = None
    precharge_95_s: float | None = None
    precharge_99_s: float | None = None
    precharge_energy_j: float | None = None
    precharge_peak_w: float | None = None
    insulation_ohm: float | None = None
    contactor_step_a: float | None = None
    dcdc_load_w: float | None = None
    dcdc_output_w: float | None = None
    missing: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()


@dataclass(frozen=True, kw_only=True)
class WeightFigures:
    """Mass [kg] before and after, by axle when positions are known. `laden` with rider, and passenger when two-up."""

    before_kg: float | None = None
    removed_kg: float | None = None
    added_kg: float | None = None
    after_kg: float | None = None
    front_before_kg: float | None = None
    rear_before_kg: float | None = None
    front_after_kg: float | None = None
    rear_after_kg: float | None = None
    laden_kg: float | None = None
    front_laden_kg: float | None = None
    rear_laden_kg: float | None = None
    payload_kg: float | None = None
    added: tuple[tuple[str, float], ...] = ()
    missing: tuple[str, ...] = ()
    workings: tuple[Working, ...] = ()
