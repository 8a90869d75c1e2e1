"""How the ride figures came about, for "show the working"."""

from __future__ import annotations

from quoting.request import Policies
from quoting.result import ProfileRange, Working
from quoting.ride.bike import Bike
from quoting.ride.cold import AGED_HEALTH, AGED_RESISTANCE, COLD_SOURCE, LEAD_HOUR_SHARE
from quoting.ride.efficiency import REGEN_SHARE, DriveLine
from quoting.ride.force import PowerLimits
from quoting.ride.launch import GRIP, START_ACCEL_MS2
from quoting.ride.ranges import CDA_BAND, CRR_BAND, RidingCases
from quoting.ride.speed import SpeedLimit
from quoting.show import (
    number,
    show_amps,
    show_distance,
    show_energy,
    show_mass,
    show_ohms,
    show_percent,
    show_power,
    show_seconds,
    show_speed,
    show_temperature,
    show_torque,
    show_use,
    show_volts,
    show_watts,
)

Inputs = tuple[tuple[str, str], ...]

ROAD_SOURCE = "textbook road load, checked against 40 CFR 86.529-98; profile: our own, stated in the manual"
RANGE_FORMULA = (
    "usable energy ÷ energy per distance; each second (½·ρ·CdA·v² + Crr·m·g·cosθ + m·g·sinθ + m·1.04·a)·v "
    "÷ drive efficiency + auxiliaries, then the pack's own I²·R"
)
SPEED_FORMULA = "highest v where the force at the tire still meets ½·ρ·CdA·v² + Crr·m·g"


def road_inputs(bike: Bike, cases: RidingCases, policies: Policies, units: str) -> Inputs:
    """What every ride figure rests on, assumptions marked."""
    assumed, drive = bike.notes.assumed, bike.drive
    return (
        ("Mass with rider", show_mass(bike.mass_kg, units)),
        ("Drag area", assumed.get("drag area", f"{number(bike.cda_m2, 2)} m²")),
        ("Rolling coefficient", assumed.get("rolling coefficient", number(bike.crr, 4))),
        ("Air density", f"{number(2.0 * cases.likely.road.drag_kg_m / bike.cda_m2, 3)} kg/m³ at "
         f"{show_temperature(policies.warm_c, units)}"),
        ("Controller efficiency", assumed.get("controller efficiency", show_percent(drive.controller_share))),
        ("Final drive efficiency", assumed.get("final drive efficiency", show_percent(drive.final_share))),
        ("Motor", assumed.get("motor efficiency", _motor_words(drive))),
        ("Pack resistance", assumed.get("pack resistance", show_ohms(bike.range_resistance_ohm))),
    )  # fmt: skip


def _motor_words(drive: DriveLine) -> str:
    if drive.motor_share < 1.0:
        return f"{show_percent(drive.motor_share)} at every load"
    return "copper and no-load losses"


def range_workings(
    ranges: tuple[ProfileRange, ...], bike: Bike, cases: RidingCases, policies: Policies, units: str, shared: Inputs
) -> tuple[Working, ...]:
    """One working per profile."""
    energy = show_energy(cases.likely.usable_wh)
    if bike.pack.chemistry == "lead":
        energy += f" ({LEAD_HOUR_SHARE:.0%} of the 20-hour capacity, Peukert from memory)"
    back = f"at most {show_watts(cases.likely.regen_w)}, {REGEN_SHARE:.0%} of the slowing (assumed)"
    extra: Inputs = (
        ("Auxiliaries", show_watts(bike.auxiliary_w)),
        ("Regeneration", back if cases.likely.regen_w else "none"),
        ("Band", f"drag area ±{CDA_BAND:.0%}, rolling ±{CRR_BAND:.0%}"),
    )
    cold = f"{show_temperature(policies.cold_c, units)}: {COLD_SOURCE}"
    aged = f"{AGED_HEALTH:.0%} of the capacity, {AGED_RESISTANCE:g} times the resistance"
    return tuple(
        Working(
            figure=f"profiles.{item.profile}",
            label=f"Range, {item.label.lower()}",
            formula=RANGE_FORMULA,
            inputs=(
                ("Usable energy", energy),
                ("Energy per distance", show_use(item.wh_per_km, units)),
                (
                    "Mean and fastest speed",
                    f"{show_speed(item.mean_kmh, units)}, {show_speed(item.fastest_kmh, units)}",
                ),
                *shared,
                *extra,
                ("Cold", f"{show_distance(item.cold_km, units)} at {cold}"),
                ("Aged", f"{show_distance(item.aged_km, units)} at {aged}"),
            ),
            result=f"{show_distance(item.low_km, units)} to {show_distance(item.high_km, units)}, "
            f"likely {show_distance(item.likely_km, units)}",
            source=ROAD_SOURCE,
        )
        for item in ranges
    )


def speed_working(
    figure: str, label: str, found: SpeedLimit, limits: PowerLimits, units: str, shared: Inputs
) -> Working:
    """Top or held speed: the limits it was found under and which one binds."""
    return Working(
        figure=figure,
        label=label,
        formula=SPEED_FORMULA,
        inputs=(
            ("Charge", "20 %"),
            ("Pack at rest", show_volts(limits.open_v)),
            ("Battery current", f"{show_amps(limits.current_a)} ({limits.words[2]})"),
            ("Battery power", show_watts(limits.battery_w)),
            ("Motor power", show_power(limits.shaft_w, units)),
            *shared,
        ),
        result=f"{show_speed(found.kmh, units)}, set by: {found.words}",
        source="textbook force balance",
    )


def wheel_workings(bike: Bike, torque_nm: float | None, units: str) -> tuple[Working, ...]:
    """Circumference, ratio and wheel torque, those that are known."""
    found = []
    if bike.circumference_m is not None:
        found.append(
            Working(
                figure="wheel_circumference_m",
                label="Wheel circumference",
                formula="π × (rim + 2 × width × aspect) × 0.971",
                inputs=(("Rear tire", "as marked"),),
                result=f"{number(bike.circumference_m, 3)} m",
                source="marking; rolling factor 3.05/π from memory of European tire standards",
            )
        )
    if bike.ratio is not None and torque_nm is not None:
        found.append(
            Working(
                figure="wheel_torque_nm",
                label="Torque at the wheel, peak",
                formula="motor torque × ratio × final drive efficiency",
                inputs=(
                    ("Motor torque, peak", show_torque(torque_nm, units)),
                    ("Overall ratio", number(bike.ratio, 3)),
                    ("Final drive efficiency", show_percent(bike.drive.final_share)),
                ),
                result=show_torque(torque_nm * bike.ratio * bike.drive.final_share, units),
                source="textbook",
            )
        )
    return tuple(found)


def launch_workings(
    bike: Bike, start: float | None, climb: float | None, sprint: float | None, to_kmh: float, units: str
) -> tuple[Working, ...]:
    """Start on a hill, climb at continuous power, sprint: those that are known."""
    stance, assumed = bike.stance, bike.notes.assumed
    shared: Inputs = (
        ("Mass with rider", show_mass(bike.mass_kg, units)),
        ("Grip", f"{GRIP:g}, dry pavement (assumed)"),
        ("Wheelbase", assumed.get("wheelbase", f"{number(stance.wheelbase_m, 3)} m")),
        ("Height of mass", assumed.get("height of mass", f"{number(stance.cg_height_m, 3)} m")),
        ("Rear axle share", assumed.get("rear axle share", show_percent(stance.rear_share))),
    )
    source = "textbook; grip from memory of vehicle-dynamics textbooks"
    rows = (
        (
            "start_grade_percent",
            "Steepest start",
            f"least of peak torque, grip and front wheel = m·g·(sinθ + Crr·cosθ) + m·1.04·{START_ACCEL_MS2:g} m/s²",
            None if start is None else f"{number(start, 1)} %",
            shared,
        ),
        (
            "climb_grade_percent",
            "Climb at continuous power",
            "m·g·sinθ = held force − level road load",
            None if climb is None else f"{number(climb, 1)} % at {show_speed(30 * 1.609344, units)}",
            shared[:1],
        ),
        (
            "sprint_s",
            f"0 to {show_speed(to_kmh, units)}",
            "∫ m·1.04·dv ÷ (force at the tire − road load), half charge, within grip and front wheel",
            None if sprint is None else show_seconds(sprint),
            shared,
        ),
    )
    return tuple(
        Working(figure=figure, label=label, formula=formula, inputs=inputs, result=result, source=source)
        for figure, label, formula, result, inputs in rows
        if result is not None
    )
