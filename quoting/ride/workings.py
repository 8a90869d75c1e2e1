"""How the ride figures came about, for "show the working"."""

from __future__ import annotations

from quoting.request import Policies
from quoting.result import ProfileRange, Working
from quoting.ride.bike import Bike
from quoting.ride.cold import AGED_HEALTH, AGED_RESISTANCE, COLD_SOURCE, LEAD_HOUR_SHARE
from quoting.ride.efficiency import REGEN_SHARE
from quoting.ride.force import PowerLimits
from quoting.ride.grid_words import motor_words, share_words
from quoting.ride.ranges import CDA_BAND, CRR_BAND, RidingCases
from quoting.ride.road_load import air_density_kg_m3
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
    show_speed,
    show_temperature,
    show_use,
    show_volts,
    show_watts,
)

Inputs = tuple[tuple[str, str], ...]

ROAD_SOURCE = "textbook road load, checked against 40 CFR 86.529-98; the profile is our own"
RANGE_FORMULA = (
    "usable energy ÷ energy per distance; each second (½·ρ·CdA·v² + Crr·m·g·cosθ + m·g·sinθ + m·1.04·a)·v "
    "÷ drive efficiency + auxiliaries, then the pack's own I²·R"
)
SPEED_FORMULA = "highest v where the force at the tire still meets ½·ρ·CdA·v² + Crr·m·g"


def road_inputs(bike: Bike, policies: Policies, units: str) -> Inputs:
    """What every ride figure rests on, assumptions marked."""
    assumed, drive = bike.notes.assumed, bike.drive
    return (
        ("Mass with rider", show_mass(bike.mass_kg, units)),
        ("Drag area", assumed.get("drag area", f"{number(bike.cda_m2, 2)} m²")),
        ("Rolling coefficient", assumed.get("rolling coefficient", number(bike.crr, 4))),
        ("Air density", f"{number(air_density_kg_m3(policies.warm_c), 3)} kg/m³ at "
         f"{show_temperature(policies.warm_c, units)}"),
        ("Controller efficiency", assumed.get("controller efficiency", show_percent(drive.controller_share))),
        ("Final drive efficiency", assumed.get("final drive efficiency", show_percent(drive.final_share))),
        ("Motor", assumed.get("motor efficiency", motor_words(bike, units))),
        ("Pack resistance", assumed.get("pack resistance", show_ohms(bike.range_resistance_ohm))),
    )  # fmt: skip


def range_workings(
    ranges: tuple[ProfileRange, ...],
    bike: Bike,
    cases: RidingCases,
    policies: Policies,
    units: str,
    shared: Inputs,
    outside: tuple[str, ...] = (),
) -> tuple[Working, ...]:
    """One working per profile; `outside` says for each how much of it lies past the motor's grid."""
    energy = show_energy(cases.likely.usable_wh)
    if bike.pack.chemistry == "lead":
        energy += f" ({show_percent(LEAD_HOUR_SHARE)} of the 20-hour capacity, Peukert from memory)"
    back = f"at most {show_watts(cases.likely.regen_w)}, {show_percent(REGEN_SHARE)} of the slowing (assumed)"
    extra: Inputs = (
        ("Auxiliaries", show_watts(bike.auxiliary_w)),
        ("Regeneration", back if cases.likely.regen_w else "none"),
        ("Band", f"drag area ±{show_percent(CDA_BAND)}, rolling ±{show_percent(CRR_BAND)}"),
    )
    cold = f"{show_temperature(policies.cold_c, units)}: {COLD_SOURCE}"
    aged = f"{show_percent(AGED_HEALTH)} of the capacity, {AGED_RESISTANCE:g} times the resistance"
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
                *((("Outside the motor's grid", outside[at]),) if outside else ()),
                *extra,
                ("Cold", f"{show_distance(item.cold_km, units)} at {cold}"),
                ("Aged", f"{show_distance(item.aged_km, units)} at {aged}"),
            ),
            result=f"{show_distance(item.low_km, units)} to {show_distance(item.high_km, units)}, "
            f"likely {show_distance(item.likely_km, units)}",
            source=ROAD_SOURCE,
        )
        for at, item in enumerate(ranges)
    )


def speed_working(
    figure: str, label: str, found: SpeedLimit, limits: PowerLimits, bike: Bike, units: str, shared: Inputs
) -> Working:
    """Top or held speed: the limits it was found under and which one binds."""
    assumed = bike.notes.assumed
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
            ("Speed constant", assumed.get("speed constant", f"{number(bike.kv_rpm_per_v or 0.0, 1)} rpm/V")),
            ("Voltage use", assumed.get("voltage use", show_percent(bike.modulation))),
            *shared,
            *share_words(bike, found, units),
        ),
        result=f"{show_speed(found.kmh, units)}, set by: {found.words}",
        source="textbook force balance",
    )
