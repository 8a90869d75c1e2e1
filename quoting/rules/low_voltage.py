"""The low-voltage side: DC-DC converter, lamps, display, and keeping the pack apart from the frame."""

from __future__ import annotations

from quoting.parts import Lamp
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.setup import Fitted
from quoting.show import show_ohms, show_volts, show_watts
from quoting.wiring import CLASS_B_ABOVE_V, DC_OHM_PER_V, DCDC_ROOM, JOINED_OHM_PER_V, LOADS, is_class_b

# A 12 V system runs at 12 to 14.5 V: 0.95 to 1.25 of nominal; common practice, no source.
LAMP_LOW, LAMP_HIGH = 0.95, 1.25


@rule(
    "lamp-voltage",
    "low voltage",
    title="Lamp or load does not suit the supply",
    levels=("stop", "check"),
    reads=("lamp.supply_v", "dcdc.output_v"),
    each="lamp",
    source="0.95 to 1.25 × nominal; common practice, no source; public practitioner report, case B37",
)
def lamp_voltage(facts: Facts, item: Fitted[Lamp], supply_v: float, output_v: float) -> Says:
    """Every lamp and load suits the DC-DC converter's output."""
    seen = f"{item.line.name} is for {show_volts(supply_v)}; the DC-DC converter gives {show_volts(output_v)}."
    if above(output_v, LAMP_HIGH * supply_v):
        return at_most(
            "stop", f"{seen} It burns out.", output_v, LAMP_HIGH * supply_v, "V", exchange("lamp"), exchange("dcdc")
        )
    if below(output_v, LAMP_LOW * supply_v):
        return at_least(
            "check", f"{seen} It stays dim.", output_v, LAMP_LOW * supply_v, "V", exchange("lamp"), exchange("dcdc")
        )
    return None


@rule(
    "donor-system-voltage",
    "low voltage",
    title="Donor's lamps are for another voltage",
    levels=("check",),
    reads=("donor.system_v", "dcdc.output_v"),
    source="public practitioner report, case B37: 6 V parts on 12 V",
)
def donor_system_voltage(facts: Facts, system_v: float, output_v: float) -> Says:
    """The DC-DC converter's output suits the electrical system the donor came with."""
    if not above(output_v, LAMP_HIGH * system_v) and not below(output_v, LAMP_LOW * system_v):
        return None
    text = (
        f"The donor's electrics are {show_volts(system_v)}; the DC-DC converter gives {show_volts(output_v)}. "
        "Lamps, horn and "
        "flasher relay that stay on the bike do not work on it."
    )
    return plainly("check", text, act("Replace every lamp, the horn and the flasher relay, and add them as lines"))


@rule(
    "dcdc-overloaded",
    "low voltage",
    title="DC-DC converter too small for the loads",
    levels=("stop", "check"),
    reads=("dcdc.output_v", "dcdc.output_a", "policies.auxiliary_w"),
    about=("lamp", "display", "contactor"),
    may_read=("contactor.coil_w", "display.load_w", "lamp.load_w"),
    source="sum of lamps, display and coil, at least the shop's setting for loads, within 80 %; shop setting",
)
def dcdc_overloaded(facts: Facts, output_v: float, output_a: float, auxiliary_w: float) -> Says:
    """Lamps, display and contactor coil together stay within 80 % of the DC-DC converter's output."""
    load_w = 0.0
    for kind, field, _ in LOADS:
        for item in facts.of(kind):
            one_w: float | None = getattr(item.part, field)
            if one_w is None:
                return Lacks(kind, field, item)
            load_w += one_w * float(item.line.quantity)
    load_w = max(load_w, auxiliary_w)
    given_w = output_v * output_a
    limit_w = DCDC_ROOM * given_w
    if not above(load_w, limit_w):
        return None
    level = "stop" if above(load_w, given_w) else "check"
    text = (
        f"Lamps and loads draw {show_watts(load_w)}; the converter gives {show_watts(given_w)}, "
        f"{show_watts(limit_w)} for good."
    )
    return at_most(level, text, load_w, limit_w, "W", exchange("dcdc"), act("Fit LED lamps"))


@rule(
    "motor-cooling-missing",
    "low voltage",
    title="Nothing moves the heat out of the motor",
    levels=("check",),
    reads=("motor.cooling",),
    about=("lamp",),
    may_read=("lamp.cools",),
    source="continuous power holds with the motor cooled as its maker says; common practice, no source",
)
def motor_cooling_missing(facts: Facts, cooling: str) -> Says:
    """A motor cooled by a fan or by liquid has its fan, or its pump and radiator, on the quote."""
    if cooling == "air" or any(lamp.part.cools == cooling for lamp in facts.setup.all(Lamp)):
        return None
    missing = "fan" if cooling == "forced-air" else "pump with radiator"
    text = (
        f"The motor is cooled by {cooling.replace('-', ' ')}, and no {missing} is on the quote. Without it the motor "
        "does not hold its continuous power."
    )
    return plainly("check", text, exchange("lamp"), act(f"Say that the {missing} comes with the motor"))


@rule(
    "display-supply",
    "low voltage",
    title="Nothing on the bike suits the display's supply",
    levels=("stop",),
    reads=("display.supply_low_v", "display.supply_high_v", "dcdc.output_v", "pack.empty_v", "pack.full_v"),
    source="the maker's supply range",
)
def display_supply(facts: Facts, low_v: float, high_v: float, output_v: float, empty_v: float, full_v: float) -> Says:
    """The display runs on the DC-DC converter, or on the pack from empty to full."""
    on_dcdc = not below(output_v, low_v) and not above(output_v, high_v)
    on_pack = not below(empty_v, low_v) and not above(full_v, high_v)
    if on_dcdc or on_pack:
        return None
    text = (
        f"It wants {show_volts(low_v)} to {show_volts(high_v)}. The DC-DC converter gives "
        f"{show_volts(output_v)}, the pack "
        f"{show_volts(empty_v)} to {show_volts(full_v)}."
    )
    return plainly("stop", text, exchange("display"), exchange("dcdc"))


@rule(
    "dcdc-not-isolated",
    "low voltage",
    title="Pack negative is tied to the frame",
    levels=("stop", "check"),
    reads=("dcdc.isolated", "pack.full_v"),
    source="UN R100 5.1.3 isolation from the frame above 60 V DC; public practitioner report, case B51",
)
def dcdc_not_isolated(facts: Facts, isolated: bool, full_v: float) -> Says:
    """The DC-DC converter keeps pack negative and frame apart."""
    if isolated:
        return None
    high = is_class_b(full_v)
    text = "A converter that is not isolated joins pack negative to the frame through the lamp circuit. " + (
        f"At {show_volts(full_v)} one more fault makes the frame live."
        if high
        else "Any second leak then carries current through the frame."
    )
    return plainly("stop" if high else "check", text, exchange("dcdc"), act("Test both poles to the frame at handover"))


@rule(
    "throttle-not-isolated",
    "low voltage",
    title="Throttle ground is pack negative",
    levels=("check",),
    reads=("controller.throttle_isolated",),
    when=("cell",),
    source="public practitioner report, case B51",
)
def throttle_not_isolated(facts: Facts, isolated: bool) -> Says:
    """The controller keeps its throttle ground apart from pack negative."""
    if isolated:
        return None
    text = (
        "The controller's throttle ground is pack negative. If any throttle or switch wire touches the frame "
        "or the 12 V "
        "ground, the frame is joined to the pack."
    )
    wiring = act("Run throttle and switches on their own wires, none to the frame, and test both poles to the frame")
    return plainly("check", text, wiring, exchange("controller"))


@rule(
    "voltage-class-b",
    "low voltage",
    title="Pack is above 60 V DC",
    levels=("note",),
    reads=("pack.full_v",),
    source="ISO 6469-3 and UN R100: class B above 60 V DC; 100 ohm/V DC, 500 ohm/V where DC and AC are joined; public "
    "practitioner report, case B52",
)
def voltage_class_b(facts: Facts, full_v: float) -> Says:
    """Above 60 V DC when full the pack is voltage class B: orange covering, isolation measured and written down."""
    if not is_class_b(full_v):
        return None
    least_ohm, dc_ohm = full_v * JOINED_OHM_PER_V, full_v * DC_OHM_PER_V
    text = (
        f"{show_volts(full_v)} when full can kill. Orange covering, no live part open without tools, qualified "
        "people only. "
        f"Insulation to the frame at least {show_ohms(least_ohm)} with the drive connected ({show_ohms(dc_ohm)} "
        "for the pack "
        "alone), measured before first power-up and at handover."
    )
    return at_most("note", text, full_v, CLASS_B_ABOVE_V, "V")
