"""Mid motors and their chain: sprockets, pitch, gearing."""

from __future__ import annotations

from quoting.parts import FinalDrive
from quoting.rules.facts import Facts
from quoting.rules.frame import is_mid
from quoting.rules.registry import rule
from quoting.rules.said import Says, above, at_least, at_most, plainly
from quoting.rules.ways_out import act, exchange
from quoting.show import show_speed


@rule(
    "mid-motor-without-chain",
    "chain drive",
    title="Nothing brings the motor's power to the wheel",
    levels=("stop",),
    when=("motor",),
    where=is_mid,
    about=("final_drive",),
    jobs=("conversion",),
    may_read=("motor.mount",),
    source="common practice, no source",
)
def mid_motor_without_chain(facts: Facts) -> Says:
    """A mid motor has a final drive on the quote."""
    if facts.of("final_drive"):
        return None
    return plainly(
        "stop", "The motor sits in the frame, and no chain or belt is on the quote.", exchange("final_drive")
    )


@rule(
    "motor-sprocket",
    "chain drive",
    title="Motor sprocket does not suit the motor",
    levels=("stop",),
    reads=("final_drive.motor_teeth", "motor.sprocket_low", "motor.sprocket_high"),
    where=is_mid,
    may_read=("motor.mount",),
    source="the motor maker's range",
)
def motor_sprocket(facts: Facts, teeth: int, low: int, high: int) -> Says:
    """The motor sprocket has a count of teeth the motor's shaft takes."""
    if low <= teeth <= high:
        return None
    text = f"The sprocket has {teeth} teeth; the motor takes {low} to {high}."
    if teeth > high:
        return at_most("stop", text, teeth, high, "teeth", exchange("final_drive"))
    return at_least("stop", text, teeth, low, "teeth", exchange("final_drive"))


@rule(
    "chain-pitch-motor",
    "chain drive",
    title="Chain does not fit the motor's sprocket",
    levels=("stop",),
    reads=("final_drive.chain_pitch", "motor.chain_pitch"),
    where=is_mid,
    may_read=("motor.mount",),
    source="one chain has one pitch (ISO 10190)",
)
def chain_pitch_motor(facts: Facts, chain: str, motor: str) -> Says:
    """Chain and motor sprocket have one pitch."""
    if chain == motor:
        return None
    text = f"The chain is {chain}; the motor's sprockets are {motor}."
    return plainly("stop", text, exchange("final_drive"), exchange("motor"))


@rule(
    "chain-pitch-donor",
    "chain drive",
    title="Chain does not fit the donor's wheel sprocket",
    levels=("check",),
    reads=("final_drive.chain_pitch", "donor.chain_pitch"),
    where=lambda facts, item: is_mid(facts, item) and not _brings_wheel_sprocket(facts),
    may_read=("final_drive.wheel_teeth", "motor.mount"),
    source="one chain has one pitch (ISO 10190)",
)
def chain_pitch_donor(facts: Facts, chain: str, donor: str) -> Says:
    """Where the donor's wheel sprocket stays, the chain has its pitch."""
    if chain == donor:
        return None
    text = f"The chain is {chain}; the sprocket on the donor's wheel is {donor}."
    return plainly("check", text, act("Add a wheel sprocket of the chain's pitch"), exchange("final_drive"))


def _brings_wheel_sprocket(facts: Facts) -> bool:
    drive = facts.setup.one(FinalDrive)
    return drive is not None and drive.part.wheel_teeth is not None


@rule(
    "motor-speed-at-top",
    "chain drive",
    title="Gearing turns the motor past its highest speed",
    levels=("check",),
    reads=("ride.motor_rpm_at_top", "motor.max_rpm", "ride.top_kmh"),
    about=("final_drive",),
    source="motor speed = wheel speed × ratio; public practitioner report, case B42",
)
def motor_speed_at_top(facts: Facts, rpm: float, max_rpm: float, top_kmh: float) -> Says:
    """At top speed the motor turns at or under its highest speed."""
    if not above(rpm, max_rpm):
        return None
    top = show_speed(top_kmh, facts.setup.units)
    text = f"At {top} the motor turns {rpm:,.0f} times a minute; it is good for {max_rpm:,.0f}."
    taller = act(f"Gear it taller by {rpm / max_rpm:.2f} times, or set the controller's speed limit")
    return at_most("check", text, rpm, max_rpm, "rpm", taller, exchange("final_drive"))
