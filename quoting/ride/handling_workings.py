"""Workings of wheel, gearing, hills and sprint."""

from __future__ import annotations

from quoting.result import RideFigures, Working
from quoting.ride.bike import Bike
from quoting.ride.launch import GRIP, START_ACCEL_MS2
from quoting.show import (
    number,
    show_amps,
    show_distance,
    show_mass,
    show_percent,
    show_seconds,
    show_speed,
    show_torque,
)

Inputs = tuple[tuple[str, str], ...]

GRIP_SOURCE = "textbook; grip from memory of vehicle-dynamics textbooks"


def handling_workings(
    bike: Bike, figures: RideFigures, torque_nm: float | None, climb_kmh: float, units: str
) -> tuple[Working, ...]:
    """Workings of the figures that are known: wheel, ratio, torque, motor speed, start, climb, sprint, peak time.

    Parameters: `figures` as worked out; `torque_nm` peak torque at the motor [N m]; `climb_kmh` speed of the climb.
    """
    rows = (*_wheel_rows(bike, figures, torque_nm, units), *_hill_rows(bike, figures, climb_kmh, units))
    return tuple(
        Working(figure=figure, label=label, formula=formula, inputs=inputs, result=result, source=source)
        for figure, label, formula, inputs, result, source in rows
        if getattr(figures, figure) is not None
    )


Row = tuple[str, str, str, Inputs, str, str]


def _wheel_rows(bike: Bike, figures: RideFigures, torque_nm: float | None, units: str) -> tuple[Row, ...]:
    ratio = number(figures.overall_ratio or 0.0, 3)
    wheel = f"{number(figures.wheel_circumference_m or 0.0, 3)} m"
    return (
        (
            "wheel_circumference_m",
            "Wheel circumference",
            "π × (rim + 2 × width × aspect) × 0.971",
            (("Rear tire", bike.rear_tire or ""),),
            wheel,
            "marking; rolling factor 3.05/π from memory of European tire standards",
        ),
        (
            "overall_ratio",
            "Overall ratio",
            "internal ratio × wheel sprocket ÷ motor sprocket; internal ratio alone on a hub motor",
            (("Internal ratio", number(bike.motor.gear_ratio or 1.0, 3)),),
            ratio,
            "counted teeth",
        ),
        (
            "wheel_torque_nm",
            "Torque at the wheel, peak",
            "motor torque × ratio × final drive efficiency",
            (
                ("Motor torque, peak", show_torque(torque_nm, units)),
                ("Overall ratio", ratio),
                ("Final drive efficiency", show_percent(bike.drive.final_share)),
            ),
            show_torque(figures.wheel_torque_nm, units),
            "textbook",
        ),
        (
            "motor_rpm_at_top",
            "Motor speed at top speed",
            "road speed ÷ circumference × ratio",
            (
                ("Top speed", show_speed(figures.top_kmh, units)),
                ("Wheel circumference", wheel),
                ("Overall ratio", ratio),
            ),
            f"{number(figures.motor_rpm_at_top or 0.0)} rpm",
            "textbook",
        ),
        (
            "peak_minutes",
            "Time at peak power",
            "the motor's time at peak; ten seconds where cells or BMS carry more than their continuous current",
            (
                ("Motor time at peak", show_seconds(bike.motor.peak_s)),
                ("Cells and BMS, continuous", show_amps(bike.cell_cont_a)),
            ),
            f"{number(figures.peak_minutes or 0.0, 1)} min",
            "data sheets",
        ),
    )


def _hill_rows(bike: Bike, figures: RideFigures, climb_kmh: float, units: str) -> tuple[Row, ...]:
    stance, assumed = bike.stance, bike.notes.assumed
    mass = ("Mass with rider", show_mass(bike.mass_kg, units))
    shared: Inputs = (
        mass,
        ("Grip", f"{GRIP:g}, dry pavement (assumed)"),
        ("Wheelbase", assumed.get("wheelbase", f"{number(stance.wheelbase_m, 3)} m")),
        ("Height of mass", assumed.get("height of mass", f"{number(stance.cg_height_m, 3)} m")),
        ("Rear axle share", assumed.get("rear axle share", show_percent(stance.rear_share))),
    )
    return (
        (
            "start_grade_percent",
            "Steepest start",
            f"least of peak torque, grip and front wheel = m·g·(sinθ + Crr·cosθ) + m·1.04·{START_ACCEL_MS2:g} m/s²",
            shared,
            f"{number(figures.start_grade_percent or 0.0, 1)} %",
            GRIP_SOURCE,
        ),
        (
            "climb_grade_percent",
            "Climb at continuous power",
            "m·g·sinθ = held force − level road load",
            (mass,),
            f"{number(figures.climb_grade_percent or 0.0, 1)} % at {show_speed(climb_kmh, units)}",
            "textbook",
        ),
        (
            "cruise_spare_percent",
            f"Heat headroom at {show_speed(figures.cruise_kmh, units)}",
            "1 − level road load ÷ force held for hours, both at that speed; below zero it heats up",
            (mass, ("Held speed", show_speed(figures.held_kmh, units))),
            f"{number(figures.cruise_spare_percent or 0.0)} % of continuous power",
            "textbook; continuous ratings from data sheets",
        ),
        (
            "sprint_s",
            f"0 to {show_speed(figures.sprint_to_kmh, units)}",
            "∫ m·1.04·dv ÷ (force at the tire − road load), half charge, within grip and front wheel",
            shared,
            show_seconds(figures.sprint_s),
            GRIP_SOURCE,
        ),
        (
            "two_up_likely_km",
            "Range with a passenger, back road",
            "as the back road range, with the passenger's mass; drag area unchanged",
            (mass, ("Passenger added", show_mass(bike.passenger_kg, units))),
            show_distance(figures.two_up_likely_km, units),
            "as the back road range",
        ),
    )
