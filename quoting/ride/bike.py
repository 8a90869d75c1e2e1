"""A setup as the numbers the road asks for. Says what is assumed and what is missing."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.pack import pack_open_v
from quoting.parts import Controller, Motor
from quoting.result import PackFigures, WeightFigures
from quoting.ride.efficiency import DriveLine
from quoting.ride.launch import Stance
from quoting.ride.reading import (
    CDA_M2,
    CRR,
    Notes,
    cell_cont_a_of,
    drive_of,
    floor_v_of,
    modulation_of,
    or_assumed,
    overall_ratio,
    range_resistance_ohm_of,
    rear_tire_marking,
    regen_of,
    speed_constant_rpm_per_v,
    stance_of,
    summed_controller,
    summed_motor,
    wheel_circumference_m,
)
from quoting.setup import Setup

LOW_SOC = 0.2  # top and held speed must still be there with a fifth of the charge left: our own rule
HALF_SOC = 0.5  # the sprint is run at half charge: our own rule


@dataclass(frozen=True)
class Bike:
    """One setup on the road. None is not known; `inf` never stands for it.

    `resistance_ohm` of the pack as known, `range_resistance_ohm` with the assumption where it is not. `regen_a` current
    given back [A], 0 when off or not known; `regen_cold` whether it may be given back at the cold temperature.
    `cell_cont_a` what cells and BMS carry for good [A]. `open_v` rested voltage in the middle of the usable charge,
    `low_open_v` at 20 %, `half_open_v` at 50 % [V].
    """

    mass_kg: float | None
    passenger_kg: float
    cda_m2: float
    crr: float
    stance: Stance
    rear_tire: str | None
    circumference_m: float | None
    ratio: float | None
    drive: DriveLine
    motor: Motor
    controller: Controller | None
    kv_rpm_per_v: float | None
    modulation: float
    pack: PackFigures
    auxiliary_w: float
    open_v: float | None
    low_open_v: float | None
    half_open_v: float | None
    resistance_ohm: float | None
    range_resistance_ohm: float | None
    floor_v: float
    cell_cont_a: float | None
    regen_a: float
    regen_cold: bool
    notes: Notes


def bike_of(setup: Setup, pack: PackFigures | None, weight: WeightFigures | None) -> Bike | None:
    """Read a setup. None when it has no donor, no motor or no pack."""
    fitted = setup.one(Motor)
    if fitted is None or pack is None or setup.donor is None:
        return None
    notes = Notes()
    motor, controller = summed_motor(fitted), summed_controller(setup)
    if controller is None:
        notes.lack("controller")
    marking = rear_tire_marking(setup, setup.donor)
    wheel_m, ratio = wheel_circumference_m(marking, notes), overall_ratio(setup, motor, notes)
    mid_soc = 1.0 - 0.5 * setup.policies.usable_share
    regen_a, regen_cold = regen_of(setup, controller, pack)
    mass_kg = weight.laden_kg if weight else None
    if mass_kg is None:
        notes.lack("mass with rider")
    return Bike(
        mass_kg=mass_kg,
        passenger_kg=0.0 if setup.wishes.two_up else setup.policies.passenger_kg,
        cda_m2=or_assumed(
            setup.donor.cda_m2, CDA_M2, "drag area", "0.60 m² (assumed: upright rider, no fairing)", notes
        ),
        crr=or_assumed(setup.donor.crr, CRR, "rolling coefficient", "0.015 (assumed: road tires)", notes),
        stance=stance_of(setup.donor, weight, notes),
        rear_tire=marking,
        circumference_m=wheel_m,
        ratio=ratio,
        drive=drive_of(setup, motor, controller, ratio, wheel_m, notes),
        motor=motor,
        controller=controller,
        kv_rpm_per_v=speed_constant_rpm_per_v(motor, notes),
        modulation=modulation_of(controller, notes),
        pack=pack,
        auxiliary_w=setup.policies.auxiliary_w,
        open_v=pack_open_v(pack, mid_soc),
        low_open_v=pack_open_v(pack, LOW_SOC),
        half_open_v=pack_open_v(pack, HALF_SOC),
        resistance_ohm=pack.resistance_ohm,
        range_resistance_ohm=range_resistance_ohm_of(pack, notes),
        floor_v=floor_v_of(setup, controller, pack),
        cell_cont_a=cell_cont_a_of(setup, pack),
        regen_a=regen_a,
        regen_cold=regen_cold,
        notes=notes,
    )
