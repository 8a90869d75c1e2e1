"""Hub motors in the frame: width, axle, brake side, rim, and what holds the axle against the torque."""

from __future__ import annotations

from quoting.errors import SpecError
from quoting.parts import Adapter, Brake, Controller, Motor, Part, Tire
from quoting.ride.tires import tire_size
from quoting.rules.facts import Facts
from quoting.rules.registry import rule
from quoting.rules.said import Lacks, Says, above, at_least, at_most, below, plainly
from quoting.rules.ways_out import act, exchange
from quoting.setup import Fitted
from quoting.show import show_length, show_torque

# A steel frame's dropouts may be drawn this far together or apart by hand; common practice, no source.
WIDTH_PLAY_MM = 1.0
SLOT_PLAY_MM = 0.5  # more play lets the axle rock and wear its flats; common practice, no source
TORQUE_ARMS = "public practitioner report, case B22: arms by torque, both sides when regeneration is on"
RIM_PLAY_INCH = 0.01


def is_hub(facts: Facts, item: Fitted[Part] | None) -> bool:
    """Where the motor on the option is a hub motor."""
    motor = facts.setup.one(Motor)
    return motor is not None and motor.part.mount == "hub"


def axle_adapters(facts: Facts) -> tuple[Fitted[Adapter], ...]:
    """Torque arms and other adapters for the axle."""
    return tuple(adapter for adapter in facts.setup.all(Adapter) if adapter.part.purpose == "axle")


@rule(
    "hub-motor-with-chain",
    "hub motor",
    title="Hub motor and a chain drive on one quote",
    levels=("stop",),
    reads=("motor.mount",),
    about=("final_drive",),
    source="a hub motor has no chain; common practice, no source",
)
def hub_motor_with_chain(facts: Facts, mount: str) -> Says:
    """A hub motor has no final drive beside it."""
    if mount != "hub" or not facts.of("final_drive"):
        return None
    text = "The motor sits in the wheel, and a chain or belt drive is on the quote as well."
    return plainly("stop", text, act("Take the final drive off the quote"), exchange("motor"))


@rule(
    "hub-width",
    "hub motor",
    title="Hub motor does not go between the dropouts",
    levels=("stop", "note"),
    reads=("motor.dropout_mm", "donor.dropout_mm"),
    where=is_hub,
    about=("adapter",),
    may_read=("adapter.dropout_mm", "adapter.purpose", "motor.mount"),
    source="the width inside the dropouts; public practitioner report, case B23",
)
def hub_width(facts: Facts, needs_mm: float, frame_mm: float) -> Says:
    """The hub motor's axle is no wider than the frame or the axle adapter makes room for."""
    made = [adapter.part.dropout_mm for adapter in axle_adapters(facts) if adapter.part.dropout_mm is not None]
    has_mm = made[0] if made else frame_mm
    units = facts.setup.units
    text = (
        f"The motor needs {show_length(needs_mm, units)} between the dropouts; there are {show_length(has_mm, units)}."
    )
    if above(needs_mm, has_mm + WIDTH_PLAY_MM):
        return at_most("stop", text, needs_mm, has_mm + WIDTH_PLAY_MM, "mm", exchange("motor"), exchange("adapter"))
    if below(needs_mm, has_mm - WIDTH_PLAY_MM):
        spacers = act(
            f"Make spacers of {show_length(has_mm - needs_mm, units)} in all, and set the chain and brake line"
        )
        return at_least("note", f"{text} Spacers fill the rest.", needs_mm, has_mm - WIDTH_PLAY_MM, "mm", spacers)
    return None


@rule(
    "hub-axle",
    "hub motor",
    title="Hub axle does not suit the slot",
    levels=("stop", "check"),
    reads=("motor.axle_mm", "motor.axle_flats_mm", "donor.axle_mm"),
    where=lambda facts, item: is_hub(facts, item) and not axle_adapters(facts),
    about=("adapter",),
    may_read=("adapter.purpose", "motor.mount"),
    source="the flats go into the slot; public practitioner report, case B23",
)
def hub_axle(facts: Facts, axle_mm: float, flats_mm: float, slot_mm: float) -> Says:
    """The hub axle's flats go into the frame's slot without play, where no axle adapter joins them."""
    if unsaid := _unsaid(facts):
        return unsaid
    units = facts.setup.units
    sizes = f"{show_length(flats_mm, units)} across flats, {show_length(axle_mm, units)} round"
    text = f"The motor's axle is {sizes}; the frame is made for an axle of {show_length(slot_mm, units)}."
    if above(flats_mm, slot_mm):
        return at_most(
            "stop", f"{text} It does not go in.", flats_mm, slot_mm, "mm", exchange("motor"), exchange("adapter")
        )
    if below(flats_mm, slot_mm - SLOT_PLAY_MM):
        return at_least("check", f"{text} It rocks.", flats_mm, slot_mm - SLOT_PLAY_MM, "mm", exchange("adapter"))
    return None


@rule(
    "hub-brake-side",
    "hub motor",
    title="Hub motor has its brake on the other side",
    levels=("stop",),
    reads=("motor.brake_side", "donor.brake_side"),
    where=is_hub,
    about=("brake",),
    may_read=("brake.end", "brake.side", "motor.mount"),
    source="common practice, no source",
)
def hub_brake_side(facts: Facts, motor_side: str, donor_side: str) -> Says:
    """The hub motor's brake is on the side of the donor's rear brake, or a rear brake for that side is on the quote."""
    if motor_side == donor_side:
        return None
    for brake in facts.setup.all(Brake):
        unsaid = next((name for name in ("end", "side") if getattr(brake.part, name) is None), None)
        if unsaid:
            return Lacks("brake", unsaid, brake)
        if brake.part.end == "rear" and brake.part.side == motor_side:
            return None
    text = f"The motor takes its brake on the {motor_side}; the donor's caliper or plate is on the {donor_side}."
    return plainly("stop", text, exchange("motor"), act(f"Add a rear brake for the {motor_side} side"))


@rule(
    "hub-rim",
    "hub motor",
    title="Hub motor's rim is another size",
    levels=("stop", "check"),
    reads=("motor.wheel_inch", "donor.rear_rim_inch"),
    where=is_hub,
    about=("tire",),
    may_read=("motor.mount", "tire.end", "tire.marking"),
    source="a tire only fits its own rim diameter; common practice, no source",
)
def hub_rim(facts: Facts, motor_inch: float, donor_inch: float) -> Says:
    """The hub motor's rim has the donor's size, and the rear tire on the quote fits it."""
    for tire in facts.setup.all(Tire):
        if tire.part.end == "rear" and tire.part.marking is not None:
            fits = _rim_inch(tire.part.marking)
            if fits is None:
                return Lacks("tire", "marking", tire)
            if abs(fits - motor_inch) > RIM_PLAY_INCH:
                text = f"The tire {tire.part.marking} is for a {fits:g} inch rim; the motor's is {motor_inch:g} inch."
                return plainly("stop", text, exchange("tire"), exchange("motor"))
            return None
    if abs(motor_inch - donor_inch) <= RIM_PLAY_INCH:
        return None
    text = (
        f"The motor's rim is {motor_inch:g} inch, the donor's {donor_inch:g}: tire, fender room, stand and "
        "speedometer change."
    )
    return plainly("check", text, exchange("tire"), exchange("motor"))


def _rim_inch(marking: str) -> float | None:
    try:
        return tire_size(marking).rim_inch
    except SpecError:
        return None


def _unsaid(facts: Facts) -> Lacks | None:
    """An adapter that does not say what it is for may be the torque arm."""
    mute = next((adapter for adapter in facts.setup.all(Adapter) if adapter.part.purpose is None), None)
    return Lacks("adapter", "purpose", mute) if mute else None


@rule(
    "hub-torque-arms",
    "hub motor",
    title="Nothing holds the hub axle against its torque",
    levels=("stop", "check"),
    when=("motor",),
    where=is_hub,
    about=("adapter",),
    jobs=("conversion",),
    may_read=("adapter.purpose", "controller.regen_a", "motor.mount"),
    source=TORQUE_ARMS,
)
def hub_torque_arms(facts: Facts) -> Says:
    """A hub motor has torque arms, on both sides when it brakes the wheel."""
    count = sum(arm.line.quantity for arm in axle_adapters(facts))
    if not count and (unsaid := _unsaid(facts)):
        return unsaid
    if not count:
        text = "The motor turns its axle in the dropout: the slot opens, the axle spins and tears its cables."
        return plainly("stop", text, exchange("adapter"))
    controller = facts.setup.one(Controller)
    if count < 2 and controller and controller.part.regen_a:
        text = "Braking by the motor turns the axle both ways and works a single torque arm loose."
        return plainly("check", text, act("Fit a torque arm on both sides"), act("Switch regeneration off"))
    return None


@rule(
    "torque-arm-strength",
    "hub motor",
    title="Torque arms are weaker than the motor",
    levels=("stop",),
    reads=("motor.peak_torque_nm",),
    where=lambda facts, item: is_hub(facts, item) and bool(axle_adapters(facts)),
    about=("adapter",),
    judges=("adapter",),
    may_read=("adapter.purpose", "adapter.torque_nm", "motor.mount"),
    source=TORQUE_ARMS,
)
def torque_arm_strength(facts: Facts, torque_nm: float) -> Says:
    """The torque arms hold the motor's peak torque."""
    arms = axle_adapters(facts)
    best = max((arm.part.torque_nm for arm in arms if arm.part.torque_nm is not None), default=None)
    mute = next((arm for arm in arms if arm.part.torque_nm is None), None)
    if best is None or (below(best, torque_nm) and mute):
        return Lacks("adapter", "torque_nm", mute)
    if not below(best, torque_nm):
        return None
    units = facts.setup.units
    text = f"They hold {show_torque(best, units)}; the motor turns its axle with {show_torque(torque_nm, units)}."
    return at_least("stop", text, best, torque_nm, "N m", exchange("adapter"))
