"""What turns the wheel: motors, controllers, final drives, throttles, displays."""

from __future__ import annotations

from dataclasses import dataclass

from quoting.parts.fields import Part, spec
from quoting.parts.words import BUSES, COOLING, INTERLOCKS, MOUNTS, ROTOR_SENSORS, SIDES, THROTTLE_SIGNALS

GRID_HELP = (
    "Motor alone, at its own shaft; goes before best efficiency and losses. Rows: torques in N m, then a speed in rpm "
    "and its efficiency at each torque, such as 0.85 or 85%."
)


@dataclass(frozen=True, kw_only=True)
class Motor(Part):
    """Hub or mid motor. Power is at the shaft."""

    mount: str | None = spec("Mount", choices=MOUNTS, help="hub sits in the wheel, mid drives a chain or belt.")
    nominal_v: float | None = spec("Nominal voltage", "V", low=12, high=800, help="As the maker names the class.")
    max_v: float | None = spec("Highest voltage", "V", low=12, high=1000, help="Winding and bearing limit.")
    cont_kw: float | None = spec(
        "Continuous power", "kW", low=0.1, high=200, help="At the shaft, for good, cooled as fitted."
    )
    peak_kw: float | None = spec("Peak power", "kW", low=0.1, high=400, help="At the shaft, for the time at peak.")
    peak_s: float | None = spec("Time at peak", "s", low=1, high=1800, help="From warm, before it must back off.")
    kv_rpm_per_v: float | None = spec("Speed constant", "rpm/V", low=0.5, high=1000, help="No load, per pack volt.")
    torque_nm_per_a: float | None = spec("Torque constant", "N m/A", low=0.005, high=20, help="Per phase amp, rms.")
    peak_torque_nm: float | None = spec("Peak torque", "N m", low=1, high=3000, help="At the motor's own shaft.")
    max_rpm: float | None = spec(
        "Highest speed", "rpm", low=100, high=20000, help="Mechanical limit of the motor's shaft."
    )
    phase_cont_a: float | None = spec("Phase current, continuous", "A", low=1, high=2000, help="Rms, in each lead.")
    phase_peak_a: float | None = spec("Phase current, peak", "A", low=1, high=3000, help="Rms, for the time at peak.")
    demag_phase_a: float | None = spec(
        "Demagnetising phase current", "A", low=1, high=6000, help="Magnets weaken for good above it."
    )
    peak_efficiency: float | None = spec("Best efficiency", low=0.4, high=0.99, help="Motor alone, as a fraction.")
    copper_loss_w: float | None = spec(
        "Copper loss at continuous power", "W", low=0, high=40000, help="In the windings, warm."
    )
    no_load_loss_w: float | None = spec(
        "No-load loss at top speed", "W", low=0, high=10000, help="Iron, bearings and air."
    )
    efficiency_grid: str | None = spec("Efficiency grid", grid=True, help=GRID_HELP)
    rotor_sensor: str | None = spec(
        "Rotor sensor", choices=ROTOR_SENSORS, help="What tells the controller where the rotor is."
    )
    cooling: str | None = spec(
        "Cooling", choices=COOLING, help="air: the wind alone; forced-air takes a fan, liquid a pump and radiator."
    )
    gear_ratio: float | None = spec("Internal ratio", low=0.5, high=30, help="Motor turns per output turn; 1 for none.")
    phase_lead_mm2: float | None = spec(
        "Phase lead section", "mm2", low=0.3, high=200, help="The motor's own leads; 10 AWG may be typed."
    )
    dropout_mm: float | None = spec("Dropout width needed", "mm", low=80, high=320, help="Hub motors.")
    axle_mm: float | None = spec("Axle diameter", "mm", low=8, high=40, help="Hub motors.")
    axle_flats_mm: float | None = spec("Axle across flats", "mm", low=6, high=40, help="Hub motors.")
    brake_side: str | None = spec("Brake side", choices=SIDES, help="Hub motors.")
    wheel_inch: float | None = spec("Rim size", "inch", low=8, high=23, help="Hub motors.")
    chain_pitch: str | None = spec("Chain pitch", help="Mid motors: 428, 520, 525, 530.")
    sprocket_low: int | None = spec("Smallest sprocket", "teeth", low=8, high=40, help="Mid motors.")
    sprocket_high: int | None = spec("Largest sprocket", "teeth", low=8, high=60, help="Mid motors.")


@dataclass(frozen=True, kw_only=True)
class Controller(Part):
    """Turns pack current into phase current."""

    min_v: float | None = spec("Lowest voltage", "V", low=5, high=800, help="It stops working below.")
    max_v: float | None = spec("Highest voltage", "V", low=10, high=1000, help="Absolute, never the name's number.")
    low_cut_v: float | None = spec("Low-voltage cut-off", "V", low=5, high=800, help="As set for this pack.")
    battery_cont_a: float | None = spec(
        "Battery current, continuous", "A", low=1, high=2000, help="Drawn from the pack, for good, as set."
    )
    battery_peak_a: float | None = spec(
        "Battery current, peak", "A", low=1, high=3000, help="Drawn from the pack, for seconds, as set."
    )
    phase_cont_a: float | None = spec(
        "Phase current, continuous", "A", low=1, high=2000, help="Rms, into the motor, for good."
    )
    phase_peak_a: float | None = spec(
        "Phase current, peak", "A", low=1, high=3000, help="Rms, into the motor, for seconds, as set."
    )
    regen_a: float | None = spec("Regeneration current", "A", low=0, high=1000, help="0 when switched off.")
    efficiency: float | None = spec("Efficiency", low=0.7, high=1, help="As a fraction.")
    modulation: float | None = spec("Voltage use", low=0.5, high=1.2, help="Share of pack voltage the motor sees.")
    capacitance_uf: float | None = spec(
        "Input capacitance", "uF", low=10, high=100000, help="Capacitors the pre-charge fills."
    )
    throttles: tuple[str, ...] | None = spec("Throttle signals", choices=THROTTLE_SIGNALS, help="Kinds it can read.")
    rotor_sensors: tuple[str, ...] | None = spec("Rotor sensors", choices=ROTOR_SENSORS, help="Kinds it can read.")
    bus: str | None = spec("Data bus", choices=BUSES, help="none where it has no bus.")
    bus_kbaud: float | None = spec("Bus speed", "kbaud", low=1, high=2000, help="As set.")
    interlocks: tuple[str, ...] | None = spec(
        "Interlock inputs", choices=INTERLOCKS, help="Switches it has an input for."
    )
    tested_motors: tuple[str, ...] | None = spec("Run with motors", help="Codes of motors it has been run with here.")
    throttle_isolated: bool | None = spec("Throttle isolated", help="Throttle ground kept apart from pack negative.")


@dataclass(frozen=True, kw_only=True)
class FinalDrive(Part):
    """Sprockets and chain, or belt, from a mid motor to the wheel."""

    motor_teeth: int | None = spec("Motor sprocket", "teeth", low=8, high=60, help="Teeth at the motor.")
    wheel_teeth: int | None = spec(
        "Wheel sprocket", "teeth", low=15, high=120, help="Teeth at the wheel. Empty: the donor's stays."
    )
    chain_pitch: str | None = spec("Chain pitch", help="428, 520, 525, 530.")
    efficiency: float | None = spec("Efficiency", low=0.8, high=1, help="As a fraction.")


@dataclass(frozen=True, kw_only=True)
class Throttle(Part):
    """What the right hand turns."""

    signal: str | None = spec(
        "Signal", choices=THROTTLE_SIGNALS, help="Hall gives volts, pot is a resistor, bus talks."
    )
    low_v: float | None = spec("Signal, closed", "V", low=0, high=12, help="Let go, at a 5 V supply.")
    high_v: float | None = spec("Signal, open", "V", low=0, high=12, help="Turned all the way, at a 5 V supply.")
    resistance_kohm: float | None = spec("Resistance", "kohm", low=0.1, high=100, help="Potentiometers.")
    has_cutoff: bool | None = spec("Closes by itself", help="Return spring and over-range fault.")


@dataclass(frozen=True, kw_only=True)
class Display(Part):
    """Speed, charge, warnings."""

    bus: str | None = spec("Data bus", choices=BUSES, help="none where it has no bus.")
    bus_kbaud: float | None = spec("Bus speed", "kbaud", low=1, high=2000, help="As set.")
    supply_low_v: float | None = spec(
        "Lowest supply", "V", low=3, high=200, help="Its own supply, from the data sheet."
    )
    supply_high_v: float | None = spec(
        "Highest supply", "V", low=3, high=200, help="Its own supply, from the data sheet."
    )
    load_w: float | None = spec("Load", "W", low=0, high=100, help="Counts against the DC-DC converter.")
